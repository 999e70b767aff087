// The reduced cabinet against all its unknowns solved at once.

#include "sound_fixture.h"

#include "solver/drive/coupled.h"
#include "tests/solver/whole_air.h"

#include <Eigen/SparseLU>

#include <numbers>

using namespace stillwall;
using namespace sound_fixture;
using Complex = std::complex<double>;
using Eigen::Index;
using solver::SparseMatrix;
using SparseComplex = Eigen::SparseMatrix<Complex>;

namespace {

using Triplets = std::vector<Eigen::Triplet<Complex>>;

template <class Matrix> void add(Triplets& all, const Matrix& A, Index row, Index col, Complex factor)
{
    for (int k = 0; k < A.outerSize(); ++k)
        for (typename Matrix::InnerIterator it(A, k); it; ++it)
            all.emplace_back(static_cast<int>(row + it.row()), static_cast<int>(col + it.col()), factor * it.value());
}

/// Wood, air and one cone with every finite-element unknown; no air outside.
struct Direct
{
    Eigen::VectorXcd u; ///< [m/s]
    Eigen::VectorXcd p; ///< [Pa]
    Complex r;          ///< [m/s]
};

Direct solve_all(const Stage& stage, const solver::Player& player, double f)
{
    const auto& m = stage.work.matrices;
    const Complex jw(0, 2 * std::numbers::pi * f);
    const auto regions = solver::assemble_regions(stage.cabinet, stage.air, stage.setting.fillings);
    const solver::RowMatrix C = solver::air_coupling(stage.cabinet, stage.shell, stage.work.structure, stage.air);
    const Index n = m.system.K.rows(), n_air = C.rows(), cone_row = n + n_air;
    const Air& air = player.cabinet.air.air;
    Triplets all;
    add(all, m.system.K, 0, 0, Complex(1, m.uniform_loss.value_or(0)) / jw);
    add(all, m.system.M, 0, 0, jw);
    add(all, C, n, 0, -1);
    add(all, solver::RowMatrix(C.transpose()), 0, n, -1);
    for (const auto& region : regions) {
        if (!(region.volume > 0)) continue;
        const solver::Fluid fluid =
            region.filling ? solver::miki(f, stage.setting.fillings[0].flow_resistivity, air) : solver::open_air(air);
        add(all, region.H, n, n, -1.0 / (jw * fluid.density));
        add(all, region.V, n, n, -jw / fluid.bulk);
    }
    const solver::SourceModel& cone = player.cabinet.sources[0];
    const Eigen::VectorXd w = solver::opening_input(stage.cabinet, stage.air, cone.source.board, cone.source.opening);
    for (Index i = 0; i < n_air; ++i) {
        if (w[i] == 0) continue;
        all.emplace_back(n + i, cone_row, -cone.area * w[i]);
        all.emplace_back(cone_row, n + i, -cone.area * w[i]);
    }
    const auto& taps = stage.work.structure.taps;
    const auto tap = std::find_if(taps.begin(), taps.end(), [&](const auto& t) { return t.name == cone.source.name; });
    for (std::size_t k = 0; k < tap->nodes.size(); ++k) {
        for (Index i = 0; i < 6; ++i) {
            const double value = tap->row[6 * static_cast<Index>(k) + i];
            all.emplace_back(6 * tap->nodes[k] + i, cone_row, jw * cone.moving_mass * value);
            all.emplace_back(cone_row, 6 * tap->nodes[k] + i, jw * cone.moving_mass * value);
        }
    }
    const Complex Ze = solver::coil_impedance(*cone.cone, f);
    all.emplace_back(cone_row, cone_row,
                     jw * cone.moving_mass + cone.cone->Rms + 1.0 / (jw * cone.cone->Cms) +
                         cone.cone->Bl * cone.cone->Bl / Ze);
    SparseComplex A(cone_row + 1, cone_row + 1);
    A.setFromTriplets(all.begin(), all.end());
    Eigen::VectorXcd b = Eigen::VectorXcd::Zero(cone_row + 1);
    b[cone_row] = cone.cone->Bl / Ze;
    const Eigen::SparseLU<SparseComplex> lu(A);
    const Eigen::VectorXcd x = lu.solve(b);
    REQUIRE((A * x - b).norm() < 1e-8 * b.norm());
    return {x.head(n), x.segment(n, n_air), x[cone_row]};
}

/// Energy norm of the difference over that of the direct solution.
double gap(const Stage& stage, const Eigen::VectorXcd& found, const Eigen::VectorXcd& exact)
{
    const auto& M = stage.work.matrices.system.M;
    const auto norm = [&](const Eigen::VectorXcd& v) {
        return std::sqrt(v.real().dot(M * v.real()) + v.imag().dot(M * v.imag()));
    };
    return norm(found - exact) / norm(exact);
}

void compare(const Stage& stage, const std::vector<double>& frequencies)
{
    const solver::Player player = stage.player();
    const Index n = player.cabinet.walls.size() + static_cast<Index>(player.cabinet.sources.size());
    const SparseMatrix Q = test::assemble_air(stage.air, player.cabinet.air.air.sound_speed).Q;
    for (const double f : frequencies) {
        const Direct direct = solve_all(stage, player, f);
        const solver::Motion motion = solver::solve_coupled(player.cabinet, f, Eigen::MatrixXcd::Zero(n, n)).moving;
        const Eigen::VectorXcd u = player.cabinet.walls.V * motion.walls.col(0);
        // Of the air what its modes hold; the near fields of the walls act as mass and are not kept as pressure.
        const auto& modes = player.cabinet.air.Psi.leftCols(player.cabinet.air.mode_Hz.size());
        const Eigen::VectorXcd a = modes.transpose() * (Q * direct.p),
                               found = modes.transpose() * (Q * (player.cabinet.air.Psi * motion.air.col(0)));
        const double walls = gap(stage, u, direct.u), air = (a - found).norm() / a.norm(),
                     cone = std::abs(motion.sources(0, 0) / direct.r - 1.0);
        INFO(f << " Hz: walls " << walls << ", air " << air << ", cone " << cone);
        // At the very top of the range the first modes left out, at 1.2 of it and with a lining at 0.9, answer not yet
        // statically: 0.4 dB. Two thirds of an octave lower that has fallen below 0.15 dB, and it falls with the square
        // of frequency and more.
        const bool is_top = f > 0.8 * stage.setting.frequencies.back();
        CHECK(walls < (is_top ? 0.05 : 0.015));
        CHECK(air < (is_top ? 0.03 : 0.015));
        CHECK(cone < (is_top ? 0.002 : 0.001));
    }
}

} // namespace

TEST_CASE("Modal synthesis meets the direct solution of a bare box", "[sound]")
{
    // Coarse meshes: both sides solve the same matrices.
    CabinetPlan plan = sealed_box();
    plan.sound.f_to = 2200;
    const Stage stage(plan, 0.1, 0.1);
    compare(stage, {35, 110, 437, 790, 1600, 2100});
}

TEST_CASE("Modal synthesis meets the direct solution of a lined box", "[sound]")
{
    CabinetPlan plan = sealed_box();
    FillingPlan lining;
    lining.name = "back";
    lining.board = "back";
    lining.thickness = 0.05;
    lining.flow_resistivity = exactly(6000);
    plan.sound.fillings = {lining};
    plan.sound.f_to = 2200;
    const Stage stage(plan, 0.1, 0.1);
    compare(stage, {35, 240, 437, 612, 1130, 2100});
}
