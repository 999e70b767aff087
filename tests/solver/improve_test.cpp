// The search behind `improve` on schemes that cost nothing.

#include "solver/choose/improve.h"
#include "tests/solver/made_up_schemes.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <set>

using namespace stillwall;
using namespace stillwall::solver;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using made_up::mm;

namespace {

constexpr double best_at = 0.19, width = 0.1; ///< [m] where the shelf serves best, and how broadly

/// One mode, of the left board: 300 Hz at 18 mm, with the shelf at its best place; √½ of that without a shelf.
double first_Hz(const CabinetPlan& plan)
{
    const double t = plan.walls[3].layup.thickness();
    if (plan.braces.empty()) return 300 * (t / 0.018) * std::sqrt(0.5);
    const double off = (plan.braces[0].at - best_at) / width;
    return 300 * (t / 0.018) * (1 - 0.2 * off * off);
}

/// The higher the quieter: −10 dB at 300 Hz, 40 dB a decade.
ComputedScheme computed(const CabinetPlan& plan, const SchemeTask& task)
{
    ComputedScheme scheme;
    SchemeFigures& f = scheme.figures;
    f.is_played = task.plays;
    f.mass = bookkeeping(build_cabinet(plan)).mass;
    const double hz = first_Hz(plan);
    if (task.wants_worth) scheme.worth = Worth{};
    if (hz > task.f_max) return scheme; // not seen
    f.modes = {made_up::wall_mode("left", hz, -10 - 40 * std::log10(hz / 300), task.plays)};
    f.first = 0;
    if (task.plays) {
        f.loudest = f.worst = 0;
        f.n_audible = f.modes[0].worst->verdict.word == Audibility::Audible;
        f.n_borderline = f.modes[0].worst->verdict.word == Audibility::Borderline;
    }
    if (task.wants_worth) {
        const double off = (plan.braces.at(0).at - best_at) / width;
        const double slope = -0.4 * off / width / (1 - 0.2 * off * off); // ∂ln f/∂at of first_Hz
        scheme.worth = Worth{{{.kind = Knob::Kind::BracePosition, .part = "shelf", .ply = {}}}, {{{slope, 0}}}, {}};
    }
    return scheme;
}

struct Counted
{
    int n = 0, n_fine = 0;
    SchemeComputer computer{[this](const CabinetPlan& plan, const WorkshopPlan&, const SchemeTask& task) {
                                ++(task.accuracy == Accuracy::Draft ? n : n_fine);
                                return computed(plan, task);
                            },
                            made_up::one_by_one};
};

ChangeAxis thicknesses(std::vector<std::string> values)
{
    ChangeAxis axis;
    axis.paths = {"boards.all.thickness"};
    axis.values = std::move(values);
    return axis;
}

ChangeAxis shelf_place()
{
    ChangeAxis axis;
    axis.paths = {"braces.shelf.at"};
    axis.within = ChangeAxis::Range{80, 230, "mm"};
    return axis;
}

ChangeAxis without_shelf()
{
    ChangeAxis axis;
    axis.paths = {"braces.shelf"};
    axis.takes_out = true;
    return axis;
}

const ShowProgress silent = [](const std::string&, double) {};

Improved improved(const ImproveAsk& ask, int tries = 40)
{
    Counted counted;
    return improve(made_up::BoxSource{}, ask, {.f_max = 1000, .tries = tries}, counted.computer, silent);
}

double mass_of(const std::string& thickness)
{
    const auto settings = thicknesses({}).set_to(thickness);
    return bookkeeping(build_cabinet(made_up::BoxSource{}.plan(settings))).mass;
}

} // namespace

TEST_CASE("improve: listed values and a number, the highest first mode", "[choose][improve]")
{
    ImproveAsk ask;
    ask.aim = Aim::FirstMode;
    ask.choices = {thicknesses({"12 mm", "18 mm"}), without_shelf(), shelf_place()};
    Counted counted;
    const made_up::BoxSource source;
    constexpr int tries = 40;
    const Improved found = improve(source, ask, {.f_max = 1000, .tries = tries}, counted.computer, silent);
    CHECK(found.n_combinations == 4); // without the shelf its place is idle, but counts once
    CHECK(found.saw_all);
    CHECK(static_cast<int>(found.tried.size()) == counted.n);
    CHECK(counted.n <= tries + 4); // each walk has at least three
    CHECK(counted.n_fine == static_cast<int>(found.front.size()) + 1);
    const Tried& best = found.front.front().known();
    CHECK(best.values[0] == "18 mm");
    CHECK(best.values[1] == "in");
    // Reference: the formula's maximum. Tolerance: within 2 mm of it the frequency is the same to 0.01 %.
    CHECK_THAT(made_up::number_of(best.values[2]), WithinAbs(best_at / mm, 2));
    CHECK_THAT(best.first.value().f_Hz, WithinAbs(300, 0.03));
    CHECK(best.first->part == "left");
    CHECK(found.drawn.values == std::vector<std::string>{"18 mm", "in", "140 mm"});
    CHECK_THAT(found.drawn.first.value().f_Hz, WithinAbs(300 * (1 - 0.2 * 0.25), 1e-9)); // 50 mm off: round-off
    // The settings give the cabinet that is told.
    CHECK_THAT(first_Hz(source.plan(found.front.front().settings)), WithinAbs(best.first->f_Hz, 1e-9)); // round-off
    // The front is a trade-off: what is heavier has a higher first mode.
    for (const FrontPoint& a : found.front)
        for (const FrontPoint& b : found.front)
            if (a.draft.mass < b.draft.mass) CHECK(a.draft.first->f_Hz < b.draft.first->f_Hz);
    // No chance in it.
    const Improved again = improve(source, ask, {.f_max = 1000, .tries = tries}, counted.computer, silent);
    REQUIRE(again.tried.size() == found.tried.size());
    for (std::size_t i = 0; i < found.tried.size(); ++i) CHECK(again.tried[i].values == found.tried[i].values);
}

