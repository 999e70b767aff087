#include "solver/linalg/internal/enrich.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/hertz.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::solver::internal {

namespace {

using Complex = std::complex<double>;
using Eigen::Index;

// The middle of the widest of the gaps in the middle half of the modes.
double shift_amid(std::span<const ReducedMode> modes)
{
    const std::size_t n = modes.size();
    if (n == 1) return 0.995 * modes[0].lambda.real();
    const std::size_t from = n < 4 ? 0 : n / 4, to = n < 4 ? n - 1 : n - n / 4 - 1;
    double widest = -1, shift = 0;
    for (std::size_t i = from; i < to; ++i) {
        const double below = modes[i].lambda.real(), above = modes[i + 1].lambda.real();
        if (above - below > widest) {
            widest = above - below;
            shift = 0.5 * (above + below);
        }
    }
    return shift;
}

// Modes nearer to each other than what the residual leaves open turn in their common plane.
void advance(const LossyOperator& op, const ReducedPencil& reduced, double residual, std::vector<ReducedMode>& modes)
{
    // Beyond 1 % their layers differ too much for one frequency.
    const double open = std::clamp(3 * residual, 1e-7, 0.01);
    const int n_steps = residual > 0.02 ? 3 : 1; // what a step leaves is the square of the residual
    std::vector<ReducedMode*> left;
    for (ReducedMode& mode : modes) left.push_back(&mode);
    while (!left.empty()) {
        std::vector<ReducedMode*> cluster = {left.back()};
        left.pop_back();
        for (std::size_t i = 0; i < cluster.size(); ++i) {
            const auto is_far = [&, lambda = cluster[i]->lambda](const ReducedMode* m) {
                return std::abs(m->lambda - lambda) > open * std::abs(m->lambda);
            };
            const auto near = std::partition(left.begin(), left.end(), is_far);
            cluster.insert(cluster.end(), near, left.end());
            left.erase(near, left.end());
        }
        if (cluster.size() == 1 && iterate(op, reduced, n_steps, *cluster[0])) continue;
        iterate_together(op, reduced, cluster);
        for (ReducedMode* mode : cluster)
            static_cast<void>(iterate(op, reduced, 1, *mode)); // to its own frequency, unless it turns
    }
}

} // namespace

ShiftedFactor factor_amid(const LossyOperator& op, std::span<const ReducedMode> modes,
                          const std::shared_ptr<const FrontTree>& tree)
{
    const double shift = shift_amid(modes);
    const SparseMatrix K = op.real_stiffness(hertz(shift));
    for (const double move : {0.0, 1e-3, -1e-3, 3e-3, -3e-3}) {
        try {
            ShiftedFactor factor(K, op.M(), shift * (1 + move), tree, ShiftedFactor::Use::Solve);
            if (factor.growth() <= 1e8) return factor; // of round-off 1e-16: a correction needs a few digits
        } catch (const SolverError&) {                 // a pivot vanished: the next shift
        }
    }
    throw SolverError(fmt::format("K − λM cannot be factored near {:.6g} Hz", hertz(shift)));
}

EnrichedModes enrich(const LossyOperator& op, SearchSpace space, const ShiftedFactor& factor,
                     std::vector<ReducedMode> modes, const ComplexModesOptions& options)
{
    const std::size_t n_modes = modes.size();
    EnrichedModes result;
    result.residual.resize(static_cast<Index>(n_modes));
    // Fewer modes bring fewer vectors a round: as many vectors in all.
    const int max_rounds = options.max_rounds * 4 / static_cast<int>(n_modes);
    Eight phi;
    int last_added = 1;
    for (int round = 0;; ++round) {
        phi = space.vectors(modes);
        std::vector<Complex> lambda;
        for (const ReducedMode& mode : modes) lambda.push_back(mode.lambda);
        LossyResidual residual = op.residual(phi, lambda);
        bool is_done = true;
        for (std::size_t k = 0; k < n_modes; ++k) {
            const auto i = static_cast<Index>(k);
            result.residual[i] = residual.size[i] / residual.scale[i];
            const bool is_converged = result.residual[i] <= options.tolerance;
            is_done = is_done && is_converged;
            for (Index row = 2 * i; row < 2 * i + 2; ++row) {
                const bool matters = residual.r.row(row).norm() > 0.1 * options.tolerance * residual.scale[i];
                if (is_converged || !matters) residual.r.row(row).setZero();
            }
        }
        result.n_rounds = round;
        if (is_done || round == max_rounds) break;
        // A space that is complete may still need another step within it.
        const int added = space.extend(factor.solve(residual.r));
        if (added == 0 && last_added == 0) break;
        last_added = added;
        for (ReducedMode& mode : modes) mode.c.conservativeResizeLike(Eigen::VectorXcd::Zero(space.size()));
        advance(op, space.reduced(), result.residual.maxCoeff(), modes);
    }
    result.lambda.resize(static_cast<Index>(n_modes));
    result.phi.resize(phi.cols(), static_cast<Index>(n_modes));
    for (std::size_t k = 0; k < n_modes; ++k) {
        const auto i = static_cast<Index>(k);
        result.lambda[i] = modes[k].lambda;
        result.phi.col(i).real() = phi.row(2 * i).transpose();
        result.phi.col(i).imag() = phi.row(2 * i + 1).transpose();
    }
    return result;
}

} // namespace stillwall::solver::internal
