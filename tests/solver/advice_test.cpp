// What to change first, on schemes that cost nothing.

#include "solver/choose/advice.h"
#include "solver/choose/archive.h"
#include "tests/solver/made_up_schemes.h"

#include <catch2/catch.hpp>

#include <cmath>

using namespace stillwall;
using namespace stillwall::solver;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

/// Two modes: the left board's, 250 Hz and −5 dB at 18 mm, 120 dB a decade of thickness; the front's, 400 Hz and −25 dB
/// whatever is done.
ComputedScheme computed(const CabinetPlan& plan, const SchemeTask& task)
{
    const Cabinet cabinet = build_cabinet(plan);
    const int left = cabinet.board_index("left").value(), front = cabinet.board_index("front").value();
    const double t = cabinet.board(left).thickness() / 0.018;
    ComputedScheme scheme;
    SchemeFigures& f = scheme.figures;
    f.is_played = task.plays;
    f.mass = bookkeeping(cabinet).mass;
    f.modes = {made_up::wall_mode("left", 250 * t, -5 - 120 * std::log10(t), task.plays),
               made_up::wall_mode("front", 400, -25, task.plays)};
    f.first = 0;
    for (const Board& board : cabinet.boards) f.signature.boards.push_back(board.name);
    f.signature.samples =
        Eigen::MatrixXf::Zero(Signature::per_board * static_cast<Eigen::Index>(cabinet.boards.size()), 2);
    f.signature.samples.col(0).segment(Signature::per_board * left, Signature::per_board).setOnes();
    f.signature.samples.col(1).segment(Signature::per_board * front, Signature::per_board).setOnes();
    if (task.wants_worth)
        scheme.worth = Worth{{{.kind = Knob::Kind::Thickness, .part = "left", .ply = {}}},
                             {{{1 / (t * 0.018), 0}, {0, 0}}}, // ln f = ln t
                             {}};
    return scheme;
}

const ShowProgress silent = [](const std::string&, double) {};

} // namespace

TEST_CASE("advice: what makes the worst wall quieter comes first, with its figures", "[choose][advice]")
{
    const bool plays = GENERATE(false, true);
    CAPTURE(plays);
    int n_computed = 0;
    double highest = 0;
    const SchemeComputer computer{[&](const CabinetPlan& plan, const WorkshopPlan&, const SchemeTask& task) {
                                      ++n_computed;
                                      highest = std::max(highest, task.f_max);
                                      CHECK(task.accuracy == Accuracy::Draft);
                                      return computed(plan, task);
                                  },
                                  made_up::one_by_one};
    const made_up::BoxSource source;
    const CabinetPlan plan = source.plan({});
    const Advice advice = advise(source, plan, {.plays = plays, .f_max = 1500, .worst_Hz = 250}, computer, silent);
    REQUIRE(advice.worst);
    CHECK(advice.is_played == plays);
    CHECK(advice.worst->name == "left: 1×1");
    CHECK(highest == 500); // twice the worst one
    // Pair of sides, four other walls by themselves, twice the shelf; sheets for the five; two braces not along the
    // side.
    CHECK(advice.n_weighed >= 10);
    CHECK(advice.n_computed <= 6);
    CHECK(n_computed == advice.n_computed + (plays ? 2 : 1));
    REQUIRE(advice.changes.size() == 1); // nothing else touches the sides
    const AdvisedChange& change = advice.changes[0];
    CHECK(change.words == "left and right 3 mm thicker");
    CHECK(change.entry == "{name: thicker, change: {boards.left.thickness: 21 mm, boards.right.thickness: 21 mm}}");
    // Reference: the formulas above. Tolerance: round-off.
    REQUIRE(change.same);
    CHECK_THAT(change.same->f_Hz, WithinRel(250 * 21.0 / 18, 1e-9));
    const double line = plays ? -25 + 10 * std::log10(30) : 0; // couplings have none
    CHECK_THAT(nearness_dB(*change.same), WithinAbs(-5 - 120 * std::log10(21.0 / 18) - line, 1e-9));
    CHECK(change.worst_over_dB() == nearness_dB(*change.same));
    CHECK(change.worst->name == "left: 1×1");
    CHECK(change.mass_change > 0.1);
}

TEST_CASE("advice: what cannot be computed leaves it empty", "[choose][advice]")
{
    const SchemeComputer computer{
        [](const CabinetPlan&, const WorkshopPlan&, const SchemeTask&) -> ComputedScheme { throw SolverError("no"); },
        made_up::one_by_one};
    const made_up::BoxSource source;
    const Advice advice =
        advise(source, source.plan({}), {.plays = false, .f_max = 800, .worst_Hz = {}}, computer, silent);
    CHECK_FALSE(advice.worst);
    CHECK(advice.changes.empty());
}

TEST_CASE("a scheme as bytes comes back whole, and too few bytes are noticed", "[choose][archive]")
{
    const made_up::BoxSource source;
    ComputedScheme scheme = computed(source.plan({}), {.plays = true});
    scheme.frequency = {20, 30.5};
    scheme.price = 12.5;
    scheme.warnings = {"one", ""};
    scheme.figures.modes[0].band = FrequencyBand{240, 260};
    scheme.figures.loudest = 0;
    const std::string bytes = packed(scheme);
    const ComputedScheme back = unpacked(bytes);
    CHECK(packed(back).size() == bytes.size());
    CHECK(back.frequency == scheme.frequency);
    CHECK(back.price == scheme.price);
    CHECK(back.warnings == scheme.warnings);
    CHECK(back.figures.signature.boards == scheme.figures.signature.boards);
    CHECK(back.figures.signature.samples == scheme.figures.signature.samples);
    REQUIRE(back.figures.modes.size() == 2);
    CHECK(back.figures.modes[0].name == scheme.figures.modes[0].name);
    CHECK(back.figures.modes[0].band->high_Hz == 260);
    CHECK(back.figures.modes[0].worst->verdict.over_strict_dB == scheme.figures.modes[0].worst->verdict.over_strict_dB);
    CHECK_FALSE(back.figures.modes[1].band);
    CHECK(back.figures.loudest == scheme.figures.loudest);
    CHECK_FALSE(back.figures.worst);
    for (const std::size_t cut : {std::size_t{0}, bytes.size() / 2, bytes.size() - 1})
        CHECK_THROWS_AS(unpacked(bytes.substr(0, cut)), Error);
}
