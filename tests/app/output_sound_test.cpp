#include "tests/app/read_text.h"
#include "tests/app/sound_fixture.h"

#include "app/workers/sound_sizes.h"
#include "app/write/text_table.h"
#include "solver/drive/curve_points.h"
#include "solver/drive/verdicts.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <limits>
#include <sstream>

using namespace stillwall;
using namespace stillwall::app;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using solver::count_verdicts, solver::modes_by_verdict, solver::worst_listener;
using solver::lowest, solver::peaks;
using test::csv_fields, test::lines_of, test::unbroken;

namespace {

/// The field of a line under a title.
double value_under(const std::vector<std::string>& lines, std::size_t line, const std::string& title)
{
    const auto titles = csv_fields(lines.front());
    const auto at = std::find(titles.begin(), titles.end(), title);
    INFO(title);
    REQUIRE(at != titles.end());
    return std::stod(csv_fields(lines.at(line)).at(static_cast<std::size_t>(at - titles.begin())));
}

/// Number of numbers in a document; one that is not finite would stand there as null.
std::size_t count_numbers(const nlohmann::json& node)
{
    if (node.is_number()) return 1;
    std::size_t n = 0;
    if (node.is_structured())
        for (const auto& child : node) n += count_numbers(child);
    return n;
}

} // namespace

TEST_CASE("sound text: the answer first, then what matters, worst first", "[app][output][sound]")
{
    const test::SmallSound sound;
    const std::string text = sound_text(sound.report(), false);
    CAPTURE(text);

    // Reference: the fixture's modes by hand. 412 Hz: Q 50, lines −8.0 and −2.4, level 0: audible, 8 dB over. 640 Hz:
    // Q 20, −12.0 and −5.2, level −14: borderline. 850 Hz: Q 30, −10.2, level −18: inaudible. Margins 7.5 − 5 (lg Q −
    // 1): 6.0 dB at Q 20, 5.1 at Q 30. Odds with 3 dB of spread: Φ(2.367/3) = 0.785 of audible; of borderline at least
    // 1, Φ(3.99/3) = 0.91 and Φ(−2.66/3) = 0.19.
    const std::string answer =
        "2 of 4 resonances may be heard: 1 audible, 1 borderline. Clearest: no 2, front: 1×1, at "
        "412 Hz, 8 dB over what trained ears notice in noise.";
    CHECK(unbroken(text).find(answer) < unbroken(text).find("What rings"));
    CHECK_THAT(unbroken(text), Contains("2.1 are to be expected at least borderline, 0.8 audible."));
    CHECK_THAT(
        text, Contains("2  412 ±24  front: 1×1  50    0     −5  −8 / −2   AUDIBLE     78 / 100  force of woofer 80 %"));
    CHECK_THAT(text, Contains("3  640 ±24  shelf: 1×1  20  −14    −19  −12 / −5  borderline  0 / 91"));
    CHECK(text.find("AUDIBLE") < text.find("  borderline  "));
    CHECK_THAT(text, !Contains("front: 2×1") && Contains("2 inaudible ones are left out; --all lists them."));
    // Nine of ten: 1.645 · 3 = 4.9 dB either way.
    CHECK_THAT(text, Contains("2  the woofer shakes it. Between −5 and 5 dB nine times of ten."));
    CHECK_THAT(text, Contains("3  the woofer shakes it. Between −19 and −9 dB nine times of ten."));
    CHECK_THAT(text, Contains("0.35 (4 %)    axis"));
    // Ring time 2.2 · 50/412.3 s = 0.267 s, over 0.2 s; 640 Hz: 0.069 s.
    CHECK_THAT(text, Contains("No 2: the tail (up to 0.27 s") && Contains("No 2: between 125 and 500 Hz"));
}

