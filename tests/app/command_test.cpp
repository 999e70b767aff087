#include "tests/app/run_program.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <vector>

#include <unistd.h>

using namespace stillwall::app;
using Catch::Matchers::Contains;
using Catch::Matchers::StartsWith;
namespace fs = std::filesystem;

namespace {

const std::string example = "examples/01-small-two-way/cabinet.yaml";

struct TestFolder
{
    fs::path path = fs::temp_directory_path() / ("stillwall-command-test-" + std::to_string(getpid()));
    TestFolder()
    {
        fs::remove_all(path);
        fs::create_directories(path);
    }
    ~TestFolder() { fs::remove_all(path); }
    [[nodiscard]] std::string operator/(const std::string& name) const { return (path / name).string(); }
    [[nodiscard]] bool is_empty() const { return fs::is_empty(path); }
};

} // namespace

TEST_CASE("help and version are done, on standard output", "[app][command]")
{
    const Outcome help = stillwall_with({"--help"});
    CHECK(help.code == exit_done);
    CHECK(help.err.empty());
    CHECK_THAT(help.out, Contains("modes") && Contains("check") && Contains("materials") && Contains("Example"));

    const Outcome version = stillwall_with({"--version"});
    CHECK(version.code == exit_done);
    CHECK_THAT(version.out, StartsWith("stillwall 0."));

    const auto verb = GENERATE(as<std::string>{}, "modes", "check", "materials");
    const Outcome verb_help = stillwall_with({verb, "--help"});
    CAPTURE(verb_help.out);
    CHECK(verb_help.code == exit_done);
    CHECK_THAT(verb_help.out, Contains("Example:") && Contains("stillwall " + verb));
    // One page of a usual terminal.
    CHECK(std::count(verb_help.out.begin(), verb_help.out.end(), '\n') <= 30);
}

TEST_CASE("modes --verify, and fine accuracy by itself, compute the lowest modes by a second solver", "[app][command]")
{
    for (const auto& how : {std::vector<std::string>{"--verify"}, {"--accuracy", "fine"}}) {
        std::vector<std::string> words{"modes", example, "--upper", "600", "--no-pictures", "--no-advice"};
        words.insert(words.end(), how.begin(), how.end());
        const Outcome outcome = stillwall_with(words);
        CHECK(outcome.code == exit_done);
        CHECK_THAT(outcome.out, Contains("again by a second solver: largest difference"));
        CHECK_THAT(outcome.err, !Contains("DISAGREE"));
    }
}

TEST_CASE("a wrong command line: one line on standard error, exit 2", "[app][command]")
{
    struct Case
    {
        std::vector<std::string> words;
        std::string expected;
    };
    const std::vector<Case> cases{
        {{}, "say what to do"},
        {{"mods", example}, "did you mean 'modes'?"},
        {{"modes"}, "FILE"},
        {{"modes", example, "--uper", "900"}, "did you mean '--upper'?"},
        {{"modes", example, "--upper", "nan"}, "got nan"},
        {{"modes", example, "--upper", "7"}, "from 50 to 6000 Hz, got 7"},
        {{"modes", example, "--upper", "900Hz"}, "got 900Hz"},
        {{"modes", example, "--accuracy", "best"}, "one of draft, fine, normal, got best"},
        {{"modes", example, "--pictures", "none"}, "one of all, flagged, got none"},
        {{"modes", example, "--no-pictures", "--pictures", "all"}, "excludes"},
        {{"modes", example, "--no-pictures", "--json", "no_such_folder/x.json"}, "does not exist"},
        {{"modes", example, "--no-pictures", "--csv", "examples"}, "it is a folder"},
        {{"modes", example, "--out", example + "/below"}, "is not a folder"},
        {{"materials", "mfd"}, "did you mean 'mdf'?"},
        {{"materials", "spike"}, "did you mean 'spikes'?"},
        {{"materials", "plywood"}, "birch_plywood"},
        {{"materials", "zzzzz"}, "lists all"},
    };
    for (const Case& wrong : cases) {
        const Outcome outcome = stillwall_with(wrong.words);
        CAPTURE(wrong.words, outcome.err);
        CHECK(outcome.code == exit_wrong_input);
        CHECK(outcome.out.empty());
        CHECK_THAT(outcome.err, Contains(wrong.expected));
        CHECK(std::count(outcome.err.begin(), outcome.err.end(), '\n') == 1);
    }
}

