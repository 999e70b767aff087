// compare, vary, improve, workshop as a user runs them.

#include "app/verbs/vary/growing_file.h"
#include "app/workers/apart.h"
#include "mesh/cabinet/error.h"
#include "tests/app/run_program.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <mutex>
#include <set>

#include <sys/resource.h>
#include <unistd.h>

using namespace stillwall::app;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
namespace fs = std::filesystem;

namespace {

struct TestFolder
{
    fs::path path = fs::temp_directory_path() / ("stillwall-schemes-test-" + std::to_string(getpid()));
    TestFolder()
    {
        fs::remove_all(path);
        fs::create_directories(path);
    }
    ~TestFolder() { fs::remove_all(path); }
    [[nodiscard]] std::string operator/(const std::string& name) const { return (path / name).string(); }
};

std::string content(const std::string& file)
{
    std::ifstream stream(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), {}};
}

void write(const std::string& file, const std::string& text)
{
    std::ofstream(file, std::ios::binary) << text;
}

/// A box of a few elements, so that a variant takes a tenth of a second.
const std::string small_box =
    "name: small box\n"
    "cabinet: {shape: box, width: 180, height: 260, depth: 200}\n"
    "boards:\n"
    "  all: {material: mdf, thickness: 15}\n"
    "braces:\n"
    "  - {name: shelf, plane: horizontal, at: 130, thickness: 12}\n"
    "analysis: {upper_frequency: 1800 Hz}\n"
    "workshop: {sheets: [{material: mdf, thickness: 12, length: 1220, width: 610, price: 10}, "
    "{material: mdf, thickness: 15, length: 1220, width: 610, price: 12}, "
    "{material: mdf, thickness: 18, length: 1220, width: 610, price: 14}]}\n";

/// Lines without the column of seconds, in order.
std::set<std::string> lines_without_seconds(const std::string& csv)
{
    std::set<std::string> lines;
    std::istringstream stream(csv);
    for (std::string line; std::getline(stream, line);) {
        // ...,seconds,modes,run at the end; modes hold no comma.
        std::vector<std::size_t> commas;
        for (std::size_t i = 0; i < line.size(); ++i)
            if (line[i] == ',') commas.push_back(i);
        REQUIRE(commas.size() > 3);
        const std::size_t n = commas.size();
        lines.insert(line.substr(0, commas[n - 3]) + line.substr(commas[n - 2]));
    }
    return lines;
}

} // namespace

TEST_CASE("jobs apart: all results come, errors keep their kind, a crash takes nothing along", "[app][apart]")
{
    std::vector<std::string> results(20);
    compute_apart(
        results.size(),
        [](std::size_t i) -> std::string {
            if (i == 3) throw stillwall::InputError({}, "key", "is wrong");
            if (i == 5) throw stillwall::SolverError("no answer");
            if (i == 7) std::raise(SIGKILL);
            return std::string(i * 1000, 'x');
        },
        [&](std::size_t i, const stillwall::app::Outcome& outcome) {
            CHECK(results[i].empty());
            results[i] = outcome.problem.empty() ? std::to_string(outcome.bytes.size())
                                                 : (outcome.is_input ? "input: " : "failed: ") + outcome.problem;
        },
        {.at_most = 3});
    for (std::size_t i = 0; i < results.size(); ++i) {
        CAPTURE(i);
        if (i == 3)
            CHECK_THAT(results[i], Contains("input: key: is wrong"));
        else if (i == 5)
            CHECK(results[i] == "failed: no answer");
        else if (i == 7)
            CHECK_THAT(results[i], Contains("failed: its process was stopped by signal"));
        else
            CHECK(results[i] == std::to_string(i * 1000));
    }
    CHECK_THROWS_AS(compute_apart(
                        4, [](std::size_t) { return std::string(); },
                        [](std::size_t, const stillwall::app::Outcome&) { throw stillwall::Error("stop"); }),
                    stillwall::Error);
}

