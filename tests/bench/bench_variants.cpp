// Where the time of a variant goes, and what reuse would save: wall thickness of a cabinet in small steps, one thread,
// every step by every way in turn. Reused are the mesh (moved, mesh/core/morph.h), the ordering of the unknowns, and
// the modes before (as a space for Rayleigh and Ritz, whose error in frequency is told).

#include "app/input/cabinet_source.h"
#include "mesh/cabinet/build.h"
#include "mesh/core/morph.h"
#include "mesh/gmsh/mesher.h"
#include "solver/linalg/eigen.h"
#include "solver/linalg/hertz.h"
#include "solver/linalg/threads.h"
#include "solver/modes/analysis.h"
#include "tests/bench/clock.h"

#include <CLI/CLI.hpp>
#include <Eigen/Eigenvalues>
#include <fmt/format.h>

#include <algorithm>
#include <map>

using namespace stillwall;
using Clock = bench::Clock;

namespace {

struct Watch
{
    std::map<std::string, double> seconds; // processor
    template <class Work> auto time(const std::string& name, const Work& work)
    {
        const Clock clock;
        auto result = work();
        seconds[name] += clock.cpu();
        return result;
    }
};

} // namespace

int main(int argc, char** argv)
{
    std::string file = STILLWALL_EXAMPLES "/01-small-two-way/cabinet.yaml";
    double upper = 1000, from = 15, to = 20;
    int steps = 11;
    CLI::App options{"Times of a variant, and what reuse saves"};
    options.add_option("FILE", file, "Cabinet whose boards.all.thickness is varied");
    options.add_option("--upper", upper, "Upper frequency [Hz]");
    options.add_option("--from", from, "Thickness [mm]");
    options.add_option("--to", to, "Thickness [mm]");
    options.add_option("--steps", steps, "Variants");
    CLI11_PARSE(options, argc, argv);

    solver::use_threads(1);
    const app::CabinetSource source(file);
    const auto cabinet_of = [&](double mm) {
        app::Setting setting;
        setting.path = "boards.all.thickness";
        setting.text = fmt::format("{:.10g} mm", mm);
        CabinetPlan plan = source.plan({setting});
        plan.f_max = upper;
        return build_cabinet(plan);
    };
    const Cabinet base = cabinet_of((from + to) / 2);
    const ShellMesh base_mesh = mesh::mesh_shell(base, {.element_size = solver::element_size_for(base, upper, 7)});
    solver::LawCache base_laws;
    const solver::Structure base_structure = solver::build_structure(base, base_mesh, upper, base_laws);
    const solver::StructureMatrices base_matrices = solver::assemble_structure(base, base_mesh, base_structure);
    solver::EigenOptions eigen;
    eigen.f_max = upper;
    eigen.prove = false;
    eigen.tolerance = 1e-6;
    solver::EigenOptions wider = eigen;
    wider.f_max = 1.15 * upper;
    const solver::EigenResult base_modes = solver::lowest_modes(base_matrices.system.K, base_matrices.system.M, wider);

    Watch watch;
    double worst_moved = 0, worst_ritz = 0, mean_ritz = 0;
    int n_failed = 0, n_compared = 0;
    for (int i = 0; i < steps; ++i) {
        const double mm = from + (to - from) * i / std::max(1, steps - 1);
        const Cabinet cabinet = watch.time("read and build", [&] { return cabinet_of(mm); });
        const ShellMesh mesh = watch.time("mesh", [&] {
            return mesh::mesh_shell(cabinet, {.element_size = solver::element_size_for(cabinet, upper, 7)});
        });
        solver::ModesOptions quick;
        quick.f_max = upper;
        quick.quick = true;
        const solver::ModesResult all =
            watch.time("analysis, all of it", [&] { return solver::analyse_modes(cabinet, mesh, quick); });
        try {
            const ShellMesh moved = watch.time("mesh moved instead", [&] { return morph(base_mesh, base, cabinet); });
            solver::LawCache laws;
            const solver::Structure structure =
                watch.time("structure", [&] { return solver::build_structure(cabinet, moved, upper, laws); });
            const solver::StructureMatrices matrices =
                watch.time("assembly", [&] { return solver::assemble_structure(cabinet, moved, structure); });
            const auto &K = matrices.system.K, &M = matrices.system.M;
            const solver::EigenResult plain = watch.time("modes", [&] { return solver::lowest_modes(K, M, eigen); });
            solver::EigenOptions ordered = eigen;
            ordered.ordering = base_modes.ordering;
            static_cast<void>(watch.time("modes, ordering kept", [&] { return solver::lowest_modes(K, M, ordered); }));
            const Eigen::VectorXd ritz = watch.time("modes by those before", [&] {
                const Eigen::MatrixXd &V = base_modes.phi, KV = K * V, MV = M * V;
                return Eigen::VectorXd(
                    Eigen::GeneralizedSelfAdjointEigenSolver<Eigen::MatrixXd>(V.transpose() * KV, V.transpose() * MV)
                        .eigenvalues());
            });
            for (Eigen::Index k = 6; k < plain.lambda.size() && solver::internal::hertz(plain.lambda[k]) < upper; ++k) {
                const double f = solver::internal::hertz(plain.lambda[k]),
                             by_ritz = std::abs(solver::internal::hertz(ritz[k]) / f - 1);
                worst_ritz = std::max(worst_ritz, by_ritz);
                mean_ritz += by_ritz;
                ++n_compared;
                const auto m = static_cast<std::size_t>(k - 6);
                if (m < all.modes.size()) worst_moved = std::max(worst_moved, std::abs(all.modes[m].f_Hz / f - 1));
            }
        } catch (const DomainError&) {
            ++n_failed;
        }
    }
    fmt::print("{} variants of {} to {:.0f} Hz, {} unknowns, one thread; milliseconds of processor each\n", steps, file,
               upper, base_matrices.system.K.cols());
    for (const auto& [name, seconds] : watch.seconds) fmt::print("  {:<24} {:7.1f}\n", name, 1e3 * seconds / steps);
    const auto each = [&](std::initializer_list<const char*> names) {
        double sum = 0;
        for (const char* name : names) sum += watch.seconds[name] / steps;
        return sum;
    };
    const double now = each({"read and build", "mesh", "analysis, all of it"});
    fmt::print("as the program does it: {:.1f} variants a second and process\n", 1 / now);
    fmt::print("with the mesh moved: {:.2f} times as fast; ordering kept besides: {:.2f}\n",
               now / (now - each({"mesh"}) + each({"mesh moved instead"})),
               now / (now - each({"mesh", "modes"}) + each({"mesh moved instead", "modes, ordering kept"})));
    fmt::print("modes by those before instead of solving: {:.2f}, but frequencies {:.2f} % off on the mean, {:.1f} % "
               "at worst\n",
               now / (now - each({"mesh", "modes"}) + each({"mesh moved instead", "modes by those before"})),
               100 * mean_ritz / std::max(1, n_compared), 100 * worst_ritz);
    fmt::print("moved against fresh mesh: {:.2f} % at worst; {} variants could not be moved\n", 100 * worst_moved,
               n_failed);
}
