// Searching, the trade-off, and modes met again in another cabinet.

#include "mesh/cabinet/build.h"
#include "mesh/gmsh/mesher.h"
#include "solver/choose/figures.h"
#include "solver/choose/search.h"
#include "solver/modes/analysis.h"
#include "solver/verdict/flag.h"
#include "tests/solver/cabinet_fixture.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <random>

using namespace stillwall;
using namespace stillwall::solver;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

SchemeFigures rung(const CabinetPlan& plan)
{
    const Cabinet cabinet = build_cabinet(plan);
    const ShellMesh mesh = mesh::mesh_shell(cabinet, {.element_size = element_size_for(cabinet, plan.f_max, 7)});
    ModesOptions options;
    options.f_max = plan.f_max;
    options.quick = true;
    const ModesResult result = analyse_modes(cabinet, mesh, options);
    return figures_of(cabinet, result);
}

} // namespace

TEST_CASE("the least value is found beside a place that cannot be built", "[choose][search]")
{
    // Reference: two valleys, the lower one, 0 at (0.7, 30), beside a forbidden strip.
    const auto valley = [](const std::vector<double>& x) -> std::optional<double> {
        if (x[0] > 0.55 && x[0] < 0.65) return std::nullopt;
        return std::min(std::pow(x[0] - 0.2, 2) + 0.1, std::pow(x[0] - 0.7, 2)) + std::pow(x[1] - 30, 2) / 1e4;
    };
    const SearchSpace space{{0, 0}, {1, 100}, {0.2, 80}};
    std::vector<std::vector<double>> calls;
    double best = 1e9;
    const Valued counted = [&](const std::vector<double>& x) {
        calls.push_back(x);
        const auto v = valley(x);
        if (v) best = std::min(best, *v);
        return v;
    };
    search_least(space, counted, 80);
    CHECK(calls.size() <= 80);
    CHECK(calls.front() == space.start);
    CHECK(best < 2e-3); // Tolerance: a plain grid of 80 points comes to 0.003 at best
    const auto first_run = calls;
    calls.clear();
    search_least(space, counted, 80);
    CHECK(calls == first_run); // no chance in it
    for (const auto& x : calls) CHECK((x[0] >= 0 && x[0] <= 1 && x[1] >= 0 && x[1] <= 100));
    CHECK_THROWS_AS(search_least({{0}, {0}, {0}}, counted, 5), DomainError);
    CHECK_THROWS_AS(search_least({{0}, {1}, {2}}, counted, 5), DomainError);
}

TEST_CASE("the lowest of two crossing functions is raised to where they meet", "[choose][search]")
{
    // Reference: 300 + 2x and 420 − x, x in 0 … 100: they meet at x = 40, f = 380.
    int n = 0;
    double best = 0;
    const auto modes = [&](const std::vector<double>& x) -> std::optional<Lowest> {
        ++n;
        Lowest low{{300 + 2 * x[0], 420 - x[0]}, {{2}, {-1}}};
        if (low.values[0] > low.values[1]) { // sorted, as frequencies come
            std::swap(low.values[0], low.values[1]);
            std::swap(low.gradients[0], low.gradients[1]);
        }
        best = std::max(best, low.values[0]);
        return low;
    };
    search_highest_lowest({{0}, {100}, {10}}, modes, 20);
    CHECK(n <= 20);
    // Tolerance: the optimiser's last step, a thousandth of the range, is 0.1, and the slope 2; twice that and a
    // little.
    CHECK_THAT(best, WithinAbs(380, 0.5));
}

TEST_CASE("the front holds what nothing beats, and nothing else", "[choose][search]")
{
    std::mt19937 random(7);
    std::uniform_real_distribution<double> any(0, 1);
    std::vector<TwoAims> points;
    for (int i = 0; i < 300; ++i) points.push_back({std::round(any(random) * 20), std::round(any(random) * 20)});
    const std::vector<std::size_t> front = trade_off_front(points);
    REQUIRE(!front.empty());
    const auto beats = [](const TwoAims& a, const TwoAims& b) {
        return a.first <= b.first && a.second <= b.second && (a.first < b.first || a.second < b.second);
    };
    for (const std::size_t f : front)
        for (const TwoAims& p : points) CHECK_FALSE(beats(p, points[f]));
    for (const TwoAims& p : points) {
        const bool is_covered = std::any_of(front.begin(), front.end(), [&](std::size_t f) {
            return beats(points[f], p) || (points[f].first == p.first && points[f].second == p.second);
        });
        CHECK(is_covered);
    }
    CHECK(trade_off_front({}).empty());
}

