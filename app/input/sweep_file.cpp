#include "app/input/sweep_file.h"

#include "app/input/internal/columns.h"
#include "app/input/internal/text_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace stillwall::app {
namespace {

using Complex = std::complex<double>;

constexpr std::size_t most_bytes = 20'000'000;
constexpr int least_points = 20;

/// What the columns after the frequency hold.
enum class Meaning
{
    Magnitude,
    Degrees, ///< magnitude and phase
    Radians,
    RealImaginary
};

struct Reading
{
    Meaning meaning = Meaning::Magnitude;
    std::size_t frequency = 0, first = 1, second = 2; ///< columns
    double per_Hz = 1;
    bool is_dB = false;
    bool is_guessed = true;
};

bool has_any(const std::string& word, std::initializer_list<const char*> parts)
{
    return std::any_of(parts.begin(), parts.end(),
                       [&](const char* part) { return word.find(part) != std::string::npos; });
}

/// By the header's words; a guess stays where they say nothing.
Reading by_header(const std::vector<std::string>& words, std::size_t n_columns)
{
    Reading reading;
    if (words.size() < n_columns) return reading;
    bool has_phase = false, has_real = false, has_imaginary = false, has_magnitude = false;
    for (std::size_t i = 0; i < n_columns; ++i) {
        const std::string& w = words[i];
        if (i == 0 && (has_any(w, {"freq", "hz"}) || w == "f")) {
            reading.per_Hz = has_any(w, {"khz"}) ? 1000 : 1;
        } else if (!has_phase && has_any(w, {"phase", "deg", "\xC2\xB0", "rad", "angle", "arg", "phi"})) {
            has_phase = true;
            reading.second = i;
            reading.meaning = has_any(w, {"rad"}) && !has_any(w, {"grad"}) ? Meaning::Radians : Meaning::Degrees;
        } else if (!has_imaginary && has_any(w, {"imag", "react", "im("})) {
            has_imaginary = true;
            reading.second = i;
        } else if (w == "im" || w == "x") {
            has_imaginary = true;
            reading.second = i;
        } else if (!has_real && (has_any(w, {"real", "resist", "re("}) || w == "re" || w == "r")) {
            has_real = true;
            reading.first = i;
        } else if (!has_magnitude && (has_any(w, {"ohm", "\xCE\xA9", "\xCF\x89", "\xE2\x84\xA6", "imp", "mag", "abs",
                                                  "mod", "z", "db"}))) {
            has_magnitude = true;
            reading.first = i;
            reading.is_dB = has_any(w, {"db"});
        }
    }
    if (has_real && has_imaginary)
        reading.meaning = Meaning::RealImaginary;
    else if (!has_phase)
        reading.meaning = Meaning::Magnitude;
    reading.is_guessed = !(has_real && has_imaginary) && !(has_magnitude && (has_phase || n_columns == 2));
    return reading;
}

Complex value_of(const NumberRow& row, const Reading& r)
{
    const double a = r.is_dB ? std::pow(10, row.values[r.first] / 20) : row.values[r.first];
    switch (r.meaning) {
    case Meaning::Magnitude:
        return a;
    case Meaning::Degrees:
        return a * std::exp(Complex(0, row.values[r.second] * std::numbers::pi / 180));
    case Meaning::Radians:
        return a * std::exp(Complex(0, row.values[r.second]));
    case Meaning::RealImaginary:
        return {a, row.values[r.second]};
    }
    return a;
}

/// How far the phase is from what the slope of the magnitude tells of a passive impedance, φ ≈ (π/2) d ln|Z|/d ln f
/// over a third of an octave: the median [rad], since humps bend faster than that.
/// @source H. W. Bode, Network Analysis and Feedback Amplifier Design (1945), ch. 14
double phase_fault(const std::vector<NumberRow>& rows, const Reading& r)
{
    std::vector<double> faults;
    for (std::size_t i = 0, k = 0; i < rows.size(); ++i) {
        while (k + 1 < rows.size() && rows[k].values[0] < rows[i].values[0] * 1.26) ++k;
        if (!(rows[i].values[0] > 0) || rows[k].values[0] < rows[i].values[0] * 1.1) continue;
        const Complex a = value_of(rows[i], r), b = value_of(rows[k], r), middle = value_of(rows[(i + k) / 2], r);
        if (!(std::abs(a) > 0) || !(std::abs(b) > 0)) continue;
        const double slope = std::log(std::abs(b) / std::abs(a)) / std::log(rows[k].values[0] / rows[i].values[0]);
        faults.push_back(std::abs(std::arg(middle) - std::clamp(slope, -1.0, 1.0) * std::numbers::pi / 2));
    }
    if (faults.empty()) return 0;
    std::sort(faults.begin(), faults.end());
    return faults[faults.size() / 2];
}

/// The meaning of three columns without a header that tells.
void guess(const NumberColumns& columns, const std::string& file, Reading& reading)
{
    if (columns.rows.front().values.size() < 3) return;
    constexpr double clearly = 0.6;
    std::array<std::pair<double, Meaning>, 3> faults{};
    std::vector<NumberRow> rising = columns.rows;
    std::sort(rising.begin(), rising.end(), [](const auto& a, const auto& b) { return a.values[0] < b.values[0]; });
    for (std::size_t i = 0; i < faults.size(); ++i) {
        Reading trial = reading;
        trial.meaning = std::array{Meaning::Degrees, Meaning::Radians, Meaning::RealImaginary}[i];
        faults[i] = {phase_fault(rising, trial), trial.meaning};
        const bool is_outside = std::any_of(rising.begin(), rising.end(), [&](const NumberRow& row) {
            const double phase = std::abs(row.values[trial.second]);
            return (trial.meaning == Meaning::Degrees && phase > 180.5) ||
                   (trial.meaning == Meaning::Radians && phase > 3.15);
        });
        if (is_outside) faults[i].first = 10;
    }
    std::sort(faults.begin(), faults.end());
    if (faults[0].first > clearly * faults[1].first)
        throw InputError(
            {file, columns.rows.front().line, columns.rows.front().columns[2]}, "",
            "cannot tell whether this column is a phase or an imaginary part; put a line such as '# Hz, ohm, "
            "deg' or '# Hz, real, imag' above the numbers");
    reading.meaning = faults[0].second;
}

std::string meaning_words(const Reading& r, std::size_t n_columns)
{
    const std::string size = r.is_dB ? "dB of an ohm" : "ohm";
    const std::string unused = n_columns > (r.meaning == Meaning::Magnitude ? 2U : 3U) ? ", others left out" : "";
    const std::string guessed = r.is_guessed && n_columns > 2 ? " (by how they go together)" : "";
    switch (r.meaning) {
    case Meaning::Magnitude:
        return fmt::format("column {} {}, no phase{}", r.first + 1, size, unused);
    case Meaning::Degrees:
        return fmt::format("column {} {}, column {} phase in degrees{}{}", r.first + 1, size, r.second + 1, guessed,
                           unused);
    case Meaning::Radians:
        return fmt::format("column {} {}, column {} phase in radians{}{}", r.first + 1, size, r.second + 1, guessed,
                           unused);
    case Meaning::RealImaginary:
        break;
    }
    return fmt::format("columns {} and {} real and imaginary part in ohm{}{}", r.first + 1, r.second + 1, guessed,
                       unused);
}

void check_row(const NumberRow& row, const Reading& r, const std::string& file)
{
    const auto refuse = [&](std::size_t column, const std::string& problem) {
        throw InputError({file, row.line, row.columns[column]}, "", problem);
    };
    if (row.values[0] < 0) refuse(0, "a frequency below 0");
    const bool is_size = r.meaning != Meaning::RealImaginary && !r.is_dB;
    if (is_size && row.values[r.first] < 0)
        refuse(r.first, "an impedance below 0; if this is a real part, put '# Hz, real, imag' above the numbers");
    constexpr double most = 1e6; // [ohm]
    const bool has_phase = r.meaning == Meaning::Degrees || r.meaning == Meaning::Radians;
    constexpr double most_turns = 1e6; // of a phase that was not wrapped
    if (has_phase && !(std::abs(row.values[r.second]) < most_turns))
        refuse(r.second, fmt::format("{} is no phase", row.values[r.second]));
    if (!(std::abs(value_of(row, r)) <= most))
        refuse(r.first, fmt::format("{} ohm is no loudspeaker's impedance", row.values[r.first]));
}

} // namespace