TEST_CASE("sound text: drive, box, impedance, motion, effort, cautions", "[app][output][sound]")
{
    test::SmallSound sound;
    sound.setting.plane = OuterPlane{.name = "floor"};
    sound.setting.fillings.emplace_back();
    sound.setting.fillings[0].name = "lining";
    sound.setting.fillings[0].material = "wool";
    sound.setting.fillings[0].board = 0;
    const std::string text = unbroken(sound_text(sound.report(), false));
    CAPTURE(text);

    // Reference: 2.83²/6.04 ohm = 1.33 W at most; 8 h / 2^(1/3) = 6.35 h at 86 dB; the humps of the made-up impedance;
    // √2 · 1 mm/(1 + (20/40)²) = 1.13 mm; √2 · 2 m/s = 2.83 m/s.
    CHECK_THAT(text, Contains("2.83 V r.m.s. before a rigid floor, 86 dB at 1 m") &&
                         Contains("at most 1.3 W into woofer way"));
    CHECK_THAT(text, Contains("about 6.3 hours a day"));
    CHECK_THAT(text, Contains("14.3 litres of air; port tuning: 38.0 Hz, Q 9.5; lining of wool on front"));
    CHECK_THAT(text, Contains("woofer way: least 6.04 ohm at 494 Hz; peaks 31 ohm at 20.6 Hz, 40 ohm at 61.7 Hz"));
    CHECK_THAT(text, Contains("largest wrinkle of a wall") && Contains("0.35 ohm (4 %) at 412 Hz, no 2"));
    CHECK_THAT(text, Contains("woofer: cone ±1.1 mm at 20.0 Hz; port: air up to 2.8 m/s at 37.8 Hz"));
    CHECK_THAT(text, Contains("axis (x 100, y −1000, z 150 mm): walls at most 0 dB"));
    CHECK_THAT(text, Contains("5400 unknowns of the walls (elements 33 mm)") && Contains("(80, 38, 19 mm)"));
    CHECK_THAT(text, Contains("85 dB(A)") && Contains("NIOSH") && Contains("Start low") && Contains("mains"));

    // A closed box without modes of a port says so; a quiet drive has no limit for the ears.
    sound.result.modes.erase(sound.result.modes.begin());
    sound.result.sources[1].kind = solver::Source::Kind::Cone;
    sound.result.level_dB = 70;
    const std::string closed = unbroken(sound_text(sound.report(), false));
    CHECK_THAT(closed, Contains("litres of air; closed") && !Contains("hours a day;"));
    // A passive radiator tunes the box, if below the band.
    sound.result.sources[1].kind = solver::Source::Kind::Passive;
    CHECK_THAT(unbroken(sound_text(sound.report(), false)), Contains("litres of air; no box tuning in the band"));
}

TEST_CASE("sound text: all modes, none that matter, none at all", "[app][output][sound]")
{
    test::SmallSound sound;
    const std::string all = unbroken(sound_text(sound.report(), true));
    CHECK_THAT(all, Contains("front: 2×1") && Contains("out of port") && !Contains("left out"));

    for (solver::SoundMode& mode : sound.result.modes) {
        for (solver::ModeAtListener& heard : mode.heard) {
            heard.level_dB = -60;
            heard.verdict = solver::judge_heard({-60, mode.Q, mode.f_Hz, mode.T60_s});
        }
        if (mode.worst) mode.worst = mode.heard[0];
    }
    const std::string quiet = unbroken(sound_text(sound.report(), false));
    // Reference: at −60 dB the lowest strict line is the nearest: Q 20, 48 dB over it.
    CHECK_THAT(
        quiet,
        Contains("None of 4 resonances should be heard. Nearest to it: no 3, shelf: 1×1, at 640 Hz, 48 dB under"));
    CHECK_THAT(quiet, Contains("4 inaudible ones are left out") && !Contains("Why"));

    sound.result.modes.clear();
    CHECK_THAT(sound_text(sound.report(), false), Contains("No resonance was found from 20.0 to 2958 Hz."));
}

