#include "solver/choose/internal/possible.h"

#include "mesh/cabinet/build.h"
#include "mesh/sawing/blanks.h"

#include <fmt/format.h>

#include <algorithm>
#include <random>

namespace stillwall::solver::internal {
namespace {

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
        tried.price = price_by_area(blanks_of(sawn_parts(plan, cabinet, books)), space.source().workshop());
        return tried;
    } catch (const InputError& error) {
        if (problem.empty()) problem = error.what();
        return std::nullopt;
    }
}

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

} // namespace

std::vector<Open> possible(const ChoiceSpace& space, const ImproveAsk& ask, Improved& found)
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
    found.n_combinations = static_cast<int>(combinations.size());
    if (all.empty())
        throw InputError(ask.where, "improve.choices",
                         fmt::format("no combination can be built; the first fails with: {}", problem));
    const bool has_prices = std::none_of(all.begin(), all.end(), [](const Tried& t) { return !t.price; });
    constexpr const char* give_prices = "needs prices; give that of every board under workshop.sheets";
    const AimFacts& aim = facts_of(ask.aim);
    if (aim.is_by_price && !has_prices)
        throw InputError(ask.where, "improve.aim", fmt::format("{} {}", aim.word, give_prices));
    if (ask.most_price && !has_prices) throw InputError(ask.where_limits, "improve.limits.price", give_prices);
    if (open.empty()) fail_excluded(ask, all);
    found.n_excluded = found.n_combinations - static_cast<int>(open.size());
    return open;
}

void thin_out(std::vector<Open>& open, const ImproveAsk& ask, std::size_t most, unsigned seed, Improved& found)
{
    if (open.size() <= most) return;
    found.saw_all = false;
    if (facts_of(ask.aim).is_of_books) {
        // From the cheapest up: the answer lies there, if anywhere.
        std::stable_sort(open.begin(), open.end(),
                         [&](const Open& a, const Open& b) { return merit(ask, a.weighed) < merit(ask, b.weighed); });
    } else {
        std::mt19937 random(seed);
        for (std::size_t i = open.size() - 1; i > 0; --i) std::swap(open[i], open[random() % (i + 1)]);
    }
    open.resize(most);
}

} // namespace stillwall::solver::internal
