#include "mesh/cabinet/error.h"
#include "solver/drive/air_band.h"
#include "solver/verdict/flag.h"
#include "solver/verdict/verdict.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <limits>
#include <numbers>

using namespace stillwall;
using namespace stillwall::solver;
using Catch::Matchers::WithinAbs;

namespace {

Heard mode(double level_dB, double Q, double f_Hz = 300, double T60_s = 0)
{
    return {level_dB, Q, f_Hz, T60_s};
}

} // namespace

TEST_CASE("detection levels: the table of both fits", "[solver][verdict]")
{
    struct Row
    {
        double Q, strict, lenient;
    };
    // Reference: −25 + 10 lg Q and −14.6 + 7.2 lg Q worked out by hand, rounded to a tenth.
    // Tolerance: 0.05 dB is half the last figure; 0.001 more for round-off at a half.
    const auto row = GENERATE(values<Row>({{3, -20.2, -11.2},
                                           {6, -17.2, -9.0},
                                           {10, -15.0, -7.4},
                                           {20, -12.0, -5.2},
                                           {33, -9.8, -3.7},
                                           {50, -8.0, -2.4},
                                           {100, -5.0, -0.2}}));
    CAPTURE(row.Q);
    CHECK_THAT(strict_detection_dB(row.Q), WithinAbs(row.strict, 0.051));
    CHECK_THAT(lenient_detection_dB(row.Q), WithinAbs(row.lenient, 0.051));
}

TEST_CASE("detection levels: what the fits were made for and what they were checked with",
          "[solver][verdict][reference]")
{
    // Reference: a resonance that adds in phase lifts the response by 1.5, 3, 5 dB when its own level is 20
    // lg(10^(lift/20) − 1): Toole & Olive, J. Audio Eng. Soc. 36 (1988) 122, as reported: just noticed in popular music
    // at Q = 1, 10, 50. Tolerance: 0.35 dB, the residual of a straight line through three points (0.29 dB at Q = 10,
    // worked out by hand).
    const auto own_level = [](double lift_dB) { return 20 * std::log10(std::pow(10, lift_dB / 20) - 1); };
    CHECK_THAT(lenient_detection_dB(1), WithinAbs(own_level(1.5), 0.35));
    CHECK_THAT(lenient_detection_dB(10), WithinAbs(own_level(3), 0.35));
    CHECK_THAT(lenient_detection_dB(50), WithinAbs(own_level(5), 0.35));

    // Moulana 1975 (second-hand, not used for the fit): peaks of 1 dB at Q 6 and of 2.7 dB at Q 25 were heard, so
    // neither may count as inaudible. By hand: −18.3 dB over −17.2 − 8.6 and −8.8 dB over −11.0 − 5.5.
    CHECK(judge_heard(mode(own_level(1.0), 6)).word == Audibility::Borderline);
    CHECK(judge_heard(mode(own_level(2.7), 25)).word == Audibility::Borderline);
}

TEST_CASE("verdict: words on both sides of both lines", "[solver][verdict]")
{
    // At Q = 100 the lines lie at −5.0 − 5 and −0.2 dB, at Q = 10 at −15 − 7.5 and −7.4 dB, at Q = 1 at −25 − 10 and
    // −14.6 dB.
    struct Case
    {
        double level, Q;
        Audibility word;
    };
    using enum Audibility;
    const auto c = GENERATE(values<Case>({{-0.1, 100, Audible},
                                          {-0.3, 100, Borderline},
                                          {-9.9, 100, Borderline},
                                          {-10.1, 100, Inaudible},
                                          {-7.3, 10, Audible},
                                          {-7.5, 10, Borderline},
                                          {-22.4, 10, Borderline},
                                          {-22.6, 10, Inaudible},
                                          {-14.5, 1, Audible},
                                          {-34.9, 1, Borderline},
                                          {-35.1, 1, Inaudible},
                                          // Below Q = 1 nothing is known: held.
                                          {-34.9, 0.3, Borderline},
                                          {-35.1, 0.3, Inaudible}}));
    CAPTURE(c.level, c.Q);
    CHECK(judge_heard(mode(c.level, c.Q)).word == c.word);
}

TEST_CASE("verdict: margin, distance, odds and where nine of ten levels lie", "[solver][verdict]")
{
    CHECK(detection_margin_dB(1) == 10);
    CHECK(detection_margin_dB(3) == 10);
    CHECK(detection_margin_dB(10) == 7.5);
    CHECK(detection_margin_dB(32) == 5);
    CHECK(detection_margin_dB(1e6) == 5);

    // Q = 10: strict −15, lenient −7.4, inaudible below −22.5. Reference: the normal distribution's table, 3 dB its
    // standard deviation: Φ(−8.6/3) = 0.0021, Φ(6.5/3) = 0.9849; Φ⁻¹(0.95) = 1.6449.
    const Verdict between = judge_heard(mode(-16, 10));
    // Tolerance: round-off; half of the table's last figure; 1e-4 of the table's 1.6449.
    CHECK_THAT(between.over_strict_dB, WithinAbs(-1, 1e-12));
    CHECK_THAT(between.audible_odds, WithinAbs(0.0021, 5e-5));
    CHECK_THAT(between.heard_odds, WithinAbs(0.9849, 5e-5));
    CHECK_THAT(between.low_dB, WithinAbs(-16 - 3 * 1.6449, 1e-3));
    CHECK_THAT(between.high_dB, WithinAbs(-16 + 3 * 1.6449, 1e-3));
}

