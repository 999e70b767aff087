// Odds of causes against Bayes' rule written out by hand.

#include "solver/explain/odds.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

using namespace stillwall::solver;
using Catch::Matchers::WithinAbs;
using Eigen::VectorXd;

namespace {

double density(double x, double sd)
{
    return std::exp(-0.5 * x * x / (sd * sd)) / (sd * std::sqrt(2 * std::numbers::pi));
}

/// As odds.cpp has it: one in twelve is 2.5 times as far off.
double long_tailed(double x, double sd)
{
    return 11.0 / 12 * density(x, sd) + 1.0 / 12 * density(x, 2.5 * sd);
}

Candidate wall(double f, double Q, double ohm, double per_figure = 0.05)
{
    Candidate c;
    c.name = "wall";
    c.f_Hz = f;
    c.Q = Q;
    c.ohm = ohm;
    c.slopes = VectorXd::Zero(2);
    c.slopes[0] = per_figure;
    c.f_error = 0.02;
    c.Q_error = 0.3;
    c.ohm_error = 0.5;
    c.f_band = std::hypot(per_figure, c.f_error);
    return c;
}

Background nothing()
{
    return {Cause::Nothing, "none", 1, 1e5, 0.08, 12, 1, 0.1, 1.2};
}

Suspects suspects(std::vector<Candidate> candidates)
{
    return {std::move(candidates), {nothing()}, {UncertainFigure{}}};
}

ToExplain reading(double f, double Q, double ohm, int measurement = 0)
{
    return {measurement, {f, 1e-4 * f}, {Q, 0.05 * Q}, Known{ohm, 0.05 * ohm}, 0};
}

Measurement sweep()
{
    return {std::nullopt, 20, 20000, [](double, double) { return 0.02; }};
}

double odds_for(const std::vector<CauseOdds>& causes, int candidate)
{
    for (const CauseOdds& c : causes)
        if (c.candidate == candidate) return c.odds;
    return 0;
}

} // namespace

TEST_CASE("odds of one reading are Bayes' rule", "[explain]")
{
    const Suspects s = suspects({wall(390, 40, 0.1), wall(430, 30, 0.3)});
    const OddsResult result = odds_of(s, {{sweep()}, {reading(405, 35, 0.15)}});

    // Reference: Bayes' rule by hand, with the densities above. Tolerance: the same arithmetic in another order; 1e-6
    // is far below what leaving any of its factors out makes.
    const double f_error = 1e-3 * std::sqrt(1.01); // 0.01 % of the reading, 0.1 % that any has
    const auto weight = [&](const Candidate& c) {
        const double off_Q = std::log(35 / c.Q), off_h = std::log(0.15 / c.ohm) - off_Q;
        const double unseen =
            1 - 0.97 * 0.5 * std::erfc(-std::log(c.ohm / 0.02) / std::sqrt(0.25 + 0.09 + 0.09) / std::numbers::sqrt2);
        return density(std::log(405 / c.f_Hz), std::hypot(c.f_band, f_error)) *
               long_tailed(off_Q, std::hypot(0.3, 0.05)) * long_tailed(off_h, std::hypot(0.5, 0.05)) / unseen;
    };
    const double a = weight(s.candidates[0]), b = weight(s.candidates[1]);
    const double none = 0.08 * density(std::log(35.0 / 12), 1) * density(std::log(1.5), 1.2);
    REQUIRE(result.readings.size() == 1);
    CHECK_THAT(odds_for(result.readings[0], 0), WithinAbs(a / (a + b + none), 1e-6));
    CHECK_THAT(odds_for(result.readings[0], 1), WithinAbs(b / (a + b + none), 1e-6));
}

TEST_CASE("odds over several fidelities are Bayes' rule too", "[explain]")
{
    // One wall, seen 9 % off: unlikely as drawn, likely in a loosely drawn box; it may also be wrong by itself.
    Candidate c = wall(400, 40, 0.2);
    c.boards = {1.0};
    Suspects s = suspects({c});
    s.figures[0].kind = UncertainFigure::Kind::TransverseShear;
    s.fidelities = {{0.7, 1, 1}, {0.3, 3, 2}};
    s.misfit_share = 0.1;
    s.misfit_f = 0.06;
    const OddsResult result = odds_of(s, {{sweep()}, {reading(437, 35, 0.15)}});

    // Reference: Bayes' rule by hand: joint weight of fidelity and cause, with what not seeing the wall would weigh.
    // Tolerance: the same arithmetic in another order.
    const double f_error = 1e-3 * std::sqrt(1.01), off_Q = std::log(35.0 / 40), off_h = std::log(0.15 / 0.2) - off_Q;
    double all_wall = 0, all_none = 0, drawn = 0;
    for (const Fidelity& x : s.fidelities) {
        const double per_figure = 0.05 * x.shear, own = 0.02 * x.walls, sd_Q = 0.3 * x.walls, sd_h = 0.5 * x.walls;
        const double band = std::hypot(per_figure, own), edge = std::sqrt(sd_h * sd_h + sd_Q * sd_Q + 0.09);
        const double seen = 0.97 * 0.5 * std::erfc(-std::log(0.2 / 0.02) / edge / std::numbers::sqrt2);
        const double off = std::log(437.0 / 400);
        const double f = 0.9 * density(off, std::hypot(band, f_error)) +
                         0.1 * density(off, std::hypot(std::hypot(band, 0.06), f_error));
        const double is_wall =
            f * long_tailed(off_Q, std::hypot(sd_Q, 0.05)) * long_tailed(off_h, std::hypot(sd_h, 0.05));
        const double none = 0.08 * density(std::log(35.0 / 12), 1) * density(std::log(1.5), 1.2) * (1 - seen);
        all_wall += x.odds * is_wall;
        all_none += x.odds * none;
        if (x.walls == 1) drawn = x.odds * (is_wall + none);
    }
    CHECK_THAT(odds_for(result.readings[0], 0), WithinAbs(all_wall / (all_wall + all_none), 1e-6));
    REQUIRE(result.fidelity.size() == 2);
    CHECK_THAT(result.fidelity[0], WithinAbs(drawn / (all_wall + all_none), 1e-6));
}