TEST_CASE("improve: a first mode over the upper frequency is the best there is, not the worst", "[choose][improve]")
{
    ImproveAsk ask;
    ask.aim = Aim::FirstMode;
    ask.choices = {shelf_place()};
    Counted counted;
    // 285 Hz as drawn, 300 Hz at best; 298 Hz is passed within 18 mm of the best place (0.2 · 0.18² = 0.67 %).
    const Improved found = improve(made_up::BoxSource{}, ask, {.f_max = 298, .tries = 30}, counted.computer, silent);
    CHECK(found.drawn.first.has_value());
    CHECK_FALSE(found.front.front().known().first.has_value());
    for (const Tried& tried : found.tried)
        if (tried.first) CHECK(tried.first->f_Hz <= 298);

    // With nothing to be seen anywhere the search ends without a complaint.
    const Improved blind = improve(made_up::BoxSource{}, ask, {.f_max = 100, .tries = 30}, counted.computer, silent);
    CHECK_FALSE(blind.front.front().known().first.has_value());
    ask.least_first_Hz = 290; // kept by what is not seen below 298 Hz
    CHECK_FALSE(improve(made_up::BoxSource{}, ask, {.f_max = 298, .tries = 30}, counted.computer, silent)
                    .front.front()
                    .known()
                    .first.has_value());
}

TEST_CASE("improve: the quietest within a limit of mass, the lightest that is silent", "[choose][improve]")
{
    ImproveAsk ask;
    ask.choices = {thicknesses({"9 mm", "12 mm", "15 mm", "18 mm"})};
    SECTION("quietest")
    {
        ask.most_mass = 0.5 * (mass_of("12 mm") + mass_of("15 mm"));
        const Improved found = improved(ask);
        CHECK(found.n_excluded == 2);
        CHECK(found.tried.size() == 2);
        CHECK(found.front.front().known().values[0] == "12 mm");
        CHECK(found.front.front().known().is_played);
    }
    SECTION("lightest")
    {
        ask.aim = Aim::Lightest;
        const Improved found = improved(ask);
        // Reference: by the formulas the shelf as drawn gives 285 Hz at 18 mm and 40 dB a decade, Q 30 has its strict
        // line at −25 + 10 lg 30 = −10.2 dB and stays inaudible 5 dB under it: over 300 · 10^(5.2/40) = 405 Hz, none
        // is.
        CHECK_FALSE(is_good_enough(ask, found.front.front().known()));
        CHECK(found.front.front().known().values[0] == "18 mm");  // the quietest leads until something is quiet enough
        ask.choices = {thicknesses({"18 mm", "27 mm", "30 mm"})}; // 427 Hz at 27 mm
        const Improved silent_ones = improved(ask);
        CHECK(is_good_enough(ask, silent_ones.front.front().known()));
        CHECK(silent_ones.front.front().known().values[0] == "27 mm");
    }
    SECTION("a limit that leaves nothing is named")
    {
        ask.most_mass = 0.5 * mass_of("9 mm");
        CHECK_THROWS_WITH(improved(ask), Contains("improve.limits") && Contains("excludes all 4 combinations"));
    }
    SECTION("prices are needed for the cheapest")
    {
        ask.aim = Aim::Cheapest;
        CHECK_THROWS_WITH(improved(ask), Contains("cheapest needs prices"));
    }
}

TEST_CASE("improve: more combinations than tries are sampled, one that cannot be computed is counted",
          "[choose][improve]")
{
    ImproveAsk ask;
    ask.aim = Aim::FirstMode;
    std::vector<std::string> values;
    for (int t = 9; t <= 24; ++t) values.push_back(std::to_string(t) + " mm");
    ask.choices = {thicknesses(values)};
    const Improved found = improved(ask, 10);
    CHECK_FALSE(found.saw_all);
    CHECK(found.tried.size() == 10);

    SchemeComputer computer = Counted{}.computer;
    computer.compute = [](const CabinetPlan& plan, const WorkshopPlan&, const SchemeTask& task) {
        if (plan.walls[0].layup.thickness() < 0.0095) throw MeshError("too thin");
        return computed(plan, task);
    };
    const Improved rest = improve(made_up::BoxSource{}, ask, {.f_max = 1000, .tries = 40}, computer, silent);
    CHECK(rest.n_failed == 1);
    CHECK(rest.tried.size() == values.size() - 1);
    CHECK(rest.front.front().known().values[0] == "24 mm"); // thicker ones would come near the driver
}

TEST_CASE("aims: each has its row, its own word and both measures", "[choose][improve]")
{
    std::set<std::string_view> words;
    Tried tried;
    tried.mass = 7;
    for (const AimFacts& facts : all_aims()) {
        CHECK(&facts_of(facts.aim) == &facts);
        CHECK(words.insert(facts.word).second);
        CHECK_FALSE(facts.phrase.empty());
        CHECK_FALSE(std::isnan(facts.merit(tried)));
        CHECK_FALSE(std::isnan(facts.searched(tried)));
    }
    ImproveAsk ask;
    ask.aim = Aim::Lightest;
    CHECK(merit(ask, tried) == 7);
}
