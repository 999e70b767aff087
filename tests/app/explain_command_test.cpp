#include "tests/app/run_program.h"
#include "tests/solver/sweep_circuits.h"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cstdint>
#include <filesystem>
#include <fstream>

using namespace stillwall::app;
using Catch::Matchers::Contains;
namespace fs = std::filesystem;

namespace {

const std::string example = "examples/07-vented-two-way/vented.yaml";

/// A folder of its own that goes with the test.
struct Scratch
{
    fs::path folder = fs::temp_directory_path() / "stillwall-explain-test";
    Scratch() { fs::create_directories(folder); }
    ~Scratch() { fs::remove_all(folder); }
    [[nodiscard]] std::string with(const std::string& name, const std::string& text) const
    {
        std::ofstream(folder / name) << text;
        return (folder / name).string();
    }
};

std::string sweep_text(double Re = 6)
{
    sweep_circuits::Circuit circuit;
    circuit.Re = Re;
    const auto sweep = sweep_circuits::swept(circuit, sweep_circuits::log_grid(15, 5000, 24));
    std::string text = "Hz ohm deg\n";
    for (std::size_t i = 0; i < sweep.f_Hz.size(); ++i) {
        const auto Z = sweep.Z[static_cast<Eigen::Index>(i)];
        text += fmt::format("{} {} {}\n", sweep.f_Hz[i], std::abs(Z), std::arg(Z) * 57.29578);
    }
    return text;
}

std::string little_endian(std::uint32_t value, int n_bytes)
{
    std::string bytes;
    for (int i = 0; i < n_bytes; ++i) bytes += static_cast<char>(value >> (8 * i) & 0xff);
    return bytes;
}

/// A recording of three equal knocks in which these frequencies ring with Q 40, 16 bits, one channel.
std::string knocks_ringing(const std::vector<double>& f_Hz)
{
    constexpr int rate = 22050, n = 3 * rate;
    std::string data;
    for (int i = 0; i < n; ++i) {
        const double t = static_cast<double>((i + rate / 2) % rate) / rate - 0.02; // a quiet start to each second
        double x = 0;
        for (const double f : f_Hz)
            if (t > 0) x += std::exp(-sweep_circuits::pi * f * t / 40) * std::sin(2 * sweep_circuits::pi * f * t);
        x += 1e-4 * std::sin(1234.5 * i * i); // a little noise
        data += little_endian(static_cast<std::uint16_t>(static_cast<std::int16_t>(12000 * x / f_Hz.size())), 2);
    }
    return "RIFF" + little_endian(static_cast<std::uint32_t>(36 + data.size()), 4) + "WAVEfmt " + little_endian(16, 4) +
           little_endian(1, 2) + little_endian(1, 2) + little_endian(rate, 4) + little_endian(2 * rate, 4) +
           little_endian(2, 2) + little_endian(16, 2) + "data" +
           little_endian(static_cast<std::uint32_t>(data.size()), 4) + data;
}

using Json = nlohmann::ordered_json;

Json json_in(const std::string& file)
{
    std::ifstream stream(file);
    return Json::parse(stream);
}

} // namespace

TEST_CASE("explain: knocks on a box without drivers are held against its walls", "[app][command][explain]")
{
    const Scratch scratch;
    const std::string box =
        scratch.with("box.yaml", "name: bare\ncabinet: {shape: box, width: 200, height: 350, depth: 250}\n"
                                 "boards: {all: {material: mdf, thickness: 16}}\n");
    const std::string of_modes = (scratch.folder / "modes.json").string(),
                      of_explain = (scratch.folder / "explain.json").string();
    REQUIRE(stillwall_with({"modes", box, "--no-pictures", "--no-advice", "--json", of_modes}).code == exit_done);
    const Json modes = json_in(of_modes)["modes"];
    const double f = modes[0]["frequency_hz"];
    const std::string knock = scratch.with("knock.wav", knocks_ringing({f}));
    const Outcome outcome =
        stillwall_with({"explain", box, "--knock", knock + "@left", "--no-pictures", "--json", of_explain});
    CAPTURE(outcome.out, outcome.err);
    REQUIRE(outcome.code == exit_done);
    // Reference: what `modes` says of the same box, whose lowest mode was put into the recording. Tolerance: a tenth of
    // a width at Q 40, as knocks are read.
    const Json explained = json_in(of_explain);
    REQUIRE(explained["readings"].size() == 1);
    const Json& reading = explained["readings"][0];
    CHECK_THAT(reading["frequency_hz"]["value"].get<double>(), Catch::Matchers::WithinRel(f, 0.1 / 40));
    CHECK(reading["causes"][0]["cause"] == "wall");
    CHECK(reading["causes"][0]["name"] == modes[0]["shape"]);
    CHECK(explained["way"].is_null());
}

