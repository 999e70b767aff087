#pragma once
// Searching a box of a few numbers, with as few trials as may be: each costs a mesh and a solution.

#include <functional>
#include <optional>
#include <vector>

namespace stillwall::solver {

/// A box; low < high for each number.
struct SearchSpace
{
    std::vector<double> low, high, start;
    [[nodiscard]] std::size_t size() const { return low.size(); }
};

/// Value at a point; nothing where it cannot be built.
using Valued = std::function<std::optional<double>(const std::vector<double>&)>;

/// Looks for the least value without derivatives: two thirds of the trials by dividing rectangles over the whole box
/// (D. R. Jones, C. D. Perttunen, B. E. Stuckman, J. Optim. Theory Appl. 79 (1993) 157, in the locally biased form of
/// J. M. Gablonsky, C. T. Kelley, J. Glob. Optim. 21 (2001) 27), the rest by subspace simplex from the best found (T.
/// Rowan, thesis, Austin 1990), as NLopt has them. Deterministic. Points that cannot be built count as much worse than
/// all others.
/// @param tries  at most so many calls, ≥ 1; the first is at the start
/// @throws DomainError  an empty box, a start outside it
void search_least(const SearchSpace& space, const Valued& value, int tries);

/// Several values that are all to be large, with their derivatives.
struct Lowest
{
    std::vector<double> values;                 ///< [n]
    std::vector<std::vector<double>> gradients; ///< [n][number]
};

/// Raises the lowest of several smooth functions: max t with t ≤ f_i(x), by sequential quadratic programming (D. Kraft,
/// ACM Trans. Math. Softw. 20 (1994) 262, as NLopt has it) on exact derivatives. The functions may change places, as
/// sorted frequencies do: where two meet both bind.
/// @param tries  at most so many calls
void search_highest_lowest(const SearchSpace& space,
                           const std::function<std::optional<Lowest>(const std::vector<double>&)>& value, int tries);

/// Places of those points that no other one beats in both numbers, both to be small; ascending in the first. Of equals
/// the first counts.
struct TwoAims
{
    double first = 0, second = 0;
};
[[nodiscard]] std::vector<std::size_t> trade_off_front(const std::vector<TwoAims>& points);

} // namespace stillwall::solver