TEST_CASE("odds: one modulus moves all modes together", "[explain]")
{
    // Two walls 8 % too high in the model; between them a third mode near the upper reading. Each reading alone could
    // be the nearer mode; together they must be the pair that a soft board explains.
    const Suspects s = suspects({wall(200, 40, 0.1), wall(435, 40, 0.1), wall(400, 40, 0.1)});
    const Evidence both{{sweep()}, {reading(184, 40, 0.1), reading(400.2, 40, 0.1)}};
    const OddsResult result = odds_of(s, both);
    CHECK(odds_for(result.readings[0], 0) > 0.9);
    CHECK(odds_for(result.readings[1], 1) >
          odds_for(odds_of(s, {{sweep()}, {reading(400.2, 40, 0.1)}}).readings[0], 1) + 0.2);
    // Reference: θ in its own deviations: −8.2 % at 5 % each, held back a little by its prior and the modes' own 2 %.
    // Tolerance: how much is held back depends on both readings, a fifth of it.
    CHECK_THAT(result.theta[0], WithinAbs(-1.6, 0.35));

    // Reference: with covariance written out: weight of the pair (0, 1) against (0, 2).
    const auto pair_density = [&](double x0, double x1) {
        const double v = 0.05 * 0.05 + 0.02 * 0.02 + 1.01e-6, c = 0.05 * 0.05, det = v * v - c * c;
        return std::exp(-0.5 * (v * x0 * x0 - 2 * c * x0 * x1 + v * x1 * x1) / det) /
               (2 * std::numbers::pi * std::sqrt(det));
    };
    const double p01 = pair_density(std::log(184.0 / 200), std::log(400.2 / 435)),
                 p02 = pair_density(std::log(184.0 / 200), std::log(400.2 / 400));
    const double ratio = odds_for(result.readings[1], 1) / odds_for(result.readings[1], 2);
    // Tolerance: what else explains the first reading, under 1 %, doubled.
    CHECK_THAT(ratio / (p01 / p02), WithinAbs(1, 0.02));
}

TEST_CASE("odds: a candidate explains one reading of a sweep only, but one of each measurement", "[explain]")
{
    const Suspects s = suspects({wall(400, 40, 0.1)});
    const OddsResult twice = odds_of(s, {{sweep()}, {reading(398, 40, 0.1), reading(404, 40, 0.1)}});
    CHECK(odds_for(twice.readings[0], 0) + odds_for(twice.readings[1], 0) <= 1 + 1e-9);
    Measurement knock{0, 60, 2000, {}};
    Suspects with_boards = s;
    with_boards.candidates[0].boards = {0.8};
    ToExplain ring = reading(401, 40, 0.1, 1);
    ring.ohm.reset();
    const OddsResult both = odds_of(with_boards, {{sweep(), knock}, {reading(400, 40, 0.1), ring}});
    CHECK(odds_for(both.readings[0], 0) > 0.95);
    CHECK(odds_for(both.readings[1], 0) > 0.95);
}

TEST_CASE("odds: what no candidate reaches is none of these; what the driver shows alone is the driver's", "[explain]")
{
    Suspects s = suspects({wall(400, 40, 0.1)});
    const auto far = odds_of(s, {{sweep()}, {reading(900, 40, 0.1)}}).readings[0];
    REQUIRE(far.size() == 1);
    CHECK(far[0].background == 0);
    // Exact: the one cause left has all the odds, to round-off.
    CHECK_THAT(far[0].odds, WithinAbs(1, 1e-9));

    Candidate own = wall(408, 8, 0.25, 0);
    own.cause = Cause::Driver;
    own.f_error = 0.01;
    own.f_band = 0.01;
    s.candidates.push_back(own);
    CHECK(odds_for(odds_of(s, {{sweep()}, {reading(406, 8.5, 0.27)}}).readings[0], 1) > 0.95);
    // A board that should show and does not speaks against nothing else; a sharp wrinkle is the board's.
    CHECK(odds_for(odds_of(s, {{sweep()}, {reading(406, 38, 0.1)}}).readings[0], 0) > 0.95);
}

TEST_CASE("odds: without readings there is nothing to explain", "[explain]")
{
    CHECK(odds_of(suspects({wall(400, 40, 0.1)}), {{sweep()}, {}}).readings.empty());
}
