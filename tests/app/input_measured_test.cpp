// Sweeps as columns of text, and recordings.

#include "app/input/dataset58_file.h"
#include "app/input/sweep_file.h"
#include "app/input/wav_file.h"
#include "mesh/cabinet/error.h"
#include "solver/measured/knock.h"
#include "tests/solver/sweep_circuits.h"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <sndfile.h>

#include <filesystem>

using namespace stillwall;
using app::parse_sweep;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Complex = std::complex<double>;

namespace {

/// How a file may write the same sweep.
struct Style
{
    std::string header = "Hz, ohm, deg";
    std::string separator = ",";
    bool has_decimal_comma = false, is_dB = false, in_kHz = false, is_complex = false, has_phase = true,
         is_falling = false;
    std::string line_end = "\n";
};

const solver::Sweep& known()
{
    static const solver::Sweep sweep =
        sweep_circuits::swept(sweep_circuits::Circuit{}, sweep_circuits::log_grid(10, 20000, 12));
    return sweep;
}

std::string number(double x, const Style& style)
{
    std::string text = fmt::format("{:.9g}", x);
    if (style.has_decimal_comma) std::replace(text.begin(), text.end(), '.', ',');
    return text;
}

std::string written(const Style& style)
{
    std::string text = style.header.empty() ? "" : style.header + style.line_end;
    const auto n = known().f_Hz.size();
    for (std::size_t k = 0; k < n; ++k) {
        const std::size_t i = style.is_falling ? n - 1 - k : k;
        const Complex Z = known().Z[static_cast<Eigen::Index>(i)];
        const double size = style.is_dB ? 20 * std::log10(std::abs(Z)) : std::abs(Z);
        text += number(known().f_Hz[i] / (style.in_kHz ? 1000 : 1), style) + style.separator +
                number(style.is_complex ? Z.real() : size, style);
        if (style.has_phase)
            text +=
                style.separator + number(style.is_complex ? Z.imag() : std::arg(Z) * 180 / sweep_circuits::pi, style);
        text += style.line_end;
    }
    return text;
}

void check_same(const app::ReadSweep& read, bool has_phase = true)
{
    INFO(read.understood);
    REQUIRE(read.sweep.f_Hz.size() == known().f_Hz.size());
    CHECK(read.sweep.has_phase == has_phase);
    for (std::size_t i = 0; i < known().f_Hz.size(); ++i) {
        const auto at = static_cast<Eigen::Index>(i);
        // Nine digits were written.
        CHECK_THAT(read.sweep.f_Hz[i], WithinAbs(known().f_Hz[i], 1e-8 * known().f_Hz[i]));
        const Complex wanted = has_phase ? known().Z[at] : std::abs(known().Z[at]);
        CHECK(std::abs(read.sweep.Z[at] - wanted) < 1e-7 * std::abs(wanted));
    }
}

std::string complaint(const std::string& text)
{
    try {
        static_cast<void>(parse_sweep(text, "z.txt"));
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

std::string good_rows(int n = 30)
{
    std::string text;
    for (int i = 1; i <= n; ++i) text += fmt::format("{} {} {}\n", 20 * i, 6 + 0.01 * i, 2 + 0.1 * i);
    return text;
}

} // namespace

TEST_CASE("sweeps: every way to write one reads the same", "[input][measured]")
{
    for (const char* line_end : {"\n", "\r\n", "\r"}) check_same(parse_sweep(written({.line_end = line_end}), "z.txt"));
    check_same(parse_sweep(written({.header = "* Freq(Hz) Z(Ohm) Phase(deg)", .separator = "\t"}), "z.txt"));
    check_same(parse_sweep(written({.header = "# Frequency [Hz]; |Z| [\xCE\xA9]; phase [\xC2\xB0]", .separator = ";"}),
                           "z.txt"));
    check_same(parse_sweep(written({.header = "f;Z;phi", .separator = ";", .has_decimal_comma = true}), "z.txt"));
    check_same(parse_sweep(written({.header = "", .separator = " ", .has_decimal_comma = true}), "z.txt"));
    check_same(parse_sweep(written({.header = "kHz,dB,deg", .is_dB = true, .in_kHz = true}), "z.txt"));
    check_same(parse_sweep(written({.header = "Hz\tRe(Z)\tIm(Z)", .separator = "\t", .is_complex = true}), "z.txt"));
    check_same(parse_sweep(written({.header = "freq, R, X", .is_complex = true}), "z.txt"));
    check_same(parse_sweep(written({.is_falling = true}), "z.txt"));
    check_same(parse_sweep(written({.header = "Hz ohm", .separator = "  ", .has_phase = false}), "z.txt"), false);
    check_same(parse_sweep("\xEF\xBB\xBF" + written({}), "z.txt"));
    check_same(parse_sweep(written({.header = "Hz, ohm, phase \xB0"}), "z.txt")); // Latin-1
}

TEST_CASE("sweeps: UTF-16 of a spreadsheet", "[input][measured]")
{
    const std::string text = written({.separator = "\t"});
    std::string wide = "\xFF\xFE";
    for (const char c : text) {
        wide += c;
        wide += '\0';
    }
    check_same(parse_sweep(wide, "z.txt"));
}

TEST_CASE("sweeps: without a header phase and imaginary part are told apart by their sense", "[input][measured]")
{
    check_same(parse_sweep(written({.header = ""}), "z.txt"));
    check_same(parse_sweep(written({.header = "", .is_complex = true}), "z.txt"));
    CHECK_THAT(parse_sweep(written({.header = ""}), "z.txt").understood,
               Contains("phase in degrees (by how they go together)"));
    // Near 57.3 ohm a degree is an ohm across.
    std::string either;
    for (int i = 1; i <= 30; ++i) either += fmt::format("{} 57.3 {}\n", 20 * i, 2 + 0.1 * i);
    CHECK_THAT(complaint(either), Contains("z.txt:1:9: cannot tell whether this column is a phase"));
}

TEST_CASE("sweeps: what is refused", "[input][measured]")
{
    const std::string head = "Hz ohm deg\n";
    CHECK(complaint("") == "z.txt: no numbers; columns of frequency, ohm and phase are wanted");
    CHECK(complaint(head + good_rows() + "700 6.1 abc\n") == "z.txt:32:9: 'abc' is not a number");
    CHECK(complaint(head + good_rows() + "700 6.1\n") == "z.txt:32: 2 columns, but 3 in line 2");
    CHECK(complaint(head + good_rows() + "end of data\n") ==
          "z.txt:32:1: 'end of data' stands between the numbers; put a # before remarks");
    CHECK(complaint(head + good_rows() + "600 6.1 3\n") == "z.txt:32:1: frequency 600 stands in line 31 already");
    CHECK(complaint(head + "-5 6 1\n" + good_rows()) == "z.txt:2:1: a frequency below 0");
    CHECK(complaint(head + "5 -6 1\n" + good_rows()) ==
          "z.txt:2:3: an impedance below 0; if this is a real part, put '# Hz, real, imag' above the numbers");
    CHECK(complaint(head + good_rows(5)) == "z.txt: 5 points are too few for a sweep, at least 20 are needed");
    CHECK(complaint("Hz;ohm;deg\n1.000,5;6;2\n") ==
          "z.txt:2:1: '1.000,5' has a comma and a point; write numbers without thousands separators");
    CHECK(complaint("5;;2\n6;1;2\n") == "z.txt:1:3: a value is missing here");
    CHECK(complaint("5\n6\n") == "z.txt:1: one column; frequency and impedance are wanted");
    CHECK(complaint(head + "5 nan 1\n") == "z.txt:2:3: 'nan' is not a number");
    CHECK_THAT(complaint(std::string("ab\0cd", 5)), Contains("z.txt:1:3: this is not a text file"));
}

namespace {

std::filesystem::path scratch(const std::string& name)
{
    return std::filesystem::temp_directory_path() / ("stillwall-test-" + name);
}

void write_sound(const std::filesystem::path& file, int format, int rate, int channels)
{
    SF_INFO info{};
    info.samplerate = rate;
    info.channels = channels;
    info.format = SF_FORMAT_WAV | format;
    SNDFILE* sound = sf_open(file.c_str(), SFM_WRITE, &info);
    REQUIRE(sound != nullptr);
    std::vector<double> samples;
    for (int i = 0; i < rate; ++i)
        for (int c = 0; c < channels; ++c) samples.push_back((c + 1) * 0.2 * std::sin(0.05 * i));
    sf_writef_double(sound, samples.data(), rate);
    sf_close(sound);
}

} // namespace

TEST_CASE("recordings: all formats and rates", "[input][measured]")
{
    // Reference: the sine that was written, by its formula. Tolerance: one and a half steps of the format: half a step
    // when the sample is rounded, one more where the library scales by 2^n − 1 instead of 2^n. Of 32 bits two steps, of
    // floats single precision.
    struct Case
    {
        int format;
        std::optional<int> bits;
        double step;
    };
    for (const Case& c : {Case{SF_FORMAT_PCM_16, 16, 1.0 / 32768},
                          {SF_FORMAT_PCM_24, 24, 1.0 / 8388608},
                          {SF_FORMAT_PCM_32, 32, 1e-9},
                          {SF_FORMAT_FLOAT, std::nullopt, 1e-7}})
        for (const int rate : {8000, 44100, 47999, 96000}) {
            const auto file = scratch("sound.wav");
            write_sound(file, c.format, rate, 2);
            const app::ReadRecording read = app::read_recording(file);
            INFO(read.understood);
            CHECK(read.recording.rate_Hz == rate);
            CHECK(read.recording.bits == c.bits);
            REQUIRE(read.recording.samples.size() == rate);
            CHECK_THAT(read.recording.samples[100], WithinAbs(0.4 * std::sin(5.0), 1.5 * c.step)); // the louder channel
            CHECK_THAT(read.understood, Contains("channel 2 of 2, the loudest"));
            std::filesystem::remove(file);
        }
}

TEST_CASE("recordings: what is refused", "[input][measured]")
{
    CHECK_THROWS_WITH(app::read_recording("no-such.wav"), "no-such.wav: no such file");
    CHECK_THROWS_WITH(app::read_recording("tests"), "tests: is not a regular file");
    CHECK_THROWS_WITH(app::read_recording("README.md"), Contains("README.md: is not a sound file"));
}

namespace {

/// One transfer function as text; `width` 13 or 20.
std::string dataset(const std::vector<Complex>& H, double first, double step, int type = 4, int spacing = 1,
                    int width = 20, int kind = 12)
{
    std::string text = "    -1\n    58\nside wall\nNONE\n26-Nov-26\nNONE\nNONE\n";
    text +=
        fmt::format("{:5}{:10}{:5}{:10} {:<10}{:10}{:4} {:<10}{:10}{:4}\n", type, 1, 0, 0, "NONE", 12, 3, "NONE", 3, 3);
    text += fmt::format("{:10}{:10}{:10}{:13.5e}{:13.5e}{:13.5e}\n", width == 20 ? 6 : 5, H.size(), spacing, first,
                        step, 0.0);
    for (const int axis : {18, kind, 13, 0})
        text += fmt::format("{:10}{:5}{:5}{:5} {:<20} {:<20}\n", axis, 0, 0, 0, "NONE", "NONE");
    int column = 0;
    for (const Complex& h : H)
        for (const double x : {h.real(), h.imag()}) {
            text += width == 20 ? fmt::format("{:20.12e}", x) : fmt::format("{:13.5e}", x);
            if (++column % (width == 20 ? 4 : 6) == 0) text += '\n';
        }
    return text + "\n    -1\n";
}

std::vector<Complex> response(double first, double step, int n)
{
    std::vector<Complex> H;
    for (int i = 0; i < n; ++i) {
        const double f = first + i * step;
        Complex sum = 0;
        for (const auto& [f_0, Q, a] : {std::tuple{212.0, 34.0, 1.0}, {404.0, 41.0, -0.7}, {431.0, 12.0, 0.5}})
            sum += a * f * f / Complex(f_0 * f_0 - f * f, f_0 * f / Q); // accelerance of viscously damped modes
        H.push_back(sum);
    }
    return H;
}

} // namespace

TEST_CASE("transfer functions: text of both widths, others left out", "[input][measured]")
{
    const auto H = response(0, 1.25, 801);
    for (const int width : {13, 20}) {
        const auto read = app::parse_dataset58(
            "    -1\n   151\nmodel\n    -1\n" + dataset(H, 0, 1.25, 4, 1, width) + dataset(H, 0, 1.25, 2), "a.unv");
        INFO(read.understood);
        REQUIRE(read.functions.size() == 1);
        CHECK_THAT(read.understood,
                   Contains("1 transfer functions from 0 to 1000 Hz, step 1.25 Hz; 2 other datasets left out"));
        CHECK(read.functions[0].response == solver::TransferFunction::Response::Acceleration);
        CHECK(read.functions[0].name == "side wall");
        for (std::size_t i = 0; i < H.size(); ++i) // the digits written
            CHECK(std::abs(read.functions[0].H[static_cast<Eigen::Index>(i)] - H[i]) <
                  (width == 13 ? 2e-5 : 1e-11) * (1 + std::abs(H[i])));
    }
}

TEST_CASE("transfer functions: what is refused, with the line", "[input][measured]")
{
    const auto H = response(0, 2, 64);
    const auto complaint_of = [](const std::string& text) -> std::string {
        try {
            static_cast<void>(app::parse_dataset58(text, "a.unv"));
        } catch (const InputError& error) {
            return error.what();
        }
        return "accepted";
    };
    const std::string good = dataset(H, 0, 2);
    CHECK(complaint_of("") == "a.unv: no transfer function (dataset 58, function type 4) in this file");
    CHECK(complaint_of(dataset(H, 0, 2, 4, 0)) == "a.unv:9: uneven frequencies; export with even spacing");
    CHECK(complaint_of("    -1\n    58b     1     2\n") == "a.unv:2: the binary form of dataset 58; export it as text");
    CHECK_THAT(complaint_of(good.substr(0, 1500)), Contains("the file ends inside a dataset"));
    std::string bad = good;
    bad.replace(bad.find('\n', 900) + 3, 4, "oops");
    CHECK_THAT(complaint_of(bad), Contains("is no value"));
    std::string few = good;
    few.replace(few.find("        64"), 10, "       640");
    CHECK_THAT(complaint_of(few), Contains("values, but 1280 were announced"));
}

TEST_CASE("transfer functions: their modes are those of the system", "[input][measured]")
{
    // Reference: the frequencies and Q of the modes that were summed up. Tolerance: a sum of modes without noise,
    // written to twelve digits, is its own model: measured 6e-10 and 2e-8.
    const auto read = app::parse_dataset58(dataset(response(0, 0.5, 4001), 0, 0.5), "a.unv");
    const solver::KnockResult result = solver::analyse_transfer(read.functions, {60, 1000, 20});
    REQUIRE(result.modes.size() == 3);
    const std::vector<std::pair<double, double>> wanted{{212, 34}, {404, 41}, {431, 12}};
    for (std::size_t i = 0; i < 3; ++i) {
        CHECK(std::abs(result.modes[i].f_Hz.value / wanted[i].first - 1) < 1e-7);
        CHECK(std::abs(result.modes[i].Q.value / wanted[i].second - 1) < 1e-6);
    }
}
