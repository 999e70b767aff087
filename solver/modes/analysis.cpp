#include "solver/modes/analysis.h"

#include "solver/linalg/eigen.h"
#include "solver/linalg/hertz.h"
#include "solver/linalg/seconds.h"
#include "solver/modes/bands.h"
#include "solver/modes/bending_wave.h"
#include "solver/modes/internal/derivatives.h"
#include "solver/modes/shape_name.h"
#include "solver/modes/shares.h"
#include "solver/structure/energy.h"
#include "solver/structure/structure.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>

namespace stillwall::solver {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;
using Clock = std::chrono::steady_clock;
using internal::hertz;
using internal::seconds_since;

constexpr double rigid_below_Hz = 1; ///< a free cabinet's six rigid modes come out far below

Mode make_mode(const Shares& shares, const StructureState& state, const ModeEnergy& energy, double f_Hz)
{
    Mode mode;
    mode.f_Hz = f_Hz;
    shares.fill(energy, state, mode);
    mode.Q = mode.loss > 0 ? 1 / mode.loss : std::numeric_limits<double>::infinity();
    mode.T60_s = 2.2 * mode.Q / mode.f_Hz;
    mode.volume = energy.volume;
    return mode;
}

/// The drivers and their axial motion in every mode.
struct Drivers
{
    std::vector<const RimTap*> taps;
    std::vector<Eigen::RowVectorXd> motion;

    /// Adds the couplings to a mode.
    void couple(Index k, Mode& mode) const
    {
        for (std::size_t d = 0; d < taps.size(); ++d)
            mode.drives.push_back({taps[d]->name, taps[d]->board, motion[d][k], taps[d]->width});
    }
};

Drivers drivers_of(const Structure& structure, const MatrixXd& phi)
{
    Drivers drivers;
    for (const RimTap& tap : structure.taps) {
        if (!tap.is_driver) continue;
        drivers.taps.push_back(&tap);
        drivers.motion.push_back(tap_motion(tap, phi));
    }
    return drivers;
}

MatrixXd translations(const MatrixXd& phi, Index n_nodes)
{
    MatrixXd u(3 * n_nodes, phi.cols());
    for (Index i = 0; i < n_nodes; ++i) u.middleRows<3>(3 * i) = phi.middleRows<3>(6 * i);
    return u;
}

/// Elastic modes below the upper frequency, lossy.
struct Solved
{
    Eigen::MatrixXcd phi;
    Eigen::VectorXcd lambda;
    VectorXd residual;
    bool is_real = true;
};

/// Losses in the real shapes.
Solved first_order(const StructureMatrices& matrices, const EigenResult& eigen, Index first, Index n)
{
    Solved solved{eigen.phi.middleCols(first, n), eigen.lambda.segment(first, n), eigen.residual.segment(first, n),
                  true};
    for (Index k = 0; k < n; ++k) {
        const VectorXd phi = eigen.phi.col(first + k);
        const auto energy_in = [&phi](const SparseMatrix& K) { return phi.dot(K * phi); };
        std::complex<double> lambda(eigen.lambda[first + k],
                                    matrices.system.K_loss.nonZeros() > 0 ? energy_in(matrices.system.K_loss) : 0);
        std::vector<double> dependent;
        for (const DependentStiffness& d : matrices.dependent) dependent.push_back(energy_in(d.K));
        std::complex<double> at_own = lambda;
        for (int round = 0; round < 3 && !dependent.empty();
             ++round) { // the layers' stiffness at the mode's own frequency
            const double f = hertz(std::max(at_own.real(), 0.01 * lambda.real()));
            at_own = lambda;
            for (std::size_t j = 0; j < dependent.size(); ++j) at_own += matrices.dependent[j].change(f) * dependent[j];
        }
        solved.lambda[k] = at_own;
    }
    return solved;
}

Solved solve(const StructureMatrices& matrices, const ModesOptions& options, ModesResult& result, EigenResult& eigen)
{
    EigenOptions eigen_options;
    eigen_options.f_max = options.f_max;
    eigen_options.prove = !options.quick;
    if (options.quick) eigen_options.tolerance = 1e-6; // the frequency's error is its square
    eigen = lowest_modes(matrices.system.K, matrices.system.M, eigen_options);
    result.n_below = eigen.n_below;
    result.is_proved = eigen.is_proved;
    Index first = 0, end = 0;
    while (first < eigen.lambda.size() && hertz(eigen.lambda[first]) < rigid_below_Hz) ++first;
    for (end = first; end < eigen.lambda.size() && hertz(eigen.lambda[end]) <= options.f_max;) ++end;
    result.n_rigid = static_cast<int>(first);
    for (Index i = 0; i < first; ++i)
        result.rigid_max_Hz = std::max(result.rigid_max_Hz, hertz(std::abs(eigen.lambda[i])));

    const Index n = end - first;
    if (options.verify) {
        constexpr Index most_verified = 20;
        result.verified = verify_lowest(matrices.system.K, matrices.system.M, eigen.lambda, rigid_below_Hz,
                                        static_cast<int>(std::min(n, most_verified)), eigen_options);
    }
    if (matrices.uniform_loss && matrices.dependent.empty())
        return {eigen.phi.middleCols(first, n),
                eigen.lambda.segment(first, n) * std::complex<double>(1, *matrices.uniform_loss),
                eigen.residual.segment(first, n), true};
    if (options.quick) return first_order(matrices, eigen, first, n);
    const ComplexModes lossy =
        complex_modes({matrices.system.K, matrices.system.M, matrices.system.K_loss, matrices.dependent}, eigen);
    result.n_loss_rounds = lossy.n_rounds;
    Solved solved{lossy.phi.middleCols(first, n), lossy.lambda.segment(first, n), lossy.residual.segment(first, n),
                  lossy.is_real};
    std::vector<Index> order(static_cast<std::size_t>(n)); // losses may turn neighbours round
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(),
                     [&](Index a, Index b) { return solved.lambda[a].real() < solved.lambda[b].real(); });
    const Solved found = solved;
    for (Index k = 0; k < n; ++k) {
        const Index from = order[static_cast<std::size_t>(k)];
        solved.phi.col(k) = found.phi.col(from);
        solved.lambda[k] = found.lambda[from];
        solved.residual[k] = found.residual[from];
    }
    return solved;
}

