#include "solver/choose/search.h"

#include "mesh/cabinet/error.h"

#include <fmt/format.h>
#include <nlopt.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace stillwall::solver {
namespace {

using Point = std::vector<double>;

void check(const SearchSpace& space, int tries)
{
    if (space.low.empty() || space.high.size() != space.low.size() || space.start.size() != space.low.size())
        throw DomainError("search: the box needs two ends and a start for each number");
    for (std::size_t i = 0; i < space.low.size(); ++i)
        if (!(space.low[i] < space.high[i] && space.start[i] >= space.low[i] && space.start[i] <= space.high[i]))
            throw DomainError(fmt::format("search: number {} must start within its ends, {} in {} to {}", i + 1,
                                          space.start[i], space.low[i], space.high[i]));
    if (tries < 1) throw DomainError("search: at least one trial is needed");
}

/// The box as the unit cube, so that one step means as much along every axis.
Point scaled_back(const SearchSpace& space, const Point& unit)
{
    Point x(space.size());
    for (std::size_t i = 0; i < x.size(); ++i)
        x[i] = std::clamp(space.low[i] + unit[i] * (space.high[i] - space.low[i]), space.low[i], space.high[i]);
    return x;
}

Point to_unit(const SearchSpace& space, const Point& x)
{
    Point unit(space.size());
    for (std::size_t i = 0; i < unit.size(); ++i) unit[i] = (x[i] - space.low[i]) / (space.high[i] - space.low[i]);
    return unit;
}

/// Runs until it is done; running out of digits or of trials is an end like another.
void run(nlopt::opt& optimiser, Point& start)
{
    double ignored = 0;
    try {
        optimiser.optimize(start, ignored);
    } catch (const nlopt::roundoff_limited&) {
    } catch (const nlopt::forced_stop&) {
    } catch (const std::runtime_error&) { // the library's plain failure: the best so far stands
    }
}

class LeastSearch
{
public:
    LeastSearch(const SearchSpace& space, const Valued& value) : space_(space), value_(value) {}

    double call(const Point& unit)
    {
        const std::optional<double> found = value_(scaled_back(space_, unit));
        if (!found)
            return worst_ + std::max(1.0, std::abs(worst_)); // far enough to be shunned, near enough to be scaled
        worst_ = is_first_ ? *found : std::max(worst_, *found);
        is_first_ = false;
        if (*found < best_) {
            best_ = *found;
            best_at_ = unit;
        }
        return *found;
    }
    [[nodiscard]] const Point& best_at() const { return best_at_; }

    void by(nlopt::algorithm method, int tries, Point start, double step)
    {
        if (tries < 1) return;
        nlopt::opt optimiser(method, static_cast<unsigned>(space_.size()));
        optimiser.set_lower_bounds(0.0);
        optimiser.set_upper_bounds(1.0);
        optimiser.set_maxeval(tries);
        if (step > 0) optimiser.set_initial_step(step);
        optimiser.set_xtol_abs(1e-3);
        optimiser.set_min_objective([](const std::vector<double>& x, std::vector<double>&,
                                       void* self) { return static_cast<LeastSearch*>(self)->call(x); },
                                    this);
        run(optimiser, start);
    }

private:
    const SearchSpace& space_;
    const Valued& value_;
    double worst_ = 0, best_ = std::numeric_limits<double>::infinity();
    bool is_first_ = true;
    Point best_at_;
};

/// Values and derivatives of the last point: the optimiser asks for each function by itself.
class LowestSearch
{
public:
    using Function = std::function<std::optional<Lowest>(const Point&)>;
    LowestSearch(const SearchSpace& space, const Function& value, int tries)
        : space_(space), value_(value), left_(tries)
    {
    }

