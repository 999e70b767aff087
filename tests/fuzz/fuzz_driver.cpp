// Plain driver for the fuzz entry point: mutates good files with a fixed seed.
//
//     fuzz_cabinet ITERATIONS FIRST FILE...      (fuzz_strip likewise)
//
// Iteration i always makes the same input from the same files, so a failure is repeated by its number:
// fuzz_cabinet 1 NUMBER FILE...  prints the input when ITERATIONS is 1.

#include <array>
#include <chrono>
#include <csignal>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <random>
#include <string>
#include <string_view>
#include <unistd.h>
#include <vector>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

using Random = std::mt19937_64;

volatile std::sig_atomic_t current_million = 0;
volatile std::sig_atomic_t current_rest = 0;

// Only what is safe in a signal handler.
void report_iteration(int signal_number)
{
    std::array<char, 32> digits{};
    std::size_t n = digits.size();
    digits[--n] = '\n';
    long number = static_cast<long>(current_million) * 1'000'000 + current_rest;
    do {
        digits[--n] = static_cast<char>('0' + number % 10);
        number /= 10;
    } while (number > 0);
    constexpr std::string_view text = "failed in iteration ";
    if (write(STDERR_FILENO, text.data(), text.size()) < 0 || write(STDERR_FILENO, &digits[n], digits.size() - n) < 0)
        _exit(3);
    std::signal(signal_number, SIG_DFL);
    std::raise(signal_number);
}

std::size_t below(Random& random, std::size_t n)
{
    return n == 0 ? 0 : static_cast<std::size_t>(random() % n);
}

constexpr std::array numbers{"0",   "-1",     "1",       "1e-9",  "1e9",  "1e308",    "-0",     "0.5",     "17",
                             "18",  "19",     "36",      "100",   "170",  "199.999",  "200",    "200.001", "340",
                             "260", "1e-300", "3/4 in",  "010",   ".nan", "1 1/2 in", "90 deg", "45 deg",  "0.001",
                             "2 m", "1,5",    "180 deg", "5 deg", "9",    "31",       "82",     "91",      "109"};
constexpr std::array words{"mdf",
                           "birch_plywood",
                           "steel",
                           "front",
                           "back",
                           "left",
                           "right",
                           "top",
                           "bottom",
                           "shelf",
                           "spine",
                           "circle",
                           "slot",
                           "rounded",
                           "rectangle",
                           "horizontal",
                           "slanted",
                           "front_to_back",
                           "side_to_side",
                           "box",
                           "taper",
                           "prism",
                           "all",
                           "[]",
                           "{}",
                           "~",
                           "\"",
                           "'",
                           "&a",
                           "*a",
                           "!!x",
                           "- ",
                           "? ",
                           ": ",
                           "{",
                           "}",
                           "[",
                           "]",
                           ", ",
                           "\n",
                           "  ",
                           "|",
                           ">",
                           "#",
                           "%",
                           "---\n",
                           "\t",
                           "\\x00",
                           "\xff",
                           "\xc3\xa9",
                           "from: {x: 100}",
                           "to: {z: 200}",
                           "ends_at: [shelf]",
                           "at: 170",
                           "at: {x: 100, y: 100}",
                           "thickness: 40",
                           "baffle_slope: 10 deg",
                           "rotation: 30 deg",
                           "grain: 20 deg",
                           "bitumen_sheet",
                           "butyl_foil",
                           "viscoelastic_film",
                           "cover: 40 %",
                           "face: outside",
                           "glued",
                           "screwed",
                           "gasket",
                           "springs",
                           "neighbour: left",
                           "rebate: 5",
                           "kind: rubber",
                           "static_deflection: 1 mm",
                           "mount: gasket",
                           "temperature: 30 degC",
                           "stiffness: [1 kN/m, 2 kN/m, 9 kN/m]",
                           "[1, 2, 4]",
                           "other",
                           "plywood",
                           "direction: across",
                           "support: clamped",
                           "free_length: 300",
                           "bending: 3",
                           "torsion: 1",
                           "t60: 440 ms",
                           "decay: {drop: 20 dB, time: 55 ms}",
                           "bandwidth: 5 Hz",
                           "q: 48",
                           "shear_ratio: [10, 16, 25]",
                           "poisson: 0.3",
                           "static: {span: 360, force: 100 N, deflection: 1.2 mm}",
                           "Bl: 6 N/A",
                           "fs: 40 Hz",
                           "Qts: 0.4",
                           "Sd: 120 cm2",
                           "passive_radiator",
                           "port: {mass: 0, length: 120, flare: 10}",
                           "volts: 1 V",
                           "level: 90 dB",
                           "floor: 0",
                           "wall: 20 cm",
                           "in_front_of: tweeter",
                           "amount: 50 %",
                           "material: wool",
                           "drivers: [woofer, tweeter]",
                           "frequencies: [100 Hz, 200 Hz]",
                           " ± 5 %",
                           " +- 1 mm"};

bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/// Begin and end of a random number in the text; empty when there is none after the start chosen.
std::pair<std::size_t, std::size_t> find_number(const std::string& text, Random& random)
{
    std::size_t begin = below(random, text.size());
    while (begin < text.size() && !is_digit(text[begin])) ++begin;
    while (begin > 0 && (is_digit(text[begin - 1]) || text[begin - 1] == '.')) --begin;
    std::size_t end = begin;
    while (end < text.size() && (is_digit(text[end]) || text[end] == '.')) ++end;
    return {begin, end};
}

std::pair<std::size_t, std::size_t> find_line(const std::string& text, Random& random)
{
    const std::size_t inside = below(random, text.size());
    const std::size_t before = inside == 0 ? std::string::npos : text.rfind('\n', inside - 1);
    const std::size_t begin = before == std::string::npos ? 0 : before + 1;
    const std::size_t after = text.find('\n', inside);
    return {begin, after == std::string::npos ? text.size() : after + 1};
}

void change_number(std::string& text, Random& random)
{
    const auto [begin, end] = find_number(text, random);
    if (begin == end) return;
    if (below(random, 3) == 0) {
        text.replace(begin, end - begin, numbers[below(random, numbers.size())]);
        return;
    }
    // A little more or less keeps many inputs good, so that the later checks are reached.
    const double value = std::atof(text.substr(begin, end - begin).c_str());
    const double factor = std::uniform_real_distribution<double>(0.7, 1.4)(random);
    char buffer[32];
    std::snprintf(buffer, sizeof buffer, "%.*g", static_cast<int>(1 + below(random, 6)), value * factor);
    text.replace(begin, end - begin, buffer);
}

void change_words(std::string& text, Random& random)
{
    const std::size_t begin = below(random, text.size());
    const std::size_t length = below(random, 12);
    text.replace(begin, std::min(length, text.size() - begin), words[below(random, words.size())]);
}

void change_bytes(std::string& text, Random& random)
{
    const std::size_t begin = below(random, text.size());
    switch (below(random, 3)) {
    case 0:
        text[begin] = static_cast<char>(random());
        break;
    case 1:
        text.erase(begin, 1 + below(random, 20));
        break;
    default:
        text.insert(begin, text.substr(below(random, text.size()), below(random, 40)));
    }
}

void change_lines(std::string& text, const std::string& donor, Random& random)
{
    const auto [begin, end] = find_line(text, random);
    switch (below(random, 3)) {
    case 0:
        text.erase(begin, end - begin);
        break;
    case 1:
        text.insert(begin, text.substr(begin, end - begin));
        break;
    default: {
        const auto [from, to] = find_line(donor, random);
        text.insert(begin, donor.substr(from, to - from));
    }
    }
}

std::string mutated(const std::vector<std::string>& seeds, Random& random)
{
    std::string text = seeds[below(random, seeds.size())];
    const std::string& donor = seeds[below(random, seeds.size())];
    const std::size_t n = 1 + below(random, 4);
    // Most mutants change numbers only: the others seldom get past the reader.
    const bool is_gentle = below(random, 2) == 0;
    for (std::size_t i = 0; i < n && !text.empty(); ++i) {
        switch (is_gentle ? 0 : below(random, 4)) {
        case 0:
            change_number(text, random);
            break;
        case 1:
            change_words(text, random);
            break;
        case 2:
            change_bytes(text, random);
            break;
        default:
            change_lines(text, donor, random);
        }
    }
    return text;
}

std::string load(const char* file)
{
    std::ifstream stream(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), {}};
}

} // namespace

int main(int argc, char** argv)
{
    if (argc < 4) {
        std::fprintf(stderr, "usage: %s ITERATIONS FIRST FILE...\n", argv[0]);
        return 2;
    }
    const long n = std::atol(argv[1]), first = std::atol(argv[2]);
    std::vector<std::string> seeds;
    for (int i = 3; i < argc; ++i) seeds.push_back(load(argv[i]));
    for (int signal_number : {SIGABRT, SIGSEGV, SIGFPE}) std::signal(signal_number, report_iteration);

    using Clock = std::chrono::steady_clock;
    const auto start = Clock::now();
    double slowest = 0;
    long slowest_iteration = first;
    for (long i = first; i < first + n; ++i) {
        current_million = static_cast<std::sig_atomic_t>(i / 1'000'000);
        current_rest = static_cast<std::sig_atomic_t>(i % 1'000'000);
        Random random(static_cast<std::uint64_t>(i) * 0x9E3779B97F4A7C15U + 1);
        const std::string text = mutated(seeds, random);
        if (n == 1) {
            std::printf("%s\n", text.c_str());
            std::fflush(stdout); // an abort would lose it
        }
        const auto before = Clock::now();
        LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(text.data()), text.size());
        const double seconds = std::chrono::duration<double>(Clock::now() - before).count();
        if (seconds > slowest) {
            slowest = seconds;
            slowest_iteration = i;
        }
    }
    const double total = std::chrono::duration<double>(Clock::now() - start).count();
    std::printf("%ld inputs in %.1f s, %.0f per second, slowest %.3f s (iteration %ld)\n", n, total,
                static_cast<double>(n) / total, slowest, slowest_iteration);
    return 0;
}
