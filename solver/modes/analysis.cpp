#include "solver/modes/analysis.h"

#include "mesh/core/build.h"
#include "solver/modes/bands.h"
#include "solver/modes/eigen.h"
#include "solver/modes/energy.h"
#include "solver/modes/shape_name.h"
#include "solver/modes/structure.h"
#include "solver/verdict/flag.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <limits>
#include <numbers>

namespace stillwall::solver {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;
using Clock = std::chrono::steady_clock;

constexpr double rigid_below_Hz = 1; ///< a free cabinet's six rigid modes come out far below

double seconds_since(Clock::time_point start) { return std::chrono::duration<double>(Clock::now() - start).count(); }

double hertz(double lambda) { return std::sqrt(std::max(lambda, 0.0)) / (2 * std::numbers::pi); }

/// Shares of kinetic and strain energy by board, and the loss factor.
void share_out(const Cabinet& cabinet, const Structure& structure, const ModeEnergy& energy, Mode& mode)
{
    mode.boards.assign(cabinet.boards.size(), {});
    double kinetic = 0, strain = 0, loss = 0, in_supports = 0;
    const auto add = [&](int board, double k, double s) {
        mode.boards[static_cast<std::size_t>(board)].kinetic += k;
        mode.boards[static_cast<std::size_t>(board)].strain += s;
        kinetic += k;
        strain += s;
    };
    for (std::size_t g = 0; g < structure.groups.size(); ++g) {
        const Section& section = structure.sections[g];
        add(structure.groups[g].board, group_kinetic(energy, g, section), group_strain(energy, g, section));
        loss += group_loss(energy, g, section);
    }
    for (std::size_t a = 0; a < structure.attachments.size(); ++a) {
        add(structure.attachments[a].board, energy.attached_kinetic[a], energy.attached_strain[a]);
        loss += structure.attachments[a].loss * energy.attached_strain[a];
        if (structure.attachments[a].kind == Attachment::Kind::Support) in_supports += energy.attached_strain[a];
    }
    mode.moves_whole = in_supports > 0.7 * strain;
    for (BoardShare& share : mode.boards) share = {share.kinetic / kinetic, share.strain / strain};
    mode.loss = loss / strain;
}

Mode make_mode(const Cabinet& cabinet, const Structure& structure, const ModeEnergy& energy, double f_Hz)
{
    Mode mode;
    mode.f_Hz = f_Hz;
    share_out(cabinet, structure, energy, mode);
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
    double widest = 0; ///< [m]

    /// Adds the couplings to a mode. @return the largest of the largest cones: small ones do not play this low
    double couple(Index k, Mode& mode) const
    {
        double strongest = 0;
        for (std::size_t d = 0; d < taps.size(); ++d) {
            mode.drives.push_back({taps[d]->name, taps[d]->board, motion[d][k]});
            if (taps[d]->width > 0.8 * widest) strongest = std::max(strongest, std::abs(motion[d][k]));
        }
        return strongest;
    }
};

Drivers drivers_of(const Structure& structure, const MatrixXd& phi)
{
    Drivers drivers;
    for (const RimTap& tap : structure.taps) {
        if (!tap.is_driver) continue;
        drivers.taps.push_back(&tap);
        drivers.motion.push_back(tap_motion(tap, phi));
        drivers.widest = std::max(drivers.widest, tap.width);
    }
    return drivers;
}

MatrixXd translations(const MatrixXd& phi, Index n_nodes)
{
    MatrixXd u(3 * n_nodes, phi.cols());
    for (Index i = 0; i < n_nodes; ++i) u.middleRows<3>(3 * i) = phi.middleRows<3>(6 * i);
    return u;
}

} // namespace

