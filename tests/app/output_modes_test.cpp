#include "tests/app/output_fixture.h"
#include "tests/app/read_text.h"

#include "app/write/text_table.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <limits>

using namespace stillwall;
using namespace stillwall::app;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;
using test::csv_fields, test::lines_of;

TEST_CASE("modes table: a row per mode with band, Q, boards, level and reason", "[app][output]")
{
    const test::SmallReport report;
    const std::string text = modes_text(report.modes());
    CAPTURE(text);

    // Reference: the fixture's figures, rounded by hand; ring time 2.2 Q / f = 110 / 412.3 s = 267 ms.
    CHECK_THAT(text, Contains("412 ±24") && Contains("640 +31/−24"));
    CHECK_THAT(text, Contains("50 (40–65)      270") && Contains("front 95 %"));
    CHECK_THAT(text, Contains("front 60 %, shelf 40 %") && !Contains("kg woofer"));
    // 0 dB lies 2.367 dB over the upper line: Φ(2.367/3) = 0.7849.
    CHECK_THAT(text, Contains("0  78 / 100  AUDIBLE\n") && Contains("−40  0 / 0     inaudible\n") &&
                         Contains("–  –         outside\n"));
    CHECK_THAT(text, Contains("1           405  front: 1×1         the woofer drives the front\n"));
    CHECK_THAT(text, Contains("200 × 318 × 300 mm outside") && Contains("14.3 litres net"));
    CHECK_THAT(text, Contains("3.10 kg: boards 1.60, drivers and fittings 1.50; the model weighs 3.13 kg (+1.0 %)"));
    CHECK_THAT(text, Contains("3 below 1500 Hz, besides 6 rigid; none is missing"));
}

TEST_CASE("modes table: what was not played shows no level, and what is coupled most comes first", "[app][output]")
{
    test::SmallReport report;
    report.judged = {{solver::Flag::NotPlayed, "half", 0.5, {}},
                     {solver::Flag::NotPlayed, "most", 1.0, {}},
                     {solver::Flag::NotPlayed, "too weak", 0.01, {}}};
    app::ModesReport modes = report.modes();
    modes.played = nullptr;
    const std::string text = modes_text(modes);
    CAPTURE(text);
    CHECK_THAT(text, Contains("4.0 kg woofer      not played\n") && Contains("Most strongly driven"));
    for (const char* word : {"Odds", "AUDIBLE", "too weak"}) CHECK_THAT(text, !Contains(word));
    CHECK(text.find("most\n") < text.find("half\n"));
    const auto json = nlohmann::json::parse(modes_json(modes));
    CHECK(json["model"]["is_played"] == false);
    CHECK(json["modes"][1]["flag"] == "not played");
    CHECK(json["modes"][1]["coupling"] == 1.0);
    CHECK(json["modes"][1]["played"].is_null());
}

TEST_CASE("modes table: waves of the air that may be heard are told", "[app][output]")
{
    test::SmallReport report;
    CHECK_THAT(modes_text(report.modes()), !Contains("Besides the walls"));
    solver::SoundMode wave;
    wave.kind = solver::Resonance::Kind::Air;
    wave.name = "air: half a wave along the height";
    wave.f_Hz = 500;
    wave.worst = solver::ModeAtListener{0, 500, solver::judge_heard({0, 20, 500, 0.1})};
    report.played.modes = {wave};
    CHECK_THAT(test::unbroken(modes_text(report.modes())),
               Contains("1 wave of the air inside may be heard: half a wave along the height at 500 Hz, 0 dB"));
}

