#include "tests/app/run_program.h"

#include <catch2/catch.hpp>

#include <algorithm>

using namespace stillwall::app;
using Catch::Matchers::Contains;

namespace {

const std::string example = "examples/01-small-two-way/cabinet.yaml";

} // namespace

TEST_CASE("sound explains itself on one page", "[app][command][sound]")
{
    const Outcome help = stillwall_with({"sound", "--help"});
    CAPTURE(help.out);
    CHECK(help.code == exit_done);
    CHECK_THAT(help.out, Contains("Example:") && Contains("stillwall sound") && Contains("--modes-csv"));
    CHECK(std::count(help.out.begin(), help.out.end(), '\n') <= 30);
    CHECK_THAT(stillwall_with({"--help"}).out, Contains("sound"));
}

TEST_CASE("sound: a wrong command line is told before anything is read or written", "[app][command][sound]")
{
    struct Case
    {
        std::vector<std::string> words;
        std::string expected;
    };
    const std::vector<Case> cases{
        {{"sound"}, "FILE"},
        {{"sound", example, "--volts", "nan"}, "from 0.001 to 500 V, got nan"},
        {{"sound", example, "--volts", "0"}, "from 0.001 to 500 V, got 0"},
        {{"sound", example, "--volts", "2.83V"}, "got 2.83V"},
        {{"sound", example, "--accuracy", "best"}, "one of draft, fine, normal, got best"},
        {{"sound", example, "--moeds-csv", "x"}, "did you mean '--modes-csv'?"},
        {{"sound", example, "--json", "no_such_folder/x.json"}, "does not exist"},
        {{"sound", example, "--csv", "examples"}, "it is a folder"},
        {{"sound", example, "--modes-csv", "no_such_folder/x.csv"}, "does not exist"},
        {{"sound", example, "--out", example + "/below"}, "is not a folder"},
        {{"sound", "no_such_file.yaml", "--no-plots"}, "no_such_file.yaml"},
    };
    for (const Case& wrong : cases) {
        const Outcome outcome = stillwall_with(wrong.words);
        CAPTURE(wrong.expected, outcome.out, outcome.err);
        CHECK(outcome.code == exit_wrong_input);
        CHECK_THAT(outcome.err, Contains(wrong.expected));
        CHECK(std::count(outcome.err.begin(), outcome.err.end(), '\n') == 1);
        CHECK(outcome.out.empty());
    }
}