TEST_CASE("a growing file keeps whole lines, also on a full disk", "[app][vary]")
{
    const TestFolder folder;
    const std::string file = folder / "lines.csv";
    write(file, "one\ntwo\nthr"); // killed while writing
    {
        GrowingFile growing(file, false);
        CHECK(growing.before() == "one\ntwo\n");
        CHECK(content(file) == "one\ntwo\nthr"); // nothing is lost by looking
        growing.add("three\n");
        CHECK_THROWS_AS(GrowingFile(file, false), stillwall::InputError); // another run
    }
    CHECK(content(file) == "one\ntwo\nthree\n");

    // A limit on the size of files stands in for the end of the disk.
    std::signal(SIGXFSZ, SIG_IGN);
    rlimit before{};
    getrlimit(RLIMIT_FSIZE, &before);
    {
        GrowingFile growing(file, false);
        const rlimit tight{20, before.rlim_max};
        setrlimit(RLIMIT_FSIZE, &tight);
        std::string problem;
        try {
            growing.add("four, five, six and seven\n");
        } catch (const stillwall::Error& error) {
            problem = error.what();
        }
        setrlimit(RLIMIT_FSIZE, &before);
        CHECK_THAT(problem, Contains("cannot write") && Contains("goes on from there"));
        CHECK(content(file) == "one\ntwo\nthree\n");
        growing.add("four\n"); // when there is room again
    }
    CHECK(content(file) == "one\ntwo\nthree\nfour\n");
    CHECK_THROWS_AS(GrowingFile("/dev/full", false), stillwall::InputError);
    CHECK(GrowingFile(file, true).before().empty());
}

TEST_CASE("vary: a run that was stopped goes on where it stood", "[app][vary]")
{
    const TestFolder folder;
    const std::string box = folder / "box.yaml", csv = folder / "all.csv";
    write(box, small_box);
    const std::vector<std::string> command{"vary",     box,
                                           "--change", "boards.all.thickness",
                                           "--over",   "12, 15, 18",
                                           "--change", "braces.shelf.at",
                                           "--over",   "100 to 160 by 30",
                                           "--out",    folder / "out",
                                           "--csv",    csv};
    const auto whole = stillwall_with(command);
    CAPTURE(whole.err);
    REQUIRE(whole.code == exit_done);
    CHECK_THAT(whole.out, Contains("9 of 9 variants") && Contains("Highest first mode"));
    CHECK(fs::exists(folder.path / "out/vary-first.svg"));
    const std::string complete = content(csv);
    CHECK(std::count(complete.begin(), complete.end(), '\n') == 10);

    // Half the file, cut in the middle of a line.
    write(csv, complete.substr(0, complete.size() / 2));
    const auto resumed = stillwall_with(command);
    REQUIRE(resumed.code == exit_done);
    CHECK_THAT(resumed.err, Contains("were computed before and are kept"));
    CHECK(lines_without_seconds(content(csv)) == lines_without_seconds(complete));
    // Text and plots are those of the whole run.
    CHECK(resumed.out == whole.out);

    SECTION("a file of another run is left alone")
    {
        write(box, small_box + "note: changed\n");
        const auto other = stillwall_with(command);
        CHECK(other.code == exit_wrong_input);
        CHECK_THAT(other.err, Contains("all.csv:2:1") && Contains("another cabinet or with other settings"));
        CHECK(lines_without_seconds(content(csv)) == lines_without_seconds(complete));
        write(csv, "something,else\n1,2\n");
        CHECK_THAT(stillwall_with(command).err, Contains("holds something else"));
        CHECK(content(csv) == "something,else\n1,2\n");
    }
    SECTION("a variant that cannot be built is told, the others are computed")
    {
        const auto some = stillwall_with({"vary", box, "--change", "braces.shelf.at", "--over", "130, 400", "--csv",
                                          folder / "some.csv", "--no-plots"});
        CHECK(some.code == exit_done);
        CHECK_THAT(some.out, Contains("1 of 2 variants") && Contains("cannot be built") && Contains("Not computed"));
    }
    SECTION("wrong words")
    {
        const auto message = [&](std::vector<std::string> words) {
            words.insert(words.begin(), {"vary", box, "--csv", folder / "x.csv"});
            const auto outcome = stillwall_with(words);
            CHECK(outcome.code == exit_wrong_input);
            CHECK_FALSE(fs::exists(folder / "x.csv"));
            return outcome.err;
        };
        CHECK_THAT(message({}), Contains("nothing is said to vary"));
        CHECK_THAT(message({"--change", "braces.shelff.at", "--over", "1, 2"}), Contains("did you mean 'shelf'?"));
        CHECK_THAT(message({"--change", "braces.shelf.at"}), Contains("each --change needs one --over"));
        CHECK_THAT(message({"--change", "braces.shelf.at", "--over", "9 to 3"}), Contains("the range is empty"));
        CHECK_THAT(message({"--change", "braces.shelf.at", "--over", "100", "--play"}),
                   Contains("no driver has the figures"));
    }
}