TEST_CASE("sound text: no line is wider than 120 columns, however long names and reasons are", "[app][output][sound]")
{
    test::SmallSound sound;
    for (int i = 0; i < 30; ++i) {
        sound.result.modes[1].name += " more words";
        sound.result.modes[2].reason += " more words";
    }
    sound.result.modes[1].driver = "the lower of the two woofers";
    sound.result.modes[1].wrinkles[0].way = "woofers of both boxes in series";
    sound.result.ways.push_back(sound.result.ways[0]);
    sound.result.listeners[0].name = "a listener in a place with a name of some length";
    const auto lines = lines_of(sound_text(sound.report(), GENERATE(false, true)));
    CHECK(std::any_of(lines.begin(), lines.end(), [](const auto& l) { return display_width(l) > 110; }));
    for (const std::string& line : lines) {
        CAPTURE(line);
        CHECK(display_width(line) <= 120);
    }
}

TEST_CASE("verdicts: order, count and the worst listener", "[app][output][sound]")
{
    // Reference: the fixture's levels and lines by hand.
    test::SmallSound sound;
    auto& modes = sound.result.modes;
    CHECK(modes_by_verdict(modes) == std::vector<std::size_t>{1, 2, 3, 4}); // the port's is not judged
    CHECK(worst_listener(sound.result) == 0);
    std::swap(modes[1].heard[0], modes[1].heard[1]);
    modes[1].heard[0].listener = 0;
    modes[1].heard[1].listener = 1;
    CHECK(worst_listener(sound.result) == 1);
    // All directions are no place to draw curves for.
    modes[1].heard[2] = modes[1].heard[1];
    modes[1].heard[2].level_dB += 20;
    modes[1].heard[2].listener.reset();
    CHECK(worst_listener(sound.result) == 1);
    // Among borderline ones the farthest over its strict line comes first, whatever the frequency.
    const auto higher = test::wall_mode("a", 900, 20, -6, "front"); // 6 dB over
    modes.push_back(higher);
    CHECK(modes_by_verdict(modes) == std::vector<std::size_t>{1, 5, 2, 3, 4});
    CHECK(count_verdicts(modes).all() == 5);
    // Reference: by hand, as above, and −6 dB at Q 20: Φ(−0.77/3) = 0.40 and 1. Tolerance: half of the last printed
    // figure.
    CHECK_THAT(count_verdicts(modes).expected_audible, WithinAbs(1.18, 0.006));
    CHECK_THAT(count_verdicts(modes).expected_heard, WithinAbs(3.096, 0.006));
    modes.back().worst->verdict.word = solver::Audibility::OutOfBand;
    CHECK(count_verdicts(modes).all() == 4);
    CHECK(count_verdicts(modes).out_of_band == 1);
    CHECK(worst_listener(test::made_up_sound({})) == 0);
}

TEST_CASE("peaks of a curve: what rises by a tenth, also at the cut end", "[app][output][sound]")
{
    const std::vector<double> f{1, 2, 3, 4, 5, 6, 7, 8, 9};
    const auto curve = [](std::vector<double> values) {
        return Eigen::VectorXd(Eigen::Map<Eigen::VectorXd>(values.data(), 9));
    };
    const auto two = peaks(f, curve({1, 4, 1, 3, 2.9, 2.95, 1, 0.5, 6}));
    REQUIRE(two.size() == 2); // 2.95 rises by 2 % only, 6 is the end
    CHECK(two[0].f_Hz == 2);
    CHECK(two[1].value == 3);
    CHECK(peaks(f, curve({3.8, 4, 1, 1, 1, 1, 1, 1, 1})).size() == 1); // cut by the band's lower end
    CHECK(peaks(f, curve({1, 1.01, 1, 1, 1, 1, 1, 1, 1})).empty());
    CHECK(peaks(f, curve({1, 2, 3, 4, 5, 6, 7, 8, 9})).empty());
    CHECK(lowest(f, curve({3, 2, 1, 1, 2, 3, 4, 5, 6})).f_Hz == 3);
}

