#include "tests/app/output_fixture.h"

#include "app/verbs/modes/knob_words.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <cmath>
#include <limits>

using namespace stillwall;
using namespace stillwall::app;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;
using Kind = solver::Knob::Kind;

namespace {

const solver::Knob thicker{Kind::Thickness, "front", {}, 1e-3, 0.045};
const solver::Knob lossier{Kind::Loss, "shelf", {}, 0.01, 0};

test::SmallReport report_with(const std::vector<test::MadeUpKnob>& knobs)
{
    test::SmallReport report;
    report.result.worth = test::same_worth(knobs, report.result.modes.size());
    return report;
}

Cabinet cabinet_with_brace(const Vector3d& normal)
{
    Cabinet cabinet = test::small_cabinet();
    cabinet.boards[1].frame.n = normal.normalized();
    return cabinet;
}

} // namespace

TEST_CASE("worth: the rows by hand, largest first", "[app][output]")
{
    // 412.3 (e^(30·0.001) − 1) = 12.56 Hz; η 0.02 + 2·0.001: Q 45.5. The loss alone: 0.02 + 0.5·0.01, Q 40; size
    // 0.1·0.25 < 0.03.
    const auto report = report_with({{lossier, {0, 0.5}}, {thicker, {30, 2}}});
    const std::string text = worth_text(report.modes());
    CAPTURE(text);
    CHECK_THAT(text, Contains("What moves mode 1, 412 Hz, Q 50 (40–65): front: 1×1\n"));
    CHECK_THAT(text, Contains("front  1 mm thicker         +13    45.5  +0.045\n"
                              "    shelf  loss factor +0.01      0      40       –\n"));
    CHECK_THAT(text, !Contains("mode 2,")); // it does not ring
    CHECK_THAT(modes_text(report.modes()), Contains(text));
}

TEST_CASE("worth: steps without effect are left out, eight rows at most, densities in JSON only", "[app][output]")
{
    // 0.09 % of frequency and 0.9 % of the loss factor.
    const auto still = report_with({{thicker, {0.9, 0.18}}, {{Kind::Density, "front", {}, 0.095, 0.08}, {-0.4, 0}}});
    CHECK_THAT(worth_text(still.modes()), Contains("No step tried moves it") && !Contains("thicker"));

    std::vector<test::MadeUpKnob> knobs;
    for (int i = 1; i <= 10; ++i)
        knobs.push_back({{Kind::Thickness, "b" + std::to_string(i), {}, 1e-3, 0.1}, {10. * i, 0}});
    const std::string text = worth_text(report_with(knobs).modes());
    CHECK_THAT(text, Contains("b10 ") && Contains("b3 ") && !Contains("b2 "));
    CHECK(text.find("b10 ") < text.find("b3 "));
}

TEST_CASE("worth: a step that runs into the next mode says so", "[app][output]")
{
    auto report = report_with({{thicker, {500, 0}}}); // 412 → 680 Hz, past a second mode held at 640 Hz
    report.result.worth->slopes[0][1] = report.result.worth->slopes[0][2] = {};
    CHECK_THAT(worth_text(report.modes()), Contains("meets mode 2\n"));
    report.result.worth->slopes[0][1] = {500, 0}; // which now gives way
    CHECK_THAT(worth_text(report.modes()), !Contains("meets mode"));
}

TEST_CASE("worth: which modes are told", "[app][output]")
{
    CHECK(modes_to_move({}).empty());
    std::vector<solver::JudgedMode> judged(8);
    for (solver::JudgedMode& mode : judged) mode.flag = solver::Flag::Faint;
    CHECK(modes_to_move(judged) == std::vector<std::size_t>{0, 1, 2}); // none rings
    for (std::size_t i = 0; i < 8; ++i) judged[i] = test::played_mode(i == 3 || i == 5 ? -7 : -1);
    CHECK(modes_to_move(judged) == std::vector<std::size_t>{0, 1, 2, 4, 6, 7});
    // Not played: the six most strongly coupled, but nothing under a tenth of the strongest.
    for (std::size_t i = 0; i < 8; ++i) judged[i] = {solver::Flag::NotPlayed, "", i == 0 ? 0.09 : 1.0 - 0.1 * i, {}};
    CHECK(modes_to_move(judged) == std::vector<std::size_t>{1, 2, 3, 4, 5, 6});
}