TEST_CASE("compare: frequencies, tracking and differences of variants", "[app][compare]")
{
    const TestFolder folder;
    const std::string box = folder / "box.yaml";
    write(box, small_box + "variants:\n"
                           "  - {name: the same, change: {braces.shelf.at: 130}}\n"
                           "  - {name: thick, change: {boards.all.thickness: 18}}\n"
                           "  - {name: no shelf, remove: [braces.shelf]}\n");
    const auto outcome = stillwall_with({"compare", box, "--no-pictures", "--accuracy", "draft", "--json",
                                         folder / "c.json", "--csv", folder / "c.csv"});
    CAPTURE(outcome.err);
    REQUIRE(outcome.code == exit_done);
    CHECK_THAT(outcome.out, Contains("4 schemes") && Contains("as drawn") && Contains("The same mode, Hz"));
    std::istringstream lines(outcome.out);
    for (std::string line; std::getline(lines, line);)
        CHECK(std::count_if(line.begin(), line.end(),
                            [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) != 0x80; }) <= 120);

    const auto json = nlohmann::json::parse(content(folder / "c.json"));
    REQUIRE(json["schemes"].size() == 4);
    const auto& schemes = json["schemes"];
    CHECK(schemes[1]["modes"] == schemes[0]["modes"]);
    CHECK(schemes[1]["same_as_first"].size() == schemes[0]["modes"].size());
    // Reference: a shape's likeness to itself is 1. Tolerance: the samples are in single precision, some 500 to a sum.
    for (const auto& met : schemes[1]["same_as_first"]) {
        CHECK(met["mode"] == met["mode_of_first"]);
        CHECK_THAT(met["likeness"].get<double>(), WithinAbs(1, 1e-5));
    }
    // By hand: 3 mm more on every board make it heavier and the inside smaller, and every mode found again higher.
    CHECK(schemes[2]["mass_kg"] > schemes[0]["mass_kg"]);
    CHECK(schemes[2]["net_volume_l"] < schemes[0]["net_volume_l"]);
    int n_higher = 0, n_met = 0;
    for (const auto& met : schemes[2]["same_as_first"]) {
        ++n_met;
        n_higher += schemes[2]["modes"][met["mode"].get<std::size_t>()]["frequency_hz"] >
                    schemes[0]["modes"][met["mode_of_first"].get<std::size_t>()]["frequency_hz"];
    }
    CHECK(n_met >= 3);
    CHECK(n_higher == n_met);
    // Reference: price by area, by hand: the shelf of 12 mm, 150 × 170 mm of a board of 1220 × 610 mm for 10, is what
    // "no shelf" saves. Tolerance: round-off of a difference of two prices.
    CHECK_THAT(schemes[0]["price"].get<double>() - schemes[3]["price"].get<double>(),
               WithinRel(10 * 0.150 * 0.170 / (1.22 * 0.61), 1e-9));

    SECTION("one cabinet alone cannot be compared")
    {
        write(box, small_box);
        const auto alone = stillwall_with({"compare", box, "--no-pictures"});
        CHECK(alone.code == exit_wrong_input);
        CHECK_THAT(alone.err, Contains("nothing to compare with"));
    }
}