    /// Looks at a point; false when it cannot be built or the trials are used up.
    [[nodiscard]] bool look(const Point& unit)
    {
        if (unit == at_) return is_known_;
        if (left_-- <= 0) throw nlopt::forced_stop();
        at_ = unit;
        const std::optional<Lowest> found = value_(scaled_back(space_, unit));
        is_known_ = found.has_value();
        if (found) last_ = *found;
        return is_known_;
    }
    [[nodiscard]] const Lowest& last() const { return last_; }
    [[nodiscard]] const SearchSpace& space() const { return space_; }

private:
    const SearchSpace& space_;
    const Function& value_;
    int left_;
    Point at_;
    bool is_known_ = false;
    Lowest last_;
};

struct Bound
{
    LowestSearch* search;
    std::size_t which;
    double scale; ///< of t
};

/// t − f_i(x) ≤ 0 over (x, t), in units of the scale.
double bound(const std::vector<double>& xt, std::vector<double>& gradient, void* data)
{
    const Bound& self = *static_cast<Bound*>(data);
    const std::size_t n = xt.size() - 1;
    const Point unit(xt.begin(), xt.end() - 1);
    const bool is_known = self.search->look(unit);
    const Lowest& last = self.search->last();
    const std::size_t i = std::min(self.which, last.values.size() - 1);
    if (!gradient.empty()) {
        for (std::size_t k = 0; k < n; ++k)
            gradient[k] =
                -last.gradients[i][k] * (self.search->space().high[k] - self.search->space().low[k]) / self.scale;
        gradient[n] = 1;
    }
    // Where nothing can be built the functions count as nought: the step is taken back.
    return xt[n] - (is_known ? last.values[i] / self.scale : 0);
}

} // namespace

void search_least(const SearchSpace& space, const Valued& value, int tries)
{
    check(space, tries);
    LeastSearch search(space, value);
    const Point start = to_unit(space, space.start);
    static_cast<void>(search.call(start));
    const int wide = (tries - 1) * 2 / 3;
    search.by(nlopt::GN_DIRECT_L, wide, start, 0);
    const Point from = search.best_at().empty() ? start : search.best_at();
    search.by(nlopt::LN_SBPLX, tries - 1 - wide, from, 0.08);
}

void search_highest_lowest(const SearchSpace& space, const std::function<std::optional<Lowest>(const Point&)>& value,
                           int tries)
{
    check(space, tries);
    LowestSearch search(space, value, tries);
    const Point start = to_unit(space, space.start);
    if (!search.look(start) || search.last().values.empty()) return;
    const std::size_t n = space.size(), n_functions = search.last().values.size();
    const double first = *std::min_element(search.last().values.begin(), search.last().values.end());
    if (!(first > 0)) throw DomainError("search: values to be raised must be above zero");

    nlopt::opt optimiser(nlopt::LD_SLSQP, static_cast<unsigned>(n + 1));
    Point low(n + 1, 0.0), high(n + 1, 1.0), at = start;
    high[n] = 1e3;
    at.push_back(1.0); // t in units of the lowest at the start
    optimiser.set_lower_bounds(low);
    optimiser.set_upper_bounds(high);
    optimiser.set_xtol_abs(1e-3);
    optimiser.set_maxeval(tries * 4);
    optimiser.set_max_objective(
        [](const std::vector<double>& xt, std::vector<double>& gradient, void*) {
            if (!gradient.empty()) {
                std::fill(gradient.begin(), gradient.end(), 0.0);
                gradient.back() = 1;
            }
            return xt.back();
        },
        nullptr);
    std::vector<Bound> bounds;
    for (std::size_t i = 0; i < n_functions; ++i) bounds.push_back({&search, i, first});
    for (Bound& one : bounds) optimiser.add_inequality_constraint(bound, &one, 1e-6);
    run(optimiser, at);
}

std::vector<std::size_t> trade_off_front(const std::vector<TwoAims>& points)
{
    std::vector<std::size_t> order(points.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return points[a].first != points[b].first ? points[a].first < points[b].first
                                                  : points[a].second < points[b].second;
    });
    std::vector<std::size_t> front;
    for (const std::size_t i : order)
        if (front.empty() || points[i].second < points[front.back()].second) front.push_back(i);
    return front;
}

} // namespace stillwall::solver