ModesResult analyse_modes(const Cabinet& cabinet, const ShellMesh& mesh, const ModesOptions& options)
{
    const auto progress = [&](const std::string& text, double fraction) {
        if (options.progress) options.progress(text, fraction);
    };
    ModesResult result;
    auto start = Clock::now();
    progress("joints and stiffness", 0.1);
    const Structure structure = build_structure(cabinet, mesh);
    result.seconds_assemble = seconds_since(start);
    result.mass_model = structure.mass;
    result.n_nodes = mesh.n_nodes();
    result.n_unknowns = static_cast<int>(structure.system.K.cols());
    result.n_elements = static_cast<int>(mesh.quads.size());

    start = Clock::now();
    progress("modes", 0.3);
    EigenOptions eigen_options;
    eigen_options.f_max = options.f_max;
    const EigenResult eigen = lowest_modes(structure.system.K, structure.system.M, eigen_options);
    result.seconds_solve = seconds_since(start);
    result.n_below = eigen.n_below;
    result.is_proved = eigen.is_proved;

    Index first = 0, end = 0;
    while (first < eigen.lambda.size() && hertz(eigen.lambda[first]) < rigid_below_Hz) ++first;
    for (end = first; end < eigen.lambda.size() && hertz(eigen.lambda[end]) <= options.f_max;) ++end;
    result.n_rigid = static_cast<int>(first);
    for (Index i = 0; i < first; ++i)
        result.rigid_max_Hz = std::max(result.rigid_max_Hz, hertz(std::abs(eigen.lambda[i])));

    progress("boards, losses and bands", 0.8);
    const MatrixXd phi = eigen.phi.middleCols(first, end - first);
    const VectorXd lambda = eigen.lambda.segment(first, end - first);
    const auto energies = mode_energies(cabinet, mesh, structure, phi);
    const auto bands = frequency_bands(cabinet, structure, energies, lambda);
    result.shapes = translations(phi, mesh.n_nodes());
    const double box_volume = bookkeeping(cabinet).net_litres;
    const Drivers drivers = drivers_of(structure, phi);
    for (std::size_t m = 0; m < energies.size(); ++m) {
        const auto k = static_cast<Index>(m);
        Mode mode = make_mode(cabinet, structure, energies[m], hertz(lambda[k]));
        mode.residual = eigen.residual[first + k];
        result.residual_max = std::max(result.residual_max, mode.residual);
        mode.f_low_Hz = mode.f_Hz * (1 - bands[m].down);
        mode.f_high_Hz = mode.f_Hz * (1 + bands[m].up);
        const double strongest = drivers.couple(k, mode);
        mode.rough_level_dB = rough_level_dB(mode.volume, strongest, mode.loss, mode.f_Hz, box_volume);
        const Judgement judgement = judge(mode);
        mode.flag = judgement.flag;
        mode.reason = judgement.reason;
        const Eigen::Map<const Eigen::Matrix3Xd> u(result.shapes.col(k).data(), 3, mesh.n_nodes());
        mode.shape_name = mode.moves_whole ? "whole cabinet on its supports" : shape_name(cabinet, mesh, mode.boards, u);
        result.modes.push_back(std::move(mode));
    }
    progress("done", 1.0);
    return result;
}

double element_size_for(const Cabinet& cabinet, double f_max, double points_per_wave)
{
    if (!(f_max > 0 && points_per_wave > 0)) throw DomainError("mesh rule: frequency and points per wave must be > 0");
    const double omega = 2 * std::numbers::pi * f_max;
    double shortest = std::numeric_limits<double>::infinity();
    for (const Board& board : cabinet.boards) {
        constexpr int n_directions = 12; // all round, since an off-axis ply is softest between the axes
        for (int i = 0; i < n_directions; ++i) {
            const Section s =
                make_section(board.layup, cabinet.materials, board.grain - i * std::numbers::pi / n_directions);
            // D k⁴ = m ω² (1 + D k²/As): bending with shear, rotary inertia left out.
            const double D = s.C(3, 3), shear = s.mass * omega * omega / s.C(6, 6);
            const double k2 = (shear + std::sqrt(shear * shear + 4 * s.mass * omega * omega / D)) / 2;
            shortest = std::min(shortest, 2 * std::numbers::pi / std::sqrt(k2));
        }
    }
    return 2 * shortest / points_per_wave;
}

} // namespace stillwall::solver