TEST_CASE("explain: a free-air sweep of another driver is asked about", "[app][command][explain]")
{
    const Scratch scratch;
    const std::string in_box = scratch.with("in_box.txt", sweep_text()),
                      same = scratch.with("same.txt", sweep_text(6.2)),
                      other = scratch.with("other.txt", sweep_text(3.3));
    for (const auto& [free_air, is_other] : {std::pair(same, false), std::pair(other, true)}) {
        const Outcome outcome = stillwall_with({"explain", example, "--impedance", in_box, "--free-air", free_air,
                                                "--accuracy", "draft", "--no-pictures"});
        CAPTURE(outcome.err);
        REQUIRE(outcome.code == exit_done);
        CHECK((outcome.err.find("of the same driver?") != std::string::npos) == is_other);
    }
}

TEST_CASE("explain, knock, driver: one page of help each", "[app][command][explain]")
{
    for (const std::string verb : {"explain", "knock", "driver"}) {
        const Outcome help = stillwall_with({verb, "--help"});
        CAPTURE(help.out);
        CHECK(help.code == exit_done);
        CHECK_THAT(help.out, Contains("Example:") && Contains("stillwall " + verb));
        CHECK(std::count(help.out.begin(), help.out.end(), '\n') <= 30);
        CHECK_THAT(stillwall_with({"--help"}).out, Contains(verb));
    }
}

TEST_CASE("explain, knock: wrong input is one line", "[app][command][explain]")
{
    const Scratch scratch;
    const std::string good = scratch.with("good.txt", sweep_text());
    const std::string flat = scratch.with("flat.txt", [] {
        std::string text = "Hz ohm\n";
        for (int i = 1; i < 60; ++i) text += fmt::format("{} 8\n", 20 * i);
        return text;
    }());
    struct Case
    {
        std::vector<std::string> words;
        std::string expected;
    };
    const std::vector<Case> cases{
        {{"explain", example}, "nothing measured is given"},
        {{"explain", example, "--impedance", "no_such.txt"}, "no_such.txt: no such file"},
        {{"explain", example, "--impedance", flat}, "flat.txt: no resonance of a driver in this sweep"},
        {{"explain", example, "--knock", "side.wav"}, "say on which board, as in side.wav@left"},
        {{"explain", example, "--knock", "side.wav@lfet"}, "no board 'lfet', did you mean 'left'?"},
        {{"explain", example, "--knock", "README.md@left"}, "README.md: is not a sound file"},
        {{"explain", example, "--impedance", good, "--json", "no_such_folder/x.json"}, "does not exist"},
        {{"explain", "examples/01-small-two-way/cabinet.yaml", "--impedance", good}, "no driver can be driven"},
        {{"driver", "no_such.txt"}, "no_such.txt: no such file"},
        {{"driver", flat}, "flat.txt: no resonance of a driver in this sweep"},
        {{"driver", good, "--mass", "10=" + good}, "--mass 10: "},
        {{"driver", good, "--mass", good}, "an amount and a sweep are wanted"},
        {{"driver", good, "--mass", "10 g=" + good}, "it must fall by 3 %"},
        {{"driver", good, "--box", "20 l=" + good}, "it must rise by 3 %"},
        {{"driver", good, "--sd", "133"}, "--sd 133: "},
        {{"knock", "no_such.wav"}, "no_such.wav: no such file"},
        {{"knock", "README.md"}, "is not a sound file"},
        {{"knock", "README.md", "--from", "900", "--to", "200"}, "--from must lie below --to"},
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

TEST_CASE("driver: figures as table, JSON and keys of a cabinet file", "[app][command][driver]")
{
    const Scratch scratch;
    const std::string good = scratch.with("good.txt", sweep_text());
    const std::string json = (scratch.folder / "d.json").string();
    const Outcome outcome = stillwall_with({"driver", good, "--sd", "220 cm2", "--json", json});
    CAPTURE(outcome.out, outcome.err);
    CHECK(outcome.code == exit_done);
    // The circuit: fs 39.79 Hz, Qms 4.167, Qes 0.5333, Re 6 ohm, Le 0.5 mH with exponent 0.7.
    CHECK_THAT(
        outcome.out,
        Contains(
            "driver: {Re: 6 ohm, Le: 0.5 mH, Le_exponent: 0.7, fs: 39.789 Hz, Qms: 4.167, Qes: 0.5333, Sd: 220 cm2}"));
    std::ifstream stream(json);
    const std::string document((std::istreambuf_iterator<char>(stream)), {});
    CHECK_THAT(document, Contains("\"fs_hz\"") && Contains("\"le_exponent\""));
}