TEST_CASE("curves CSV: a line per frequency, figures parsed back", "[app][output][sound]")
{
    test::SmallSound sound;
    sound.result.listeners[0].boards[1](7) = 0; // silence
    const auto lines = lines_of(sound_curves_csv(sound.report()));
    const auto& result = sound.result;
    REQUIRE(lines.size() == result.frequency.size() + 1);
    // frequency, 2 listeners × (total, direct, walls, 2 sources, 2 boards: level and phase; reference), 3 powers,
    // impedance and still one with phases, a cone, a port
    const std::size_t n_columns = 1 + 2 * (7 * 2 + 1) + 3 + 4 + 2;
    for (const std::string& line : lines) REQUIRE(csv_fields(line).size() == n_columns);
    for (const std::string& title : csv_fields(lines[0])) {
        CAPTURE(title);
        const std::vector<std::string> units{"_hz", "_db", "_deg", "ohm", "_mm_rms", "_m_per_s_rms"};
        CHECK(std::any_of(units.begin(), units.end(), [&](const auto& unit) { return title.ends_with(unit); }));
    }
    // Reference: the fixture at the 101st frequency, dB and degrees worked out here. Tolerance: six printed digits.
    const Eigen::Index i = 100;
    const auto walls = result.listeners[1].walls(i);
    CHECK_THAT(value_under(lines, 101, "frequency_hz"), WithinRel(result.frequency[100], 1e-5));
    CHECK_THAT(value_under(lines, 101, "side, 2 m: walls level_db"),
               WithinRel(20 * std::log10(std::abs(walls) / 2e-5), 1e-5));
    CHECK_THAT(value_under(lines, 101, "side, 2 m: walls phase_deg"),
               WithinRel(std::arg(walls) * 180 / 3.14159265358979, 1e-5));
    CHECK_THAT(value_under(lines, 101, "power of walls level_db"),
               WithinRel(10 * std::log10(result.power_walls(i) / 1e-12), 1e-5));
    CHECK_THAT(value_under(lines, 101, "woofer way: impedance ohm"),
               WithinRel(std::abs(result.ways[0].impedance(i)), 1e-5));
    CHECK_THAT(value_under(lines, 101, "woofer: cone displacement_mm_rms"),
               WithinRel(1e3 * std::abs(result.motion[0].displacement(i)), 1e-5));
    CHECK_THAT(value_under(lines, 101, "port: air velocity_m_per_s_rms"),
               WithinRel(std::abs(result.motion[1].velocity(i)), 1e-5));
    // Silence has neither level nor phase.
    const auto titles = csv_fields(lines[0]);
    const auto at = std::find(titles.begin(), titles.end(), "axis: board shelf level_db") - titles.begin();
    CHECK(csv_fields(lines[8]).at(static_cast<std::size_t>(at)).empty());
    CHECK(csv_fields(lines[8]).at(static_cast<std::size_t>(at) + 1).empty());
}

TEST_CASE("modes CSV: a line per mode and listener, quoted text, equal length", "[app][output][sound]")
{
    test::SmallSound sound;
    sound.result.modes[1].reason = "shaken, \"hard\"";
    const auto lines = lines_of(sound_modes_csv(sound.report()));
    REQUIRE(lines.size() == 1 + 1 + 4 * 3); // titles, the port without places, four modes at two and all round
    const std::size_t n_columns = csv_fields(lines[0]).size();
    for (const std::string& line : lines) {
        CAPTURE(line);
        CHECK(csv_fields(line).size() == n_columns);
    }
    CHECK(csv_fields(lines[1])[1] == "port");
    CHECK(csv_fields(lines[2]).back() == "shaken, \"hard\"");
    CHECK_THAT(lines[2], Contains(",axis,yes,0,412.3,") && Contains(",axis,yes,"));
    CHECK_THAT(lines[3], Contains(",\"side, 2 m\",no,-3,412.3,"));
    CHECK(value_under(lines, 2, "wrinkle_ohm") == 0.35);
    CHECK_THAT(lines[4], Contains(",all directions,no,-5,412.3,"));
    // Reference: 1.6449 deviations of 3 dB. Tolerance: the table's figures.
    CHECK_THAT(value_under(lines, 2, "level_low_db"), WithinAbs(-4.935, 1e-3));
    CHECK(csv_fields(lines[8])[1] == "air");
    CHECK(csv_fields(lines[8])[4].empty()); // air modes have no band
}