TEST_CASE("verdict: at equal drive more damping is never easier to hear", "[solver][verdict]")
{
    // Reference: at equal drive a resonance's level goes with its Q. Walked down from Q 100 to 1 by hundredths of a
    // decade, from levels at Q 1 of which all, some and none are heard; alone and with its loss known to a factor of 2.
    const double at_Q1 = GENERATE(-80.0, -65.0, -55.0, -50.0, -45.0, -40.0, -35.0, -30.0, -20.0, -10.0, 0.0, 10.0);
    const double loss_factor = GENERATE(1.0, 2.0);
    CAPTURE(at_Q1, loss_factor);
    double heard_before = 1, audible_before = 1;
    for (int step = 200; step >= 0; --step) {
        const auto at = [&](double factor) { return factor * std::pow(10, step / 100.0); };
        const auto level = [&](double Q) { return at_Q1 + 20 * std::log10(Q); };
        Heard heard = mode(level(at(1)), at(1));
        for (const double factor : {1 / loss_factor, 1.0, loss_factor})
            heard.possible.push_back({1, level(at(factor)), at(factor)});
        const Verdict verdict = judge_heard(heard);
        CAPTURE(heard.Q, verdict.heard_odds, verdict.audible_odds);
        // Tolerance: round-off of the odds.
        CHECK(verdict.heard_odds <= heard_before + 1e-12);
        CHECK(verdict.audible_odds <= audible_before + 1e-12);
        heard_before = verdict.heard_odds;
        audible_before = verdict.audible_odds;
    }
}

TEST_CASE("verdict: cases far apart share the odds and widen the level", "[solver][verdict]")
{
    // A wall that lies on a wave of the air with a third of the weight, far beside it with two thirds: 20 dB apart, six
    // deviations from either line. Reference: the weights. Tolerance: Φ(−6) = 1e-9.
    Heard heard = mode(-44, 10);
    heard.possible = {{1, 11, 10}, {2, -44, 10}};
    const Verdict verdict = judge_heard(heard);
    CHECK_THAT(verdict.audible_odds, WithinAbs(1.0 / 3, 1e-8));
    CHECK_THAT(verdict.heard_odds, WithinAbs(1.0 / 3, 1e-8));
    CHECK(verdict.word == Audibility::Inaudible);
    // 5 % of all is 7.5 % of the lower case, 15 % of the upper one from above: Φ⁻¹(0.075) = −1.4395, Φ⁻¹(0.85)
    // = 1.0364.
    CHECK_THAT(verdict.low_dB, WithinAbs(-44 - 3 * 1.4395, 1e-3));
    CHECK_THAT(verdict.high_dB, WithinAbs(11 + 3 * 1.0364, 1e-3));
    heard.possible[0].weight = 3; // more likely than not, though the typical level is far below
    CHECK(judge_heard(heard).word == Audibility::Audible);
    // Every case has the lines of its own Q: at Q 100 the lenient one lies at −0.2 dB.
    heard.possible = {{1, -4, 100}, {1, -4, 10}};
    const Verdict mixed = judge_heard(heard);
    CHECK_THAT(
        mixed.audible_odds,
        WithinAbs((judge_heard(mode(-4, 100)).audible_odds + judge_heard(mode(-4, 10)).audible_odds) / 2, 1e-12));
    heard.possible = {{0, -4, 100}};
    CHECK_THROWS_AS(judge_heard(heard), DomainError);
}

TEST_CASE("verdict: outside the band nothing is held against the direct sound", "[solver][verdict]")
{
    Heard loud = mode(20, 30);
    loud.is_in_band = false;
    CHECK(judge_heard(loud).word == Audibility::OutOfBand);
    CHECK_FALSE(may_be_heard(judge_heard(loud)));
    CHECK(may_be_heard(judge_heard(mode(-16, 10))));
    CHECK(flag_of(judge_heard(loud)) == Flag::Outside);
    CHECK(flag_of(judge_heard(mode(-16, 10))) == Flag::Rings);
    CHECK(flag_of(judge_heard(mode(-60, 10))) == Flag::Faint);
}

