#include "solver/verdict/verdict.h"

#include "mesh/cabinet/error.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

namespace stillwall::solver {
namespace {

/// A ring time from which the tail itself can be noticed.
struct RingLimit
{
    double f_Hz, T60_s;
};
constexpr std::array<RingLimit, 3> ring_limits{{{32, 0.85}, {100, 0.3}, {200, 0.2}}};

/// Straight on log-log paper between the reported points; held beyond both ends, where nothing is reported.
double ring_limit_s(double f_Hz)
{
    if (f_Hz <= ring_limits.front().f_Hz) return ring_limits.front().T60_s;
    for (std::size_t i = 1; i < ring_limits.size(); ++i) {
        const auto& [f0, T0] = ring_limits[i - 1];
        const auto& [f1, T1] = ring_limits[i];
        if (f_Hz < f1) return T0 * std::pow(T1 / T0, std::log(f_Hz / f0) / std::log(f1 / f0));
    }
    return ring_limits.back().T60_s;
}

/// Φ, the share of a normal spread below x standard deviations.
double below(double x)
{
    return 0.5 * std::erfc(-x / std::numbers::sqrt2);
}

double least_heard_dB(double Q)
{
    return strict_detection_dB(Q) - detection_margin_dB(Q);
}

/// Share of the weighed cases, each spread by level_spread_dB, that lie over a line.
template <class Line> // detection level of a Q; callers differ
double odds_over(const std::vector<PossibleLevel>& possible, Line line)
{
    double over = 0, all = 0;
    for (const PossibleLevel& p : possible) {
        over += p.weight * below((p.level_dB - line(p.Q)) / level_spread_dB);
        all += p.weight;
    }
    return over / all;
}

/// The level that a share of the cases does not reach, by bisection.
double quantile_dB(const std::vector<PossibleLevel>& possible, double share)
{
    const auto [least, most] =
        std::minmax_element(possible.begin(), possible.end(),
                            [](const PossibleLevel& a, const PossibleLevel& b) { return a.level_dB < b.level_dB; });
    constexpr double far = 6 * level_spread_dB, exact_dB = 1e-6;
    double low = least->level_dB - far, high = most->level_dB + far;
    while (high - low > exact_dB) {
        const double middle = (low + high) / 2;
        (1 - odds_over(possible, [&](double) { return middle; }) < share ? low : high) = middle;
    }
    return (low + high) / 2;
}

Audibility word_for(const Verdict& verdict)
{
    if (verdict.audible_odds > 0.5) return Audibility::Audible;
    return verdict.heard_odds >= 0.5 ? Audibility::Borderline : Audibility::Inaudible;
}

void check(const Heard& heard)
{
    if (!(heard.Q > 0 && std::isfinite(heard.Q) && heard.f_Hz > 0 && std::isfinite(heard.f_Hz)))
        throw DomainError(
            fmt::format("verdict: Q and frequency must be finite and > 0, got {} and {} Hz", heard.Q, heard.f_Hz));
    if (!std::isfinite(heard.level_dB))
        throw DomainError(fmt::format("verdict: the level must be finite, got {} dB", heard.level_dB));
    if (!(heard.T60_s >= 0))
        throw DomainError(fmt::format("verdict: the ring time must be >= 0, got {} s", heard.T60_s));
    for (const PossibleLevel& p : heard.possible)
        if (!(p.weight > 0 && p.Q > 0 && std::isfinite(p.level_dB)))
            throw DomainError(fmt::format("verdict: a case of weight {}, Q {}, {} dB", p.weight, p.Q, p.level_dB));
}

} // namespace

double strict_detection_dB(double Q)
{
    return -25 + 10 * std::log10(std::max(Q, 1.0));
}

double lenient_detection_dB(double Q)
{
    return -14.6 + 7.2 * std::log10(std::max(Q, 1.0));
}

double detection_margin_dB(double Q)
{
    return std::clamp(7.5 - 5 * (std::log10(std::max(Q, 1.0)) - 1), 5.0, 10.0);
}

Verdict judge_heard(const Heard& heard)
{
    check(heard);
    Verdict verdict;
    verdict.strict_dB = strict_detection_dB(heard.Q);
    verdict.lenient_dB = lenient_detection_dB(heard.Q);
    verdict.over_strict_dB = heard.level_dB - verdict.strict_dB;
    const std::vector<PossibleLevel> typical{{1, heard.level_dB, heard.Q}};
    const std::vector<PossibleLevel>& possible = heard.possible.empty() ? typical : heard.possible;
    verdict.low_dB = quantile_dB(possible, 0.05);
    verdict.high_dB = quantile_dB(possible, 0.95);
    verdict.audible_odds = odds_over(possible, lenient_detection_dB);
    verdict.heard_odds = odds_over(possible, least_heard_dB);
    verdict.word = heard.is_in_band ? word_for(verdict) : Audibility::OutOfBand;
    verdict.rings_long = heard.T60_s > ring_limit_s(heard.f_Hz);
    verdict.low_confidence = heard.f_Hz < 100;
    verdict.most_sensitive = heard.f_Hz >= 125 && heard.f_Hz <= 500;
    return verdict;
}

std::string audibility_word(Audibility word)
{
    switch (word) {
    case Audibility::Audible:
        return "audible";
    case Audibility::Borderline:
        return "borderline";
    case Audibility::Inaudible:
        return "inaudible";
    case Audibility::OutOfBand:
        return "outside the band";
    }
    assert(false);
    return {};
}

bool may_be_heard(const Verdict& verdict)
{
    return verdict.word == Audibility::Audible || verdict.word == Audibility::Borderline;
}

} // namespace stillwall::solver
