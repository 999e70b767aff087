#include "solver/verdict/verdict.h"

#include "mesh/cabinet/error.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

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

Audibility word_for(double level_dB, double Q)
{
    if (level_dB > lenient_detection_dB(Q)) return Audibility::Audible;
    return level_dB >= strict_detection_dB(Q) - detection_margin_dB(Q) ? Audibility::Borderline : Audibility::Inaudible;
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
    return Q <= 10 ? 10 : 5;
}

Verdict judge_heard(const Heard& heard)
{
    check(heard);
    Verdict verdict;
    verdict.strict_dB = strict_detection_dB(heard.Q);
    verdict.lenient_dB = lenient_detection_dB(heard.Q);
    verdict.over_strict_dB = heard.level_dB - verdict.strict_dB;
    verdict.word = word_for(heard.level_dB, heard.Q);
    verdict.at_best = word_for(heard.level_dB - judgement_margin_dB, heard.Q);
    verdict.at_worst = word_for(heard.level_dB + judgement_margin_dB, heard.Q);
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
    }
    assert(false);
    return {};
}

} // namespace stillwall::solver