TEST_CASE("modes table: no line is wider than 120 columns, however long names and reasons are", "[app][output]")
{
    test::SmallReport report;
    for (int i = 0; i < 60; ++i) report.judged[0].reason += " more words";
    for (int i = 0; i < 20; ++i) report.result.modes[0].shape_name += " more words";
    report.cabinet.boards[0].name = "a front with a name of some length";
    report.result.modes[1].drives[0].driver = "the lower of the two woofers";
    if (GENERATE(false, true)) // not played: the drivers' column
        for (solver::JudgedMode& mode : report.judged) mode = {solver::Flag::NotPlayed, mode.reason, 1, {}};
    const bool has_more = GENERATE(false, true);
    if (has_more) {
        test::add_losses(report.result);
        for (solver::Mode& mode : report.result.modes) mode.losses[1].part = "a joint with a name of some length";
        report.result.worth =
            test::same_worth({{{solver::Knob::Kind::LayerThickness, "a sheet with a name of some length",
                                "a ply with a name of some length", 1e-3, 0.1},
                               {20, 0}}},
                             3);
        report.result.worth->left_out = {"a shelf with a name: " + report.judged[0].reason};
    }
    app::ModesReport modes = report.modes();
    if (report.judged[0].flag == solver::Flag::NotPlayed) modes.played = nullptr;
    const auto lines = lines_of(modes_text(modes));
    CHECK(std::any_of(lines.begin(), lines.end(), [](const auto& l) { return display_width(l) > 110; }));
    for (const std::string& line : lines) {
        CAPTURE(line);
        CHECK(display_width(line) <= 120);
    }
}

TEST_CASE("modes table: what the mesh does, where it is more than promised", "[app][output]")
{
    // Reference: 1 % promised at normal, 3 % at draft. Tolerance: words.
    test::SmallReport report;
    app::ModesReport modes = report.modes();
    modes.mesh_error = {0.002, 0.009, 0.001};
    CHECK_THAT(modes_text(modes), !Contains("by estimate"));
    modes.mesh_error[1] = 0.021;
    CHECK_THAT(modes_text(modes), Contains("the mesh moves these modes by up to 2.1 % (mode 2), by estimate"));
    modes.accuracy = solver::Accuracy::Draft;
    CHECK_THAT(modes_text(modes), !Contains("by estimate"));
    modes.mesh_error[1] = 0.031;
    CHECK_THAT(modes_text(modes), Contains("by up to 3.1 %"));

    modes.accuracy = solver::Accuracy::Normal;
    modes.mesh_error[1] = 0.006;
    modes.meshed_again = app::MeshedAgain{.finer = {"front"}, .error_before = 0.021};
    CHECK_THAT(modes_text(modes), Contains("meshed again finer: front, by estimate 2.1 → 0.6 % of frequency") &&
                                      !Contains("the mesh moves"));
    const auto model = nlohmann::json::parse(modes_json(modes))["model"];
    CHECK(model["meshed_again"]["finer"] == nlohmann::json{"front"});
    CHECK(model["meshed_again"]["largest_error_before"] == 0.021);
    modes.mesh_error[1] = 0.011;
    CHECK_THAT(modes_text(modes), Contains("2.1 → 1.1 %") && Contains("the mesh moves these modes by up to 1.1 %"));
    modes.meshed_again->finer = {"front", "back", "left", "right"};
    CHECK_THAT(modes_text(modes), Contains("meshed again finer: 4 boards"));
}

TEST_CASE("modes table: who eats the energy, only when the losses differ", "[app][output]")
{
    test::SmallReport report;
    report.result.modes[0].losses = {{solver::LossShare::Kind::Board, "front", 0.95}};
    CHECK_THAT(modes_text(report.modes()), !Contains("Eaten by"));
    // Different losses, but each board eats what it holds: the column would repeat the boards'.
    report.result.n_loss_rounds = 2;
    CHECK_FALSE(losses_tell(report.modes()));
    report.result.modes[0].losses[0].share = 0.85;
    CHECK(losses_tell(report.modes()));

    test::add_losses(report.result);
    const std::string text = modes_text(report.modes());
    CAPTURE(text);
    CHECK_THAT(text, Contains("Eaten by") && Contains("sheet 60 %, joint back") && !Contains("woofer mount"));
    CHECK_THAT(text, !Contains("\u00A0")); // the marks against wrapping are gone
}

TEST_CASE("modes table: a motor on its basket is no board", "[app][output][basket]")
{
    test::SmallReport report;
    report.result.modes[0].on_basket = "woofer";
    CHECK_THAT(modes_text(report.modes()), Contains("motor of woofer on its basket"));
    CHECK(loss_part({solver::LossShare::Kind::Basket, "woofer", 0.5}) == "woofer basket");
}