TEST_CASE("modes are met again by shape", "[choose][signature]")
{
    CabinetPlan plan = cabinet_fixture::box(cabinet_fixture::make({}));
    plan.f_max = 1500;
    const SchemeFigures base = rung(plan);
    REQUIRE(base.modes.size() >= 5);
    CHECK(base.first == 0);

    SECTION("each is most like itself")
    {
        const std::vector<Met> met = met_again(base, base);
        for (std::size_t i = 0; i < met.size(); ++i) {
            CHECK(met[i].mode == static_cast<int>(i));
            // Exact, but shapes are kept in single precision.
            CHECK_THAT(met[i].likeness, WithinAbs(1, 1e-5));
        }
    }
    SECTION("in stiffer wood all rise by one factor and keep their order and shape")
    {
        for (Material& m : plan.materials)
            for (Quantity* q : {&m.E1, &m.E2, &m.E3, &m.G12, &m.G13, &m.G23}) q->value *= 1.21;
        plan.f_max *= 1.1;
        const SchemeFigures stiffer = rung(plan);
        const std::vector<Met> met = met_again(base, stiffer);
        for (std::size_t i = 0; i < met.size(); ++i) {
            CAPTURE(i);
            REQUIRE(met[i].mode == static_cast<int>(i));
            CHECK(met[i].likeness > 0.999);
            // Reference: f goes as the root of E. Tolerance: what two runs of the eigen-solver leave, with room.
            CHECK_THAT(stiffer.modes[i].f_Hz / base.modes[i].f_Hz, WithinRel(1.1, 1e-6));
        }
    }
    SECTION("on a finer mesh they are the same modes")
    {
        const Cabinet cabinet = build_cabinet(plan);
        const ShellMesh mesh =
            mesh::mesh_shell(cabinet, {.element_size = 0.7 * element_size_for(cabinet, plan.f_max, 7)});
        ModesOptions options;
        options.f_max = plan.f_max;
        options.quick = true;
        const SchemeFigures fine = figures_of(cabinet, analyse_modes(cabinet, mesh, options));
        const std::vector<Met> met = met_again(base, fine);
        int n_met = 0;
        for (std::size_t i = 0; i < met.size(); ++i)
            if (met[i].mode >= 0 &&
                std::abs(fine.modes[static_cast<std::size_t>(met[i].mode)].f_Hz / base.modes[i].f_Hz - 1) < 0.01)
                ++n_met;
        CHECK(n_met >= static_cast<int>(base.modes.size()) - 2); // close pairs may turn into each other
    }
    SECTION("without a common board nothing is met")
    {
        SchemeFigures other = base;
        for (std::string& name : other.signature.boards) name += " of another";
        for (const Met& met : met_again(base, other)) CHECK(met.mode == -1);
    }
}

TEST_CASE("the quick analysis gives the frequencies of the full one, and its losses where they are small",
          "[choose][quick]")
{
    CabinetPlan plan = cabinet_fixture::box(cabinet_fixture::make({}));
    plan.f_max = 1500;
    const Cabinet cabinet = build_cabinet(plan);
    const ShellMesh mesh = mesh::mesh_shell(cabinet, {.element_size = element_size_for(cabinet, plan.f_max, 7)});
    ModesOptions options;
    options.f_max = plan.f_max;
    const ModesResult full = analyse_modes(cabinet, mesh, options);
    options.quick = true;
    const ModesResult quick = analyse_modes(cabinet, mesh, options);
    const auto full_judged = judge_unplayed(cabinet, full.modes), quick_judged = judge_unplayed(cabinet, quick.modes);
    double strongest = 0;
    for (const JudgedMode& mode : full_judged) strongest = std::max(strongest, mode.coupling);
    REQUIRE(quick.modes.size() == full.modes.size());
    // Reference: the full analysis. Tolerance: one loss factor everywhere short-cuts to the real shapes in both, so
    // that two runs of the eigen-solver are compared; couplings that cancel to nothing are round-off of the strongest.
    for (std::size_t i = 0; i < full.modes.size(); ++i) {
        CHECK_THAT(quick.modes[i].f_Hz, WithinRel(full.modes[i].f_Hz, 1e-7));
        CHECK_THAT(quick.modes[i].loss, WithinRel(full.modes[i].loss, 1e-6));
        CHECK_THAT(quick_judged[i].coupling,
                   WithinRel(full_judged[i].coupling, 1e-3) || WithinAbs(full_judged[i].coupling, 1e-5 * strongest));
    }
    CHECK_FALSE(quick.is_proved);
}