TEST_CASE("waves of the air: what heat, sizes, mesh and fillings leave open", "[solver][verdict]")
{
    // Reference: by hand, c ∝ √T: ½ ln(288.15/293.15) = −0.860 %, ½ ln(303.15/293.15) = +1.677 %, with 0.4 % of the
    // sizes −0.949 and +1.724 %. Tolerance: half of the last figure.
    const FrequencyBand plain = air_band(1000, 1000, {});
    CHECK_THAT(std::log(plain.low_Hz / 1000), WithinAbs(-0.00949, 5e-6));
    CHECK_THAT(std::log(plain.high_Hz / 1000), WithinAbs(0.01724, 5e-6));
    // Two deviations to either side: (0.949 + 1.724) % / 4.
    CHECK_THAT(deviation_of(plain), WithinAbs(0.00668, 5e-6));
    // Four nodes a wave: sixteen times 0.23 %, downwards only: √(0.949² + 3.68²) %.
    const FrequencyBand coarse = air_band(1000, 1000, {343.0 / 4000});
    CHECK_THAT(std::log(coarse.low_Hz / 1000), WithinAbs(-0.0380, 5e-5));
    CHECK(coarse.high_Hz == plain.high_Hz);
    // A filling that slows the wave by 10 %: 0.6 of it either way, √(0.949² + 6.32²) and √(1.724² + 6.32²) %.
    const FrequencyBand filled = air_band(900, 1000, {});
    CHECK_THAT(std::log(filled.low_Hz / 900), WithinAbs(-0.0639, 5e-5));
    CHECK_THAT(std::log(filled.high_Hz / 900), WithinAbs(0.0655, 5e-5));
}

TEST_CASE("coupling: recoil and pressure with their signs", "[solver][verdict]")
{
    // Reference: by hand at ω = 1000 1/s, V_box 0.02 m³, ρc² 141,814 Pa: pressure 7.0907 V. With V = 0.3, φ = 0.5, m/S
    // = 1.2, η = 0.02: |0.3 (2.12721 − 0.6)|/0.02 = 22.908; against each other they add. Tolerance: the hand's figures.
    const double f = 1000 / (2 * std::numbers::pi);
    CHECK_THAT(coupling_of(0.3, 0.5, 0.02, f, 0.02), WithinAbs(22.908, 0.002));
    CHECK_THAT(coupling_of(0.3, -0.5, 0.02, f, 0.02), WithinAbs(40.908, 0.002));
    CHECK(coupling_of(0, 0.5, 0.02, f, 0.02) == 0);
    CHECK_THROWS_AS(coupling_of(0.3, 0.5, 0, f, 0.02), DomainError);
}

TEST_CASE("verdict: long tails, low confidence, the sensitive band", "[solver][verdict]")
{
    struct Case
    {
        double f_Hz, limit_s;
    };
    // Reference: the reported points; between them the geometric mean of two limits at the geometric mean of their
    // frequencies: √(32 · 100) = 56.57 Hz, √(0.85 · 0.3) = 0.50498 s; √(100 · 200) = 141.42 Hz, √(0.3 · 0.2) = 0.24495
    // s.
    const auto c = GENERATE(values<Case>(
        {{20, 0.85}, {32, 0.85}, {56.5685, 0.504975}, {100, 0.3}, {141.4214, 0.244949}, {200, 0.2}, {3000, 0.2}}));
    CAPTURE(c.f_Hz);
    // Tolerance: 1e-4 of the limit to either side, the rounding of the reference.
    CHECK_FALSE(judge_heard(mode(-20, 10, c.f_Hz, c.limit_s * (1 - 1e-4))).rings_long);
    CHECK(judge_heard(mode(-20, 10, c.f_Hz, c.limit_s * (1 + 1e-4))).rings_long);

    CHECK(judge_heard(mode(-20, 10, 99.9)).low_confidence);
    CHECK_FALSE(judge_heard(mode(-20, 10, 100)).low_confidence);
    CHECK_FALSE(judge_heard(mode(-20, 10, 124.9)).most_sensitive);
    CHECK(judge_heard(mode(-20, 10, 125)).most_sensitive);
    CHECK(judge_heard(mode(-20, 10, 500)).most_sensitive);
    CHECK_FALSE(judge_heard(mode(-20, 10, 500.1)).most_sensitive);
}

TEST_CASE("verdict: what is no resonance is refused", "[solver][verdict]")
{
    const double nan = std::numeric_limits<double>::quiet_NaN(), infinity = std::numeric_limits<double>::infinity();
    for (const double Q : {0.0, -3.0, nan, infinity}) CHECK_THROWS_AS(judge_heard(mode(-10, Q)), DomainError);
    for (const double f : {0.0, -3.0, nan, infinity}) CHECK_THROWS_AS(judge_heard(mode(-10, 10, f)), DomainError);
    for (const double level : {nan, -infinity}) CHECK_THROWS_AS(judge_heard(mode(level, 10)), DomainError);
    CHECK_THROWS_AS(judge_heard(mode(-10, 10, 300, nan)), DomainError);
    CHECK(audibility_word(Audibility::Audible) == "audible");
    CHECK(audibility_word(Audibility::Borderline) == "borderline");
    CHECK(audibility_word(Audibility::Inaudible) == "inaudible");
    CHECK(audibility_word(Audibility::OutOfBand) == "outside the band");
}