ReadSweep parse_sweep(std::string_view bytes, const std::string& file)
{
    NumberColumns columns = parse_columns(bytes, file);
    if (columns.rows.empty())
        throw InputError({file, 0, 0}, "", "no numbers; columns of frequency, ohm and phase are wanted");
    const std::size_t n_columns = columns.rows.front().values.size();
    if (n_columns < 2)
        throw InputError({file, columns.rows.front().line, 0}, "", "one column; frequency and impedance are wanted");
    Reading reading = by_header(header_words(columns.header), n_columns);
    if (reading.is_guessed) guess(columns, file, reading);
    for (const NumberRow& row : columns.rows) check_row(row, reading, file);
    const auto before = columns.rows.size();
    std::erase_if(columns.rows, [](const NumberRow& row) { return row.values[0] == 0; });
    const bool has_zero = columns.rows.size() < before;
    std::stable_sort(columns.rows.begin(), columns.rows.end(),
                     [](const NumberRow& a, const NumberRow& b) { return a.values[0] < b.values[0]; });
    for (std::size_t i = 1; i < columns.rows.size(); ++i)
        if (columns.rows[i].values[0] == columns.rows[i - 1].values[0])
            throw InputError({file, columns.rows[i].line, columns.rows[i].columns[0]}, "",
                             fmt::format("frequency {} stands in line {} already", columns.rows[i].values[0],
                                         columns.rows[i - 1].line));
    if (static_cast<int>(columns.rows.size()) < least_points)
        throw InputError({file, 0, 0}, "",
                         fmt::format("{} points are too few for a sweep, at least {} are needed", columns.rows.size(),
                                     least_points));

    ReadSweep read;
    read.sweep.name = file;
    read.sweep.has_phase = reading.meaning != Meaning::Magnitude;
    read.sweep.Z.resize(static_cast<Eigen::Index>(columns.rows.size()));
    double largest = 0;
    for (std::size_t i = 0; i < columns.rows.size(); ++i) {
        read.sweep.f_Hz.push_back(columns.rows[i].values[0] * reading.per_Hz);
        const Complex Z = value_of(columns.rows[i], reading);
        read.sweep.Z[static_cast<Eigen::Index>(i)] = Z;
        largest = std::max(largest, std::abs(Z));
    }
    constexpr double least = 0.05; // [ohm]
    if (largest < least)
        throw InputError({file, 0, 0}, "",
                         fmt::format("the largest value is {} ohm: no loudspeaker's impedance; if it is in dB or "
                                     "kilohm, say so in a line above the numbers",
                                     largest));
    read.understood =
        fmt::format("{} points from {:.4g} to {:.5g} Hz; {}{}{}", read.sweep.f_Hz.size(), read.sweep.f_Hz.front(),
                    read.sweep.f_Hz.back(), meaning_words(reading, n_columns),
                    columns.has_decimal_comma ? "; decimal comma" : "", has_zero ? "; the line at 0 Hz left out" : "");
    return read;
}

ReadSweep read_sweep(const std::filesystem::path& file)
{
    return parse_sweep(load_text(file, most_bytes), file.string());
}

} // namespace stillwall::app