/// φᵀ ∂K*/∂f φ of each mode at its own frequency.
std::vector<LossyMode> lossy_modes(const StructureMatrices& matrices, const Solved& solved)
{
    std::vector<LossyMode> modes;
    for (Index k = 0; k < solved.lambda.size(); ++k) {
        LossyMode mode{solved.lambda[k], 0};
        const double f = mode.f_Hz(), step = 1e-3 * f;
        for (const DependentStiffness& d : matrices.dependent) {
            const Eigen::VectorXcd phi = solved.phi.col(k);
            const Eigen::VectorXcd K_phi = d.K * phi;
            mode.per_frequency += (phi.transpose() * K_phi)(0) * (d.change(f + step) - d.change(f - step)) / (2 * step);
        }
        modes.push_back(mode);
    }
    return modes;
}

/// What is known of the modes besides their shapes.
struct Known
{
    const std::vector<ModeEnergy>& energies;
    const std::vector<LossyMode>& lossy;
};

void describe_modes(const Cabinet& cabinet, const ShellMesh& mesh, const Structure& structure, const Known& known,
                    const Solved& solved, bool quick, ModesResult& result)
{
    const auto& [energies, lossy] = known;
    std::vector<StructureState> states;
    for (const LossyMode& mode : lossy) states.push_back(state_at(cabinet, structure, mode.f_Hz()));
    if (!quick) result.sensitivity = sensitivity_of(cabinet, structure, energies, lossy, states);
    const std::vector<Band> bands = quick ? std::vector<Band>(lossy.size()) : bands_of(result.sensitivity);
    const MatrixXd phi = solved.phi.real();
    result.drawn = drawn_mesh(mesh, structure);
    result.shapes = translations(phi, result.drawn.n_nodes());
    const Drivers drivers = drivers_of(structure, phi);
    const Shares shares(cabinet, structure);
    const ShapeNames names(cabinet, result.drawn, lossy.empty() ? 1 : lossy.back().f_Hz());
    for (std::size_t m = 0; m < energies.size(); ++m) {
        const auto k = static_cast<Index>(m);
        const double f = lossy[m].f_Hz();
        Mode mode = make_mode(shares, states[m], energies[m], f);
        mode.residual = solved.residual[k];
        result.residual_max = std::max(result.residual_max, mode.residual);
        mode.f_low_Hz = mode.f_Hz * (1 - bands[m].down);
        mode.f_high_Hz = mode.f_Hz * (1 + bands[m].up);
        mode.Q_low = mode.Q / (1 + bands[m].loss_up);
        mode.Q_high = mode.Q / (1 - bands[m].loss_down);
        drivers.couple(k, mode);
        const Eigen::Map<const Eigen::Matrix3Xd> u(result.shapes.col(k).data(), 3, result.drawn.n_nodes());
        mode.shape_name = mode.moves_whole          ? "whole cabinet on its supports"
                          : !mode.on_mount.empty()  ? mode.on_mount + " on its mount"
                          : !mode.on_basket.empty() ? "motor of " + mode.on_basket + " on its basket"
                                                    : names.of(mode, u);
        result.modes.push_back(std::move(mode));
    }
    names.tell_apart(result.modes, result.shapes);
}

} // namespace

