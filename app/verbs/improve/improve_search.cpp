#include "app/verbs/improve/improve_search.h"

#include "app/verbs/improve/improve_walk.h"
#include "app/workers/apart.h"
#include "mesh/cabinet/build.h"
#include "solver/choose/search.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <random>

namespace stillwall::app {
namespace {

using Aim = ImproveAsk::Aim;
/// Mass, litres and price of a combination, without computing how it rings; nothing when it cannot be built.
std::optional<Tried> weighed(const ChoiceSpace& space, const std::vector<std::string>& words, std::string& problem)
{
    try {
        const CabinetPlan plan = space.plan(words);
        const Cabinet cabinet = build_cabinet(plan);
        const Bookkeeping books = bookkeeping(cabinet);
        Tried tried;
        tried.values = words;
        tried.mass = books.mass;
        tried.net_volume = books.net_volume_m3;
        tried.price = price_by_area(sawn_parts(plan, cabinet, books), space.source().workshop());
        return tried;
    } catch (const InputError& error) {
        if (problem.empty()) problem = error.what();
        return std::nullopt;
    }
}

/// A search over numbers to be done.
struct WalkTask
{
    std::size_t open = 0;
    WalkPart part = WalkPart::All;
};

/// Says which limit leaves nothing.
[[noreturn]] void fail_excluded(const ImproveAsk& ask, const std::vector<Tried>& all)
{
    const auto none = [&](auto keeps) { return std::none_of(all.begin(), all.end(), keeps); };
    const auto by = [&](auto less) { return *std::min_element(all.begin(), all.end(), less); };
    std::string bites;
    if (ask.most_mass && none([&](const Tried& t) { return t.mass <= *ask.most_mass; }))
        bites = fmt::format("'mass' of at most {:.2f} kg excludes all {} combinations, the lightest weighs {:.2f} kg",
                            *ask.most_mass, all.size(),
                            by([](const Tried& a, const Tried& b) { return a.mass < b.mass; }).mass);
    else if (ask.least_volume && none([&](const Tried& t) { return t.net_volume >= *ask.least_volume; }))
        bites = fmt::format("'net_volume' of at least {:.1f} l excludes all {} combinations, the roomiest has {:.1f} l",
                            *ask.least_volume * 1e3, all.size(),
                            by([](const Tried& a, const Tried& b) { return a.net_volume > b.net_volume; }).net_volume *
                                1e3);
    else if (ask.most_price && none([&](const Tried& t) { return !t.price || *t.price <= *ask.most_price; }))
        bites = fmt::format("'price' of at most {:.2f} excludes all {} combinations, the cheapest costs {:.2f}",
                            *ask.most_price, all.size(),
                            *by([](const Tried& a, const Tried& b) { return *a.price < *b.price; }).price);
    else
        bites = "each limit by itself leaves something, all together leave nothing; the limits on mass, net_volume and "
                "price contradict each other";
    throw InputError(ask.where_limits, "improve.limits", bites);
}

/// Combinations that can be built and keep the limits that need no solution.
std::vector<Open> possible(const ChoiceSpace& space, const ImproveAsk& ask, ImproveReport& report)
{
    std::vector<Open> open;
    std::vector<Tried> all;
    std::string problem;
    const std::vector<Combination> combinations = space.combinations();
    for (const Combination& c : combinations) {
        const std::optional<Tried> tried = weighed(space, space.words(c, space.starts()), problem);
        if (!tried) continue;
        all.push_back(*tried);
        if (keeps_limits(ask, *tried)) open.push_back({c, *tried});
    }
    report.n_combinations = static_cast<int>(combinations.size());
    if (all.empty())
        throw InputError(ask.where, "improve.choices",
                         fmt::format("no combination can be built; the first fails with: {}", problem));
    const bool has_prices = std::none_of(all.begin(), all.end(), [](const Tried& t) { return !t.price; });
    constexpr const char* give_prices = "needs prices; give that of every board under workshop.sheets";
    if (ask.aim == Aim::Cheapest && !has_prices)
        throw InputError(ask.where, "improve.aim", std::string("cheapest ") + give_prices);
    if (ask.most_price && !has_prices) throw InputError(ask.where_limits, "improve.limits.price", give_prices);
    if (open.empty()) fail_excluded(ask, all);
    report.n_excluded = report.n_combinations - static_cast<int>(open.size());
    return open;
}

/// At most `most` of them: a seeded sample where there are more.
void thin_out(std::vector<Open>& open, const ImproveAsk& ask, std::size_t most, unsigned seed, ImproveReport& report)
{
    if (open.size() <= most) return;
    report.saw_all = false;
    if (ask.aim == Aim::Cheapest || ask.aim == Aim::Lightest) {
        // From the cheapest up: the answer lies there, if anywhere.
        std::stable_sort(open.begin(), open.end(),
                         [&](const Open& a, const Open& b) { return merit(ask, a.weighed) < merit(ask, b.weighed); });
    } else {
        std::mt19937 random(seed);
        for (std::size_t i = open.size() - 1; i > 0; --i) std::swap(open[i], open[random() % (i + 1)]);
    }
    open.resize(most);
}

/// Orders by what the aim counts, those that keep the limits and do what it asks first.
bool is_better(const ImproveAsk& ask, const Tried& a, const Tried& b)
{
    if (a.is_within != b.is_within) return a.is_within;
    const bool good_a = is_good_enough(ask, a), good_b = is_good_enough(ask, b);
    if (good_a != good_b) return good_a;
    // Until something is quiet enough the quieter one leads.
    if (!good_a && a.over_dB != b.over_dB) return a.over_dB < b.over_dB;
    return merit(ask, a) < merit(ask, b);
}

/// What no other beats in both the aim and the weight, best first.
std::vector<std::size_t> front_of(const ImproveAsk& ask, const std::vector<Tried>& tried)
{
    std::vector<std::size_t> within;
    std::vector<solver::TwoAims> points;
    for (std::size_t i = 0; i < tried.size(); ++i) {
        if (!tried[i].is_within) continue;
        within.push_back(i);
        const double quiet = ask.aim == Aim::FirstMode ? merit(ask, tried[i]) : tried[i].over_dB;
        points.push_back({quiet, ask.aim == Aim::Cheapest ? *tried[i].price : tried[i].mass});
    }
    std::vector<std::size_t> front;
    for (const std::size_t p : solver::trade_off_front(points)) front.push_back(within[p]);
    return front;
}

/// At most `most`, spread evenly, the ends kept and the one the aim wants.
std::vector<std::size_t> thinned(const std::vector<std::size_t>& front, std::size_t chief, std::size_t most)
{
    if (front.size() <= most) return front;
    std::vector<std::size_t> kept;
    for (std::size_t k = 0; k < most; ++k) kept.push_back(front[k * (front.size() - 1) / (most - 1)]);
    if (std::find(kept.begin(), kept.end(), chief) == kept.end()) {
        const auto at = std::find(front.begin(), front.end(), chief) - front.begin();
        kept[std::min(most - 1, static_cast<std::size_t>(at) * most / front.size())] = chief;
    }
    return kept;
}

} // namespace

void search_improvements(const CabinetSource& source, const SchemeTask& task, const ImproveLimits& limits,
                         ImproveReport& report, Progress& progress)
{
    const ImproveAsk& ask = report.ask;
    const ChoiceSpace space(source, ask.choices);
    std::vector<Open> open = possible(space, ask, report);
    const bool has_numbers =
        std::any_of(ask.choices.begin(), ask.choices.end(), [](const ChangeAxis& c) { return c.within.has_value(); });
    const auto tries = static_cast<std::size_t>(limits.tries);
    thin_out(open, ask, std::max<std::size_t>(1, has_numbers ? tries / 2 : tries), limits.seed, report);

    // 1. Every combination, its numbers where the file has them.
    std::vector<std::optional<Tried>> at_start(open.size());
    const auto to_tried = [&](const Open& one, const std::string& bytes) {
        Tried tried = tried_of(unpacked(bytes));
        tried.values = space.words(one.combination, space.starts());
        tried.is_within = keeps_limits(ask, tried);
        return tried;
    };
    std::size_t n_done = 0;
    compute_apart(
        open.size(),
        [&](std::size_t i) {
            return packed(
                compute_scheme(space.plan(space.words(open[i].combination, space.starts())), source.workshop(), task));
        },
        [&](std::size_t i, const Outcome& outcome) {
            if (outcome.problem.empty())
                at_start[i] = to_tried(open[i], outcome.bytes);
            else
                ++report.n_failed;
            progress.show("combinations",
                          0.02 + 0.5 * static_cast<double>(++n_done) / static_cast<double>(open.size()));
        },
        {.at_most = limits.jobs});
    for (const std::optional<Tried>& tried : at_start)
        if (tried) report.tried.push_back(*tried);

    // 2. The numbers of the most promising ones.
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < open.size(); ++i)
        if (!space.free_numbers(open[i].combination).empty() && at_start[i]) order.push_back(i);
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return is_better(ask, *at_start[a], *at_start[b]); });
    constexpr std::size_t most_walks = 4;
    order.resize(std::min(order.size(), most_walks));
    std::vector<WalkTask> walks;
    for (const std::size_t i : order) walks.push_back({i});
    // A single one is walked in two halves: one core would have nothing to do.
    if (order.size() == 1) walks = {{order[0], WalkPart::Lower}, {order[0], WalkPart::Upper}};
    if (!walks.empty()) {
        const int each = std::max(3, (limits.tries - static_cast<int>(open.size())) / static_cast<int>(walks.size()));
        std::vector<std::vector<Tried>> found(walks.size());
        n_done = 0;
        compute_apart(
            walks.size(),
            [&](std::size_t k) { return walked(space, task, ask, open[walks[k].open], walks[k].part, each); },
            [&](std::size_t k, const Outcome& outcome) {
                if (!outcome.problem.empty()) throw Error(outcome.problem);
                found[k] = unpacked_list(outcome.bytes);
                progress.show("positions and sizes",
                              0.52 + 0.3 * static_cast<double>(++n_done) / static_cast<double>(walks.size()));
            },
            {.at_most = limits.jobs});
        for (const std::vector<Tried>& list : found) report.tried.insert(report.tried.end(), list.begin(), list.end());
    }
    if (report.tried.empty()) throw Error("none of the combinations could be computed");

    // 3. What is worth looking at.
    std::size_t chief = 0;
    for (std::size_t i = 1; i < report.tried.size(); ++i)
        if (is_better(ask, report.tried[i], report.tried[chief])) chief = i;
    if (!report.tried[chief].is_within)
        throw InputError(
            ask.where_limits, "improve.limits",
            fmt::format("'first_mode' of at least {:.0f} Hz is not reached by any of the {} cabinets computed",
                        ask.least_first_Hz.value_or(0), report.tried.size()));
    std::vector<std::size_t> front = thinned(front_of(ask, report.tried), chief, 6);
    if (std::find(front.begin(), front.end(), chief) == front.end()) front.insert(front.begin(), chief);
    std::stable_sort(front.begin(), front.end(),
                     [&](std::size_t a, std::size_t b) { return is_better(ask, report.tried[a], report.tried[b]); });
    for (const std::size_t i : front)
        report.front.push_back({report.tried[i], {}, space.settings(report.tried[i].values)});
}

} // namespace stillwall::app
