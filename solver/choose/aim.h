#pragma once
// What `improve` may be asked for, what it tried, and which of two tries serves better.

#include "solver/choose/choices.h"
#include "solver/choose/scheme.h"

#include <span>
#include <string_view>

namespace stillwall::solver {

/// Each has its row in aim.cpp, in the same order.
enum class Aim
{
    Quietest,  ///< the loudest wall as far below notice as may be
    FirstMode, ///< the first wall mode as high as may be
    Cheapest,  ///< the least price at which nothing is heard
    Lightest   ///< the least weight at which nothing is heard
};

/// What is to be found.
struct ImproveAsk
{
    Aim aim = Aim::Quietest;
    std::vector<ChangeAxis> choices;
    std::optional<double> most_mass;    ///< [kg]
    std::optional<double> least_volume; ///< [m³] net
    std::optional<double> most_price;
    std::optional<double> least_first_Hz; ///< [Hz]
    SourcePos where;
    SourcePos where_limits;
};

/// One cabinet that was tried.
struct Tried
{
    std::vector<std::string> values; ///< per choice: the value, "out", "in"; "–" where another choice makes it idle
    bool is_played = false;
    std::optional<Resonance> first;   ///< the lowest in which boards bend
    std::optional<Resonance> loudest; ///< the wall farthest over notice
    std::optional<double> over_dB;    ///< of that one
    int n_audible = 0, n_borderline = 0;
    double mass = 0, net_volume = 0; ///< [kg], [m³]
    std::optional<double> price;
    bool is_within = true; ///< all limits are kept

    /// A cabinet without a wall to be heard counts as at notice.
    [[nodiscard]] double over_notice() const { return over_dB.value_or(0); }
};

[[nodiscard]] Tried tried_of(const ComputedScheme& scheme);

/// All that an aim is.
struct AimFacts
{
    Aim aim = Aim::Quietest;
    std::string_view word;            ///< in the file and for other programs: "first_mode"
    std::string_view phrase;          ///< "the highest first mode"
    double (*merit)(const Tried&);    ///< what it counts, the smaller the better
    double (*searched)(const Tried&); ///< what a search over numbers makes small
    bool plays = false;               ///< levels count: the drivers' figures are needed
    bool is_of_books = false;         ///< its merit is known before anything rings; then nothing may be heard, too
    bool is_by_price = false;         ///< prices are needed, and set off against quietness instead of weight
    bool climbs_lowest_modes = false; ///< the exact derivatives of the lowest modes help a search over numbers
};
[[nodiscard]] std::span<const AimFacts> all_aims();
[[nodiscard]] const AimFacts& facts_of(Aim aim);

/// What the aim counts, the smaller the better: level over notice, −first mode, price, weight.
[[nodiscard]] double merit(const ImproveAsk& ask, const Tried& tried);
/// Whether it does what the aim asks for besides: for the cheapest and the lightest, nothing is heard.
[[nodiscard]] bool is_good_enough(const ImproveAsk& ask, const Tried& tried);
/// Whether mass, litres, price and first mode, as far as they are known, keep the limits.
[[nodiscard]] bool keeps_limits(const ImproveAsk& ask, const Tried& tried);
/// Orders by what the aim counts, those that keep the limits and do what it asks first; until something is quiet enough
/// the quieter one leads.
[[nodiscard]] bool is_better(const ImproveAsk& ask, const Tried& a, const Tried& b);

} // namespace stillwall::solver