TEST_CASE("worth: no loss, no mode, no knob, a figure that failed", "[app][output]")
{
    CHECK(worth_text(test::SmallReport().modes()).empty());

    auto report = report_with({{thicker, {30, 0}}, {lossier, {0, 0.5}}});
    for (solver::Mode& mode : report.result.modes) {
        mode.loss = 0;
        mode.Q = mode.Q_low = mode.Q_high = mode.T60_s = std::numeric_limits<double>::infinity();
    }
    // 0.5·0.01: Q 200 where nothing was lost before.
    CHECK_THAT(worth_text(report.modes()), Contains("200") && Contains("Q –") && !Contains("inf"));

    report = report_with({{thicker, {std::numeric_limits<double>::quiet_NaN(), 0}}});
    CHECK_THAT(worth_text(report.modes()), !Contains("nan"));
    CHECK_THROWS_AS(modes_json(report.modes()), SolverError);

    report = report_with({});
    report.result.worth->left_out = {"shelf: an element would fold"};
    CHECK_THAT(worth_text(report.modes()), Contains("No figure for shelf: an element would fold\n"));
    report.result.modes.clear();
    CHECK_THAT(modes_text(report.modes()), Contains("No board rings"));
    CHECK(nlohmann::json::parse(modes_json(report.modes()))["worth"]["knobs"].empty());
}

TEST_CASE("worth: changes in a workshop's words", "[app][output]")
{
    const Cabinet cabinet = test::small_cabinet();
    const auto words = [&](Kind kind, double step) { return knob_change({kind, "shelf", {}, step, 0}, cabinet); };
    CHECK(words(Kind::Thickness, 1e-3) == "1 mm thicker");
    CHECK(words(Kind::LayerThickness, 12.5e-6) == "0.013 mm thicker"); // two digits of a film
    CHECK(words(Kind::Modulus, std::log(1.1)) == "10 % stiffer");
    CHECK(words(Kind::JointStiffness, std::log(2.0)) == "twice as stiff");
    CHECK(words(Kind::LayerModulus, std::log(1.5)) == "50 % stiffer");
    CHECK(words(Kind::LayerLoss, 0.1) == "loss factor +0.1");
    CHECK(words(Kind::DriverMass, 0.1) == "100 g heavier");
    CHECK(words(Kind::BracePosition, 0.01) == "10 mm up");
    // The side-to-side plate's frame looks to the front, its coordinate grows to the back.
    const auto moved = [&](const Vector3d& normal) {
        return knob_change({Kind::BracePosition, "shelf", {}, 0.01, 0}, cabinet_with_brace(normal));
    };
    CHECK(moved({0, -1, 0}) == "10 mm back");
    CHECK(moved({1, 0, 0}) == "10 mm right");
    CHECK(moved({0, -1, 1}) == "10 mm forward and up, square to itself");
    CHECK(moved({-1, 0, -0.1}) == "10 mm left, square to itself");
}

TEST_CASE("worth: parts are told apart", "[app][output]")
{
    Cabinet cabinet = test::small_cabinet();
    cabinet.layers.resize(2);
    cabinet.layers[0].name = "sheet";
    cabinet.layers[0].layup.plies.resize(1);
    cabinet.layers[1].name = "two";
    cabinet.layers[1].layup.plies.resize(2);
    CHECK(knob_part({Kind::LayerLoss, "sheet", "bitumen", 0.1, 0}, cabinet) == "sheet");
    CHECK(knob_part({Kind::LayerLoss, "two", "film", 0.1, 0}, cabinet) == "two: film");
    CHECK(knob_part({Kind::JointLoss, "back", {}, 0.1, 0}, cabinet) == "joint back");
    CHECK(knob_part({Kind::DriverMass, "woofer", {}, 0.1, 0.1}, cabinet) == "woofer");
}

TEST_CASE("worth JSON: derivatives and steps with their units", "[app][output]")
{
    const auto report =
        report_with({{thicker, {30, 2}}, {{Kind::JointStiffness, "back", {}, std::log(2.0), 0}, {0.1, -0.001}}});
    const auto json = nlohmann::json::parse(modes_json(report.modes()));
    const auto& knob = json["worth"]["knobs"][0];
    CHECK(knob["kind"] == "thickness");
    CHECK(knob["unit_of_p"] == "m");
    CHECK(knob["mass_step_kg"] == 0.045);
    REQUIRE(knob["modes"].size() == 3);
    // Reference: by hand, 412.3·30 Hz/m, 412.3 e^0.03 Hz, 0.02 + 0.002. Tolerance: round-off.
    const auto& mode = knob["modes"][0];
    CHECK_THAT(mode["frequency_derivative_hz_per_unit"].get<double>(), WithinRel(12369.0, 1e-12));
    CHECK_THAT(mode["step_frequency_hz"].get<double>(), WithinRel(412.3 * std::exp(0.03), 1e-12));
    CHECK_THAT(mode["step_loss_factor"].get<double>(), WithinRel(0.022, 1e-12));
    CHECK(mode["number"] == 1);
    CHECK(json["worth"]["knobs"][1]["kind"] == "joint_stiffness");
    CHECK(json["worth"]["knobs"][1]["unit_of_p"] == "ln");
    CHECK(json["model"].contains("worth_s"));
}