TEST_CASE("sound JSON: parses, units in the keys, every number there", "[app][output][sound]")
{
    const test::SmallSound sound;
    const auto json = nlohmann::json::parse(sound_json(sound.report()));
    const auto& result = sound.result;
    CHECK(json["answer"]["resonances"] == 4);
    CHECK(json["answer"]["audible"] == 1);
    CHECK(json["drive"]["volts_rms"] == 2.83);
    CHECK(json["warnings"][0] == "made up");
    const std::size_t n = result.frequency.size();
    REQUIRE(json["frequency_hz"].size() == n);
    // 2 listeners × (total, direct, walls, 2 sources, 2 boards: re and im; reference), each as long as the frequencies
    CHECK(count_numbers(json["listeners"]) == 2 * ((7 * 2 + 1) * n + 3)); // and x, y, z
    CHECK(count_numbers(json["ways"]) == 2 * 2 * n);
    CHECK(count_numbers(json["sources"]) == 2 * 2 * 2 * n);
    CHECK(json["listeners"][1]["boards"][0]["pressure_pa_rms"]["im"][5] == result.listeners[1].boards[0](5).imag());
    CHECK(json["ways"][0]["impedance_ohm"]["re"][50] == result.ways[0].impedance(50).real());
    const auto& mode = json["modes"][1];
    CHECK(mode["frequency_hz"] == 412.3);
    CHECK(mode["in_vacuo_hz"] == 420.0);
    CHECK(mode["worst_place"] == "axis");
    CHECK(mode["worst_listener"] == "axis");
    CHECK(mode["heard"][2]["place"] == "all directions");
    CHECK(mode["heard"][2]["listener"].is_null());
    CHECK(mode["heard"][1]["level_db"] == -3.0);
    CHECK(mode["heard"][0]["verdict"] == "audible");
    CHECK(mode["heard"][0]["odds_audible"].get<double>() > 0.78);
    CHECK(mode["wrinkles"][0]["change_ohm"] == 0.35);
    CHECK(json["modes"][0]["heard"].empty());
    CHECK(json["modes"][0]["worst_place"].is_null());
    CHECK(json["modes"][3]["band_low_hz"].is_null());
}

TEST_CASE("sound JSON: a figure that is not finite is a failed computation", "[app][output][sound]")
{
    test::SmallSound sound;
    SECTION("a curve")
    {
        sound.result.listeners[1].walls(3) = std::numeric_limits<double>::quiet_NaN();
    }
    SECTION("a mode")
    {
        sound.result.modes[2].heard[1].level_dB = -std::numeric_limits<double>::infinity();
    }
    SECTION("an impedance")
    {
        sound.result.ways[0].impedance(0) = {1, std::numeric_limits<double>::infinity()};
    }
    CHECK_THROWS_AS(sound_json(sound.report()), SolverError);
}

TEST_CASE("sizes of the meshes for sound: shares of the shortest wave, panels capped", "[app][sound]")
{
    // Reference: 343.2 m/s by hand. Tolerance: round-off.
    CHECK_THAT(air_element_size(3000, Accuracy::Normal), WithinRel(343.2 / 6000, 1e-12));
    CHECK_THAT(air_element_size(3000, Accuracy::Draft), WithinRel(343.2 / 5100, 1e-12));
    const auto levels = outer_levels(3000, Accuracy::Normal);
    REQUIRE(levels.size() == 3);
    CHECK_THAT(levels[0].element_size, WithinRel(343.2 / 4500, 1e-12));
    CHECK_THAT(levels[2].element_size, WithinRel(343.2 / 13500, 1e-12));
    CHECK(levels[0].top_Hz == 750);
    CHECK(levels[2].top_Hz == 3000);
    // 343.2/(6 · 250) and 343.2/(6 · 500) m are over 80 mm: one level for both.
    const auto low = outer_levels(1000, Accuracy::Normal);
    REQUIRE(low.size() == 2);
    CHECK(low[0].top_Hz == 500);
    CHECK(low[0].element_size == 0.08);
    CHECK(outer_levels(3000, Accuracy::Fine)[2].element_size < levels[2].element_size);
    CHECK(outer_levels(3000, Accuracy::Draft)[2].element_size > levels[2].element_size);
}