TEST_CASE("bad input: the error's own text, exit 2, nothing written", "[app][command]")
{
    const TestFolder folder, out;
    const auto verb = GENERATE(as<std::string>{}, "modes", "check");
    const Outcome missing = stillwall_with({verb, folder / "missing.yaml", "--json", folder / "x.json"});
    CHECK(missing.code == exit_wrong_input);
    CHECK_THAT(missing.err, StartsWith(folder / "missing.yaml:"));
    CHECK(missing.out.empty());
    CHECK(folder.is_empty());

    std::ofstream(folder / "bad.yaml") << "name: x\ncabinet: {shape: box}\nbords: {}\n";
    const Outcome bad = stillwall_with({verb, folder / "bad.yaml", "--json", folder / "x.json"});
    CHECK(bad.code == exit_wrong_input);
    CHECK_THAT(bad.err, StartsWith(folder / "bad.yaml:3:1: "));
    CHECK_FALSE(fs::exists(folder / "x.json"));
}

TEST_CASE("check writes its report, JSON and drawing", "[app][command]")
{
    const TestFolder folder;
    const Outcome outcome =
        stillwall_with({"check", example, "--json", folder / "c.json", "--drawing", folder / "c.svg"});
    CAPTURE(outcome.err);
    CHECK(outcome.code == exit_done);
    CHECK(outcome.err.empty());
    CHECK_THAT(outcome.out, Contains("litres net") && Contains("Cut list"));
    CHECK(fs::file_size(folder / "c.json") > 500);
    CHECK(fs::file_size(folder / "c.svg") > 2000);
}

TEST_CASE("materials: a list of all, every figure of one", "[app][command]")
{
    const Outcome list = stillwall_with({"materials"});
    CHECK(list.code == exit_done);
    CHECK_THAT(list.out, Contains("mdf") && Contains("birch_plywood") && Contains("bitumen_sheet"));
    const Outcome one = stillwall_with({"materials", "mdf"});
    CHECK(one.code == exit_done);
    CHECK_THAT(one.out, Contains("Source") && Contains("rho") && Contains("kg/m3"));
    const Outcome screw = stillwall_with({"materials", "screw"});
    CHECK(screw.code == exit_done);
    CHECK_THAT(screw.out, Contains("Wood screw") && Contains("joint: screws") && Contains("4 (3.5–5)") &&
                              Contains("EN 1995-1-1") && Contains("from memory") && Contains("by hand at the end"));
    // A strip and a foot share the name.
    const Outcome rubber = stillwall_with({"materials", "rubber"});
    CHECK_THAT(list.out, Contains("polyester_wadding") && Contains("flow_resistivity 3000 (1000–8000) Pa.s/m2"));
    const Outcome wool = stillwall_with({"materials", "glass_wool"});
    CHECK_THAT(wool.out, Contains("12000 (4000–40000)") && Contains("Pa.s/m2") && Contains("gloves and a P2 mask"));
    CHECK_THAT(rubber.out, Contains("Solid rubber strip") && Contains("50 (20–300)") && Contains("a free block"));
}

TEST_CASE("modes: table, JSON and CSV, no picture when none is wanted", "[app][command]")
{
    const TestFolder folder;
    const Outcome outcome =
        stillwall_with({"modes", example, "--upper", "600", "--accuracy", "draft", "--no-pictures", "--json",
                        folder / "m.json", "--csv", folder / "m.csv", "--out", folder / "pictures"});
    CAPTURE(outcome.err);
    CHECK(outcome.code == exit_done);
    CHECK(outcome.err.empty());
    CHECK_THAT(outcome.out, Contains("Small two-way") && Contains("Boards that move") && Contains("Sturm"));
    CHECK_THAT(outcome.out, !Contains("What moves")); // only when asked for
    CHECK(fs::exists(folder / "m.json"));
    CHECK(fs::exists(folder / "m.csv"));
    CHECK_FALSE(fs::exists(folder / "pictures"));
}

TEST_CASE("modes --worth: what moves the ringing modes, in text and JSON", "[app][command]")
{
    const TestFolder folder;
    const Outcome outcome = stillwall_with({"modes", example, "--upper", "500", "--accuracy", "draft", "--no-pictures",
                                            "--worth", "--json", folder / "m.json"});
    CAPTURE(outcome.err);
    CHECK(outcome.code == exit_done);
    CHECK_THAT(outcome.out, Contains("What moves mode 1,") && Contains("1 mm thicker") && Contains("g heavier"));
    std::ostringstream json;
    json << std::ifstream(folder / "m.json").rdbuf();
    CHECK_THAT(json.str(), Contains("\"worth\"") && Contains("\"brace_position\""));
    CHECK_THAT(stillwall_with({"modes", "--help"}).out, Contains("--worth"));
}

TEST_CASE("a full disk on standard output is a failure, not silence", "[app][command]")
{
    std::ofstream full("/dev/full");
    std::ostringstream err;
    const char* const argv[] = {"stillwall", "materials"};
    CHECK(run(2, argv, {full, err}) == exit_failed);
    CHECK_THAT(err.str(), Contains("standard output"));
}
