#include "solver/linalg/internal/lossy_batches.h"

#include "solver/linalg/internal/lossy_start.h"
#include "solver/linalg/parallel.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace stillwall::solver::internal {

namespace {

// Where to cut the sorted modes into batches of up to four, enriched together: their real and imaginary parts fill a
// block of eight. Few batches, of like size, and no cut between modes close to each other. Ends of the batches.
std::vector<std::size_t> batch_ends(std::span<const ReducedMode> modes)
{
    constexpr std::size_t largest = 4;
    constexpr double close = 3e-3; // relative distance of λ; as costly to cut as a batch
    std::vector<double> cost(modes.size() + 1, std::numeric_limits<double>::infinity());
    std::vector<std::size_t> before(modes.size() + 1, 0);
    cost[0] = 0;
    for (std::size_t end = 1; end <= modes.size(); ++end) {
        for (std::size_t n = 1; n <= std::min(largest, end); ++n) {
            const double short_of = static_cast<double>(largest - n);
            const bool is_cut = end < modes.size() && std::abs(modes[end].lambda - modes[end - 1].lambda) <
                                                          close * std::abs(modes[end].lambda);
            const double total = cost[end - n] + 1 + 0.05 * short_of * short_of + (is_cut ? 1 : 0);
            if (total >= cost[end]) continue;
            cost[end] = total;
            before[end] = end - n;
        }
    }
    std::vector<std::size_t> ends;
    for (std::size_t end = modes.size(); end > 0; end = before[end]) ends.push_back(end);
    std::reverse(ends.begin(), ends.end());
    return ends;
}

// The group of batches that shares a factor with the first: one past its last.
std::size_t end_of_group(std::span<const ReducedMode> modes, const std::vector<std::size_t>& ends, std::size_t first)
{
    constexpr double span = 1.4 * 1.4; // of λ: a factor costs about as much as three batches
    const double lowest = modes[first == 0 ? 0 : ends[first - 1]].lambda.real();
    std::size_t last = first + 1;
    while (last < ends.size() && modes[ends[last] - 1].lambda.real() <= span * lowest) ++last;
    return last;
}

void append(const EnrichedModes& from, Eigen::Index at, EnrichedModes& to)
{
    to.phi.middleCols(at, from.phi.cols()) = from.phi;
    to.lambda.segment(at, from.phi.cols()) = from.lambda;
    to.residual.segment(at, from.phi.cols()) = from.residual;
    to.n_rounds = std::max(to.n_rounds, from.n_rounds);
}

} // namespace

EnrichedModes LossyBatches::enrich(std::span<const ReducedMode> modes) const
{
    const auto n = static_cast<Eigen::Index>(modes.size());
    EnrichedModes result{Eigen::MatrixXcd(op_.K().cols(), n), Eigen::VectorXcd(n), Eigen::VectorXd(n), 0};
    const std::vector<std::size_t> ends = batch_ends(modes);
    Eigen::Index at = 0;
    for (std::size_t first = 0; first < ends.size();) {
        const std::size_t last = end_of_group(modes, ends, first);
        std::size_t begin = first == 0 ? 0 : ends[first - 1];
        Batch group(modes.begin() + static_cast<std::ptrdiff_t>(begin),
                    modes.begin() + static_cast<std::ptrdiff_t>(ends[last - 1]));
        const ShiftedFactor factor = factor_amid(op_, group, tree_);
        const SearchSpace near = part_for(op_, space_, group);
        std::vector<Batch> batches;
        auto from = group.begin();
        for (; first < last; begin = ends[first++]) {
            const auto to = from + static_cast<std::ptrdiff_t>(ends[first] - begin);
            batches.emplace_back(from, to);
            from = to;
        }
        for (const EnrichedModes& found : enrich_side_by_side(near, factor, batches)) {
            append(found, at, result);
            at += found.lambda.size();
        }
    }
    return result;
}

// In the order of the batches, whichever thread takes them.
std::vector<EnrichedModes> LossyBatches::enrich_side_by_side(const SearchSpace& space, const ShiftedFactor& factor,
                                                             const std::vector<Batch>& batches) const
{
    std::vector<EnrichedModes> found(batches.size());
    for_each_item(batches.size(),
                  [&](std::size_t i) { found[i] = internal::enrich(op_, space, factor, batches[i], options_); });
    return found;
}

} // namespace stillwall::solver::internal
