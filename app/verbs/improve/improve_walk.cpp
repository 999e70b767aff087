#include "app/verbs/improve/improve_walk.h"

#include "app/verbs/improve/improve_slopes.h"
#include "app/workers/archive.h"
#include "solver/choose/search.h"

#include <algorithm>
#include <map>

namespace stillwall::app {
namespace {

using Aim = ImproveAsk::Aim;

std::string packed(const std::vector<Tried>& list)
{
    Packer packer;
    packer.put(list.size());
    for (const Tried& t : list) {
        packer.put(t.values), packer.put(t.is_played), packer.put(t.first_Hz), packer.put(t.loudest_dB),
            packer.put(t.over_dB);
        packer.put(t.first_board), packer.put(t.loudest_board), packer.put(t.loudest_Hz), packer.put(t.n_audible),
            packer.put(t.n_borderline);
        packer.put(t.mass), packer.put(t.net_volume), packer.put(t.price), packer.put(t.is_within);
    }
    return packer.take();
}

/// Where one search over numbers stands.
struct Walk
{
    const ChoiceSpace& space;
    const SchemeTask& task;
    const ImproveAsk& ask;
    Combination combination;
    std::vector<std::size_t> free;
    std::vector<Tried> seen{};
    std::map<std::vector<std::string>, std::optional<double>> known{};

    [[nodiscard]] std::vector<std::string> words(const std::vector<double>& x) const
    {
        std::vector<double> numbers = space.starts();
        for (std::size_t k = 0; k < free.size(); ++k) numbers[free[k]] = x[k];
        return space.words(combination, numbers);
    }
    void see(Tried tried, const std::vector<std::string>& at)
    {
        tried.values = at;
        tried.is_within = keeps_limits(ask, tried);
        std::optional<double>& result = known[at];
        if (tried.is_within) result = ask.aim == Aim::FirstMode ? merit(ask, tried) : tried.over_dB;
        seen.push_back(std::move(tried));
    }
    /// The lowest modes with their derivatives by the free numbers.
    [[nodiscard]] std::optional<solver::Lowest> slopes(const std::vector<double>& x, const solver::SearchSpace& box)
    {
        const std::vector<std::string> at = words(x);
        try {
            const CabinetPlan plan = space.plan(at);
            std::vector<CabinetPlan> beside;
            std::vector<double> step;
            for (std::size_t k = 0; k < x.size(); ++k) {
                std::vector<double> moved = x;
                step.push_back((moved[k] > (box.low[k] + box.high[k]) / 2 ? -0.05 : 0.05) * (box.high[k] - box.low[k]));
                moved[k] += step[k];
                beside.push_back(space.plan(words(moved)));
            }
            SchemeTask with_worth = task;
            with_worth.wants_worth = true;
            const ComputedScheme scheme = compute_scheme(plan, space.source().workshop(), with_worth);
            see(tried_of(scheme), at);
            if (!known[at]) return std::nullopt; // beyond a limit
            return lowest_with_slopes(plan, scheme, beside, step);
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
            see(tried_of(compute_scheme(space.plan(at), space.source().workshop(), task)), at);
        } catch (const Error&) {
            // A place where it cannot be built is an answer, too.
        }
        return known[at];
    }
};

} // namespace

std::string walked(const ChoiceSpace& space, const SchemeTask& task, const ImproveAsk& ask, const Open& open,
                   WalkPart part, int tries)
{
    Walk walk{space, task, ask, open.combination, space.free_numbers(open.combination)};
    solver::SearchSpace box;
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
    if (ask.aim == Aim::FirstMode && std::all_of(axes.begin(), axes.end(), has_slope)) {
        solver::search_highest_lowest(
            box, [&](const std::vector<double>& x) { return walk.slopes(x, box); },
            std::max(2, tries / 3)); // each costs about two
        const int left = tries - 2 * (tries / 3);
        if (left > 2)
            solver::search_least(
                box, [&](const std::vector<double>& x) { return walk.value(x); }, left);
        return packed(walk.seen);
    }
    solver::search_least(
        box, [&](const std::vector<double>& x) { return walk.value(x); }, tries);
    return packed(walk.seen);
}

std::vector<Tried> unpacked_list(const std::string& bytes)
{
    Unpacker unpacker(bytes);
    std::size_t n = 0;
    unpacker.get(n);
    std::vector<Tried> list(n);
    for (Tried& t : list) {
        unpacker.get(t.values), unpacker.get(t.is_played), unpacker.get(t.first_Hz), unpacker.get(t.loudest_dB),
            unpacker.get(t.over_dB);
        unpacker.get(t.first_board), unpacker.get(t.loudest_board), unpacker.get(t.loudest_Hz),
            unpacker.get(t.n_audible), unpacker.get(t.n_borderline);
        unpacker.get(t.mass), unpacker.get(t.net_volume), unpacker.get(t.price), unpacker.get(t.is_within);
    }
    return list;
}

} // namespace stillwall::app