TEST_CASE("main losses: at least 10 %, at most three, never none", "[app][output]")
{
    using Kind = solver::LossShare::Kind;
    solver::Mode mode;
    CHECK(main_losses(mode).empty());
    mode.losses = {{Kind::Board, "a", 0.09}, {Kind::Board, "b", 0.08}};
    CHECK(main_losses(mode).size() == 1);
    mode.losses = {{Kind::Board, "a", 0.3}, {Kind::Board, "b", 0.3}, {Kind::Driver, "c", 0.2}, {Kind::Board, "d", 0.2}};
    REQUIRE(main_losses(mode).size() == 3);
    CHECK(loss_part(main_losses(mode)[2]) == "c mount");
}

TEST_CASE("Q: with its band where there is one", "[app][output]")
{
    solver::Mode mode;
    CHECK(q_words(mode) == "–"); // no loss
    mode.loss = 0.03;
    mode.Q = 33.3;
    mode.Q_low = 27.2;
    mode.Q_high = 41.4;
    CHECK(q_words(mode) == "33 (27–41)");
    mode.Q_high = std::numeric_limits<double>::infinity();
    CHECK(q_words(mode) == "33 (27–∞)");
    mode.Q_low = mode.Q_high = mode.Q;
    CHECK(q_words(mode) == "33");
}

TEST_CASE("modes table and JSON: what the second solver says", "[app][output]")
{
    test::SmallReport report;
    CHECK_THAT(modes_text(report.modes()), !Contains("second solver"));
    CHECK_THAT(modes_json(report.modes()), !Contains("verif"));
    const auto model = [&] { return nlohmann::json::parse(modes_json(report.modes())).at("model"); };

    report.result.verified = {.n_modes = 3, .largest_difference = 2e-12, .agrees = true, .problem = {}, .seconds = 1};
    CHECK_THAT(
        modes_text(report.modes()),
        Contains("Verify  3 lowest modes again by a second solver: largest difference 2e-12 of the frequency\n"));
    CHECK(model().at("verified_modes") == 3);
    CHECK(model().at("verify_largest_relative_difference") == 2e-12);
    CHECK(model().at("verify_agrees") == true);

    report.result.verified->largest_difference = 0.02;
    report.result.verified->agrees = false;
    CHECK_THAT(modes_text(report.modes()), Contains("TWO SOLVERS DISAGREE about the 3 lowest modes, by up to 2e-02"));
    CHECK(model().at("verify_agrees") == false);

    report.result.verified->problem = "it did not converge";
    CHECK_THAT(modes_text(report.modes()), Contains("THE SECOND SOLVER FAILED: it did not converge"));
    CHECK(model().at("verify_largest_relative_difference").is_null());
}

TEST_CASE("modes table: an incomplete list says so", "[app][output]")
{
    test::SmallReport report;
    report.result.is_proved = false;
    report.result.n_below = 11;
    CHECK_THAT(modes_text(report.modes()), Contains("NOT ALL FOUND: a Sturm count says 11"));
    report.result.n_below.reset();
    CHECK_THAT(modes_text(report.modes()), Contains("not proved to be all"));
}

TEST_CASE("modes table: no loss gives no Q, no mode gives a sentence", "[app][output]")
{
    test::SmallReport report;
    for (solver::Mode& mode : report.result.modes) {
        mode.loss = 0;
        mode.Q = mode.T60_s = std::numeric_limits<double>::infinity();
    }
    CHECK_THAT(modes_text(report.modes()), !Contains("inf"));
    const auto mode = nlohmann::json::parse(modes_json(report.modes()))["modes"][0];
    for (const char* key : {"q", "q_low", "q_high"}) CHECK(mode[key].is_null());
    report.result.modes.clear();
    CHECK_THAT(modes_text(report.modes()), Contains("No board rings below 1500 Hz."));
}

TEST_CASE("main boards: at least 10 % of the motion, at most three, never none", "[app][output]")
{
    Cabinet cabinet;
    solver::Mode mode;
    for (const char* name : {"a", "b", "c", "d", "e"})
        cabinet.boards.push_back(test::square_board(name, Board::Kind::Wall));

    mode.boards = {{0.05, 0}, {0.3, 0}, {0.3, 0}, {0.25, 0}, {0.1, 0}};
    auto main = main_boards(mode, cabinet);
    REQUIRE(main.size() == 3);
    CHECK(main[0].board == "b");
    CHECK(main[1].board == "c"); // equal shares keep the order of the drawing
    CHECK(main[2].board == "d");

    mode.boards = {{0.09, 0}, {0.08, 0}, {0.07, 0}, {0.06, 0}, {0.05, 0}}; // the rest is in the fittings
    main = main_boards(mode, cabinet);
    REQUIRE(main.size() == 1);
    CHECK(main[0].board == "a");
}