TEST_CASE("improve: the same answer twice, limits that bite", "[app][improve]")
{
    const TestFolder folder;
    const std::string box = folder / "box.yaml";
    const std::string choices = "improve:\n"
                                "  aim: first_mode\n"
                                "  choices:\n"
                                "    - {change: boards.all.thickness, over: [12, 15, 18]}\n"
                                "    - {change: braces.shelf.at, within: 90 to 170}\n"
                                "    - {without: braces.shelf}\n";
    write(box, small_box + choices);
    const auto run = [&](const std::string& json) {
        return stillwall_with({"improve", box, "--tries", "24", "--no-plots", "--json", folder / json});
    };
    const auto first = run("1.json"), second = run("2.json");
    CAPTURE(first.err);
    REQUIRE(first.code == exit_done);
    CHECK(content(folder / "1.json") == content(folder / "2.json"));
    const auto json = nlohmann::json::parse(content(folder / "1.json"));
    CHECK(json["combinations"] == 6); // two of each thickness: with and without, where the place is idle
    const auto& best = json["front"][0];
    CHECK(best["choices"]["boards.all.thickness"] == "18");
    CHECK(best["first_wall_mode_hz"] > json["drawn"]["first_wall_mode_hz"]);
    for (const auto& tried : json["tried"])
        CHECK(tried["first_wall_mode_hz"].get<double>() <= best["draft"]["first_wall_mode_hz"].get<double>());
    // The front trades quietness for weight: ascending in one, descending in the other.
    for (std::size_t i = 1; i < json["front"].size(); ++i) {
        CHECK(json["front"][i]["draft"]["first_wall_mode_hz"] < json["front"][i - 1]["draft"]["first_wall_mode_hz"]);
        CHECK(json["front"][i]["draft"]["mass_kg"] < json["front"][i - 1]["draft"]["mass_kg"]);
    }
    CHECK_THAT(first.out, Contains("To paste under 'variants:'") && Contains("- name: improved"));

    const auto complaint = [&](const std::string& more) {
        write(box, small_box + choices + more);
        const auto outcome = stillwall_with({"improve", box, "--tries", "4", "--no-plots"});
        CHECK(outcome.code == exit_wrong_input);
        return outcome.err;
    };
    CHECK_THAT(complaint("  limits: {mass: 1 kg}\n"),
               Contains("'mass' of at most 1.00 kg excludes all 6 combinations, the lightest weighs"));
    CHECK_THAT(complaint("  limits: {net_volume: 40 l}\n"),
               Contains("'net_volume' of at least 40.0 l") && Contains("the roomiest has"));
    CHECK_THAT(complaint("  limits: {price: 1}\n"),
               Contains("'price' of at most 1.00") && Contains("the cheapest costs"));
    CHECK_THAT(complaint("  limits: {first_mode: 5 kHz}\n"),
               Contains("'first_mode' of at least 5000 Hz is not reached"));
    std::string without_prices = small_box;
    without_prices.erase(without_prices.find("workshop:"));
    write(box,
          without_prices + "improve: {aim: first_mode, choices: [{without: braces.shelf}], limits: {price: 30}}\n");
    CHECK_THAT(stillwall_with({"improve", box}).err, Contains("improve.limits.price: needs prices"));
    write(box, small_box + "improve: {aim: quietest, choices: [{without: braces.shelf}]}\n");
    CHECK_THAT(stillwall_with({"improve", box}).err, Contains("levels need a driver with figures"));
    write(box, small_box);
    CHECK_THAT(stillwall_with({"improve", box}).err, Contains("does not say what may be chosen"));
}

TEST_CASE("workshop: list, drawings, JSON; a variant by name", "[app][workshop]")
{
    const TestFolder folder;
    const std::string box = folder / "box.yaml";
    write(box, small_box + "variants: [{name: no shelf, remove: braces.shelf}]\n");
    const auto outcome = stillwall_with({"workshop", box, "--out", folder / "w", "--json", folder / "w.json"});
    CAPTURE(outcome.err);
    REQUIRE(outcome.code == exit_done);
    CHECK_THAT(outcome.out, Contains("Pieces") && Contains("Waste") && Contains("Balance") &&
                                Contains("formaldehyde") && Contains("Local rules"));
    for (const char* name : {"front.dxf", "front.svg", "shelf.dxf", "boards-laid-out.svg"})
        CHECK(fs::file_size(folder.path / "w" / name) > 200);
    const auto json = nlohmann::json::parse(content(folder / "w.json"));
    CHECK(json["parts"].size() == 7);
    // Reference: the lines end in the net volume. Tolerance: round-off of their sum.
    double sum = 0;
    for (const auto& line : json["volumes"]) sum += line["litres"].get<double>();
    CHECK_THAT(sum, WithinRel(json["net_volume_l"].get<double>(), 1e-9));
    CHECK(
        stillwall_with({"workshop", box, "--variant", "no shelf", "--no-drawings", "--json", folder / "w.json"}).code ==
        exit_done);
    CHECK(nlohmann::json::parse(content(folder / "w.json"))["parts"].size() == 6);
    CHECK_THAT(stillwall_with({"workshop", box, "--variant", "no shelv", "--no-drawings"}).err,
               Contains("did you mean 'no shelf'?"));
}

