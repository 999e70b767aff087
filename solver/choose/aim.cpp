#include "solver/choose/aim.h"

#include <array>
#include <cassert>
#include <limits>

namespace stillwall::solver {
namespace {

double over_notice(const Tried& tried)
{
    return tried.over_notice();
}

double minus_first_Hz(const Tried& tried)
{
    return tried.first ? -tried.first->f_Hz : -1e6; // none below the upper frequency: nothing is higher
}

double price(const Tried& tried)
{
    return tried.price.value_or(std::numeric_limits<double>::infinity());
}

double mass(const Tried& tried)
{
    return tried.mass;
}

constexpr std::array aims{
    AimFacts{.aim = Aim::Quietest,
             .word = "quietest",
             .phrase = "the quietest walls",
             .merit = over_notice,
             .searched = over_notice,
             .plays = true},
    AimFacts{.aim = Aim::FirstMode,
             .word = "first_mode",
             .phrase = "the highest first mode",
             .merit = minus_first_Hz,
             .searched = minus_first_Hz,
             .climbs_lowest_modes = true},
    AimFacts{.aim = Aim::Cheapest,
             .word = "cheapest",
             .phrase = "the cheapest with no wall heard",
             .merit = price,
             .searched = over_notice,
             .plays = true,
             .is_of_books = true,
             .is_by_price = true},
    AimFacts{.aim = Aim::Lightest,
             .word = "lightest",
             .phrase = "the lightest with no wall heard",
             .merit = mass,
             .searched = over_notice,
             .plays = true,
             .is_of_books = true},
};

} // namespace

std::span<const AimFacts> all_aims()
{
    return aims;
}

const AimFacts& facts_of(Aim aim)
{
    const AimFacts& facts = aims.at(static_cast<std::size_t>(aim));
    assert(facts.aim == aim);
    return facts;
}

Tried tried_of(const ComputedScheme& scheme)
{
    const SchemeFigures& f = scheme.figures;
    Tried tried;
    tried.is_played = f.is_played;
    if (const SchemeMode* first = f.at(f.first)) tried.first = *first;
    if (const SchemeMode* loudest = f.at(f.loudest)) tried.loudest = *loudest;
    tried.over_dB = loudest_over_notice(f);
    tried.n_audible = f.n_audible;
    tried.n_borderline = f.n_borderline;
    tried.mass = f.mass;
    tried.net_volume = f.net_volume;
    tried.price = scheme.price;
    return tried;
}

double merit(const ImproveAsk& ask, const Tried& tried)
{
    return facts_of(ask.aim).merit(tried);
}

bool is_good_enough(const ImproveAsk& ask, const Tried& tried)
{
    return !facts_of(ask.aim).is_of_books || tried.n_audible + tried.n_borderline == 0;
}

bool keeps_limits(const ImproveAsk& ask, const Tried& tried)
{
    return !(ask.most_mass && tried.mass > *ask.most_mass) &&
           !(ask.least_volume && tried.net_volume < *ask.least_volume) &&
           !(ask.most_price && tried.price && *tried.price > *ask.most_price) &&
           !(ask.least_first_Hz && tried.first && tried.first->f_Hz < *ask.least_first_Hz);
}

bool is_better(const ImproveAsk& ask, const Tried& a, const Tried& b)
{
    if (a.is_within != b.is_within) return a.is_within;
    const bool good_a = is_good_enough(ask, a), good_b = is_good_enough(ask, b);
    if (good_a != good_b) return good_a;
    if (!good_a && a.over_notice() != b.over_notice()) return a.over_notice() < b.over_notice();
    return merit(ask, a) < merit(ask, b);
}

} // namespace stillwall::solver