TEST_CASE("strongest drive: the driver that feels the least mass", "[app][output]")
{
    solver::Mode mode;
    CHECK(strongest_drive(mode, 10).driver.empty());
    mode.drives = {{"tweeter", 0, 0.1}, {"woofer", 0, -0.5}};
    const Drive drive = strongest_drive(mode, 10);
    CHECK(drive.driver == "woofer");
    // Reference: 1/φ² = 1/0.25. Tolerance: round-off.
    CHECK_THAT(drive.effective_mass, WithinRel(4.0, 1e-12));
    // 4 kg is more than a hundred times 39 g, less than a hundred times 41 g.
    CHECK(strongest_drive(mode, 0.039).driver.empty());
    CHECK_FALSE(strongest_drive(mode, 0.041).driver.empty());
    mode.drives = {{"tweeter", 0, 0.0}};
    CHECK(strongest_drive(mode, 10).driver.empty());
}

TEST_CASE("modes JSON: parses, carries units, gives the numbers in full", "[app][output]")
{
    test::SmallReport report;
    test::add_losses(report.result);
    const auto json = nlohmann::json::parse(modes_json(report.modes()));
    CHECK(json["cabinet"]["name"] == "two boards");
    // Reference: the fixture. Tolerance: a double survives printing in full.
    CHECK_THAT(json["cabinet"]["net_volume_l"].get<double>(), WithinRel(14.26, 1e-12));
    CHECK(json["model"]["count_proved"] == true);
    REQUIRE(json["modes"].size() == 3);
    const auto& first = json["modes"][0];
    CHECK(first["frequency_hz"] == 412.3);
    CHECK(first["band_high_hz"] == 412.3 + 24);
    CHECK(first["flag"] == "rings");
    CHECK(first["played"]["verdict"] == "audible");
    CHECK(first["played"]["frequency_hz"] == 405.0);
    CHECK(json["modes"][2]["played"].is_null());
    CHECK(first["boards"][1]["board"] == "shelf");
    CHECK(first["drives"][0]["effective_mass_kg"] == 4.0);
    CHECK(first["q_low"] == 40.0);
    CHECK(first["loss_shares"][1] == nlohmann::json{{"kind", "joint"}, {"part", "back"}, {"share", 0.25}});
    CHECK(json["model"]["loss_rounds"] == 2);
    CHECK_FALSE(json.contains("worth")); // not asked for
}

TEST_CASE("modes JSON: a figure that is not finite is a failed computation", "[app][output]")
{
    test::SmallReport report;
    report.result.modes[1].f_high_Hz = std::numeric_limits<double>::quiet_NaN();
    CHECK_THROWS_AS(modes_json(report.modes()), SolverError);
}

TEST_CASE("modes CSV: header and rows of equal length, quoted text", "[app][output]")
{
    test::SmallReport report;
    report.judged[0].reason = "front, \"loud\"";
    test::add_losses(report.result);
    report.result.modes[1].losses.clear();
    report.result.modes[1].Q_high = std::numeric_limits<double>::infinity();
    const auto lines = lines_of(modes_csv(report.modes()));
    REQUIRE(lines.size() == 4);
    const auto header = csv_fields(lines[0]);
    CHECK(header[1] == "frequency_hz");
    CHECK(header[16] == "kinetic_share shelf");
    CHECK(header.back() == "verdict");
    CHECK(header[19] == "eaten_by");
    for (const std::string& line : lines) CHECK(csv_fields(line).size() == header.size());
    const auto first = csv_fields(lines[1]);
    CHECK(first[1] == "412.3");
    CHECK(first[8] == "front, \"loud\"");
    CHECK(csv_fields(lines[3])[11].empty()); // hardly driven: no mass
    CHECK(first[17] == "40");
    CHECK(first.back() == "audible");
    CHECK(first[19] == "sheet 60 %");
    CHECK(csv_fields(lines[2])[18].empty()); // unlimited
    CHECK(csv_fields(lines[2])[19].empty());
    CHECK(csv_fields(lines[3]).back().empty()); // not played
}
