#include "solver/choose/walk.h"

#include "solver/choose/search.h"
#include "solver/choose/slopes.h"

#include <algorithm>
#include <map>

namespace stillwall::solver {
namespace {

/// Where one search over numbers stands.
struct Walk
{
    const WalkTask& task;
    Combination combination;
    std::vector<std::size_t> free;
    std::vector<Tried> seen{};
    std::map<std::vector<std::string>, std::optional<double>> known{};

    [[nodiscard]] std::vector<std::string> words(const std::vector<double>& x) const
    {
        std::vector<double> numbers = task.space.starts();
        for (std::size_t k = 0; k < free.size(); ++k) numbers[free[k]] = x[k];
        return task.space.words(combination, numbers);
    }
    void see(Tried tried, const std::vector<std::string>& at)
    {
        tried.values = at;
        tried.is_within = keeps_limits(task.ask, tried);
        std::optional<double>& result = known[at];
        if (tried.is_within) result = facts_of(task.ask.aim).searched(tried);
        seen.push_back(std::move(tried));
    }
    /// The lowest modes with their derivatives by the free numbers.
    [[nodiscard]] std::optional<Lowest> slopes(const std::vector<double>& x, const SearchSpace& box)
    {
        const std::vector<std::string> at = words(x);
        try {
            const CabinetPlan plan = task.space.plan(at);
            std::vector<CabinetPlan> beside;
            std::vector<double> step;
            for (std::size_t k = 0; k < x.size(); ++k) {
                std::vector<double> moved = x;
                step.push_back((moved[k] > (box.low[k] + box.high[k]) / 2 ? -0.05 : 0.05) * (box.high[k] - box.low[k]));
                moved[k] += step[k];
                beside.push_back(task.space.plan(words(moved)));
            }
            SchemeTask with_worth = task.scheme;
            with_worth.wants_worth = true;
            const ComputedScheme scheme = task.computer.compute(plan, task.space.source().workshop(), with_worth);
            see(tried_of(scheme), at);
            if (!known[at]) return std::nullopt; // beyond a limit
            return lowest_with_slopes(plan, scheme, beside, step, task.scheme.f_max);
        } catch (const Error&) {
            return std::nullopt;
        }
    }
    /// How quiet, or how low the first mode, at these numbers; beyond a limit counts as not to be built.
    [[nodiscard]] std::optional<double> value(const std::vector<double>& x)
    {
        const std::vector<std::string> at = words(x);
        if (const auto found = known.find(at); found != known.end()) return found->second;
        known[at] = std::nullopt;
        try {
            see(tried_of(task.computer.compute(task.space.plan(at), task.space.source().workshop(), task.scheme)), at);
        } catch (const Error&) {
            // A place where it cannot be built is an answer, too.
        }
        return known[at];
    }
};

} // namespace

std::vector<Tried> walked(const WalkTask& task, const Open& open, WalkPart part)
{
    const ChoiceSpace& space = task.space;
    Walk walk{task, open.combination, space.free_numbers(open.combination)};
    SearchSpace box;
    std::vector<ChangeAxis> axes;
    for (const std::size_t i : walk.free) {
        box.low.push_back(space.choices()[i].within->low);
        box.high.push_back(space.choices()[i].within->high);
        box.start.push_back(space.starts()[i]);
        axes.push_back(space.choices()[i]);
    }
    const double middle = (box.low[0] + box.high[0]) / 2;
    if (part == WalkPart::Lower) box.high[0] = middle;
    if (part == WalkPart::Upper) box.low[0] = middle;
    if (box.start[0] < box.low[0] || box.start[0] > box.high[0]) box.start[0] = (box.low[0] + box.high[0]) / 2;
    if (facts_of(task.ask.aim).climbs_lowest_modes && std::all_of(axes.begin(), axes.end(), has_slope)) {
        search_highest_lowest(
            box, [&](const std::vector<double>& x) { return walk.slopes(x, box); },
            std::max(2, task.tries / 3)); // each costs about two
        const int left = task.tries - 2 * (task.tries / 3);
        if (left > 2)
            search_least(
                box, [&](const std::vector<double>& x) { return walk.value(x); }, left);
        return walk.seen;
    }
    search_least(
        box, [&](const std::vector<double>& x) { return walk.value(x); }, task.tries);
    return walk.seen;
}

} // namespace stillwall::solver