TEST_CASE("workshop: rebates, pilot holes and notches are drawn and told", "[app][workshop]")
{
    const TestFolder folder;
    const std::string box = folder / "box.yaml";
    std::string text = small_box;
    text.replace(text.find("at: 130"), 7, "at: 100, notched: yes");
    write(box, text +
                   "openings: [{name: woofer, board: front, shape: circle, diameter: 90, at: {x: 90, z: 100}, driver: "
                   "{mass: 1 kg, depth: 60, magnet_diameter: 70, flange_diameter: 120, recess: 4, screws: {count: 6, "
                   "circle: 106, pilot: 2.5}}}]\n");
    const auto outcome = stillwall_with({"workshop", box, "--out", folder / "w"});
    CAPTURE(outcome.err);
    REQUIRE(outcome.code == exit_done);
    CHECK_THAT(outcome.out, Contains("rebate for woofer, 120 across and 4 mm deep") &&
                                Contains("6 pilot holes of 2.5 mm for woofer on a circle of 106 mm") &&
                                Contains("1 notch"));
    const std::string dxf = content((folder.path / "w" / "front.dxf").string());
    const auto count = [&dxf](const std::string& what) {
        int n = 0;
        for (std::size_t at = dxf.find(what); at != std::string::npos; at = dxf.find(what, at + 1)) ++n;
        return n;
    };
    // Reference: a circle on its layer is "CIRCLE", the code 8 and the layer's name. Tolerance: none, counts.
    CHECK(count("CIRCLE\n  8\nREBATE\n") == 1);
    CHECK(count("CIRCLE\n  8\nDRILL\n") == 6);
    CHECK(count("CIRCLE\n  8\nCUTOUT\n") == 1);
    CHECK(count(" 40\n60.000000\n") == 1); // the rebate's radius
}

TEST_CASE("modes: advice is computed again and helps", "[app][advice]")
{
    const TestFolder folder;
    const std::string box = folder / "box.yaml";
    write(box, small_box);
    const auto outcome =
        stillwall_with({"modes", box, "--no-pictures", "--accuracy", "draft", "--json", folder / "m.json"});
    REQUIRE(outcome.code == exit_done);
    const auto json = nlohmann::json::parse(content(folder / "m.json"));
    REQUIRE(json.contains("advice"));
    CHECK(json.contains("modes")); // the rest is still there
    CHECK(json["advice"]["changes"].size() <= 3);
    for (const auto& change : json["advice"]["changes"])
        CHECK(change["worst_wall_nearness_change_db"].get<double>() < 0);
    // Reference: what was promised is what the changed cabinet gives: mass and litres by a run of its own. Tolerance: 1
    // µg and 1 nl, round-off with room to spare.
    if (!json["advice"]["changes"].empty()) {
        const auto& change = json["advice"]["changes"][0];
        write(box, small_box + "variants:\n  - " + change["variant"].get<std::string>() + "\n");
        const auto compared =
            stillwall_with({"compare", box, "--no-pictures", "--accuracy", "draft", "--json", folder / "c.json"});
        REQUIRE(compared.code == exit_done);
        const auto schemes = nlohmann::json::parse(content(folder / "c.json"))["schemes"];
        CHECK_THAT(schemes[1]["mass_kg"].get<double>() - schemes[0]["mass_kg"].get<double>(),
                   WithinAbs(change["mass_change_kg"].get<double>(), 1e-9));
        CHECK_THAT(schemes[1]["net_volume_l"].get<double>() - schemes[0]["net_volume_l"].get<double>(),
                   WithinAbs(change["volume_change_l"].get<double>(), 1e-9));
    }
    const auto without = stillwall_with({"modes", box, "--no-pictures", "--accuracy", "draft", "--no-advice"});
    CHECK_THAT(without.out, !Contains("What to change first"));
}