ModesResult analyse_modes(const Cabinet& cabinet, const ShellMesh& mesh, const ModesOptions& options, ModesWork* work)
{
    const auto progress = [&](const std::string& text, double fraction) {
        if (options.progress) options.progress(text, fraction);
    };
    ModesResult result;
    auto start = Clock::now();
    progress("joints and stiffness", 0.1);
    // Layers are taken at the upper frequency: since they stiffen with it, the count below it is that of the lossy
    // modes too.
    LawCache laws;
    Structure structure = build_structure(cabinet, mesh, options.f_max, laws);
    StructureMatrices matrices = assemble_structure(cabinet, mesh, structure);
    result.seconds_assemble = seconds_since(start);
    result.mass_model = matrices.mass;
    result.n_nodes = mesh.n_nodes();
    result.n_unknowns = static_cast<int>(matrices.system.K.cols());
    result.n_elements = static_cast<int>(mesh.quads.size());

    start = Clock::now();
    progress("modes", 0.3);
    EigenResult eigen;
    Solved solved = solve(matrices, options, result, eigen);
    result.seconds_solve = seconds_since(start);

    progress("boards, losses and bands", 0.8);
    const auto energies = mode_energies(cabinet, mesh, structure, solved.phi, solved.is_real);
    const auto lossy = lossy_modes(matrices, solved);
    describe_modes(cabinet, mesh, structure, {energies, lossy}, solved, options.quick, result);
    if (options.worth_of) {
        progress("what each part is worth", 0.9);
        start = Clock::now();
        const internal::SolvedCabinet all{cabinet, mesh, structure, energies, lossy, solved.phi, laws};
        result.worth = internal::worth_of(all, internal::variations_of(*options.worth_of, cabinet));
        result.seconds_worth = seconds_since(start);
    }
    if (work)
        *work = {std::move(structure),  std::move(matrices),      std::move(eigen),
                 std::move(solved.phi), std::move(solved.lambda), solved.is_real};
    progress("done", 1.0);
    return result;
}

double element_size_for(const Cabinet& cabinet, double f_max, double points_per_wave)
{
    if (!(f_max > 0 && points_per_wave > 0)) throw DomainError("mesh rule: frequency and points per wave must be > 0");
    double shortest = std::numeric_limits<double>::infinity();
    for (const Board& board : cabinet.boards) {
        constexpr int n_directions = 12; // all round, since an off-axis ply is softest between the axes
        for (int i = 0; i < n_directions; ++i)
            shortest =
                std::min(shortest, bending_wavelength(cabinet, board, i * std::numbers::pi / n_directions, f_max));
    }
    return 2 * shortest / points_per_wave;
}

} // namespace stillwall::solver
