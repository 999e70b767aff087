#include "app/write/csv.h"
#include "app/write/sound_report.h"
#include "mesh/cabinet/units.h"
#include "solver/drive/curve_points.h"
#include "solver/drive/verdicts.h"

#include <cmath>
#include <functional>
#include <numbers>

namespace stillwall::app {
namespace {

using Curve = std::function<double(Eigen::Index)>;

/// A column: its title with the unit, and its figure at a frequency.
struct CurveColumn
{
    std::string title;
    Curve at;
};

double degrees(std::complex<double> z)
{
    // Silence has no phase.
    return z == 0.0 ? std::nan("") : std::arg(z) * 180 / std::numbers::pi;
}

/// Level and phase of one pressure at one listener. `curve` outlives the columns.
void add_pressure(std::vector<CurveColumn>& columns, const std::string& what, const Eigen::VectorXcd& curve)
{
    columns.push_back({what + " level_db", [&curve](Eigen::Index i) {
                           return solver::level_against(std::abs(curve(i)), reference_pressure);
                       }});
    columns.push_back({what + " phase_deg", [&curve](Eigen::Index i) { return degrees(curve(i)); }});
}

void add_listener(std::vector<CurveColumn>& columns, const SoundReport& report, const solver::HeardCurves& listener)
{
    const std::string name = listener.name + ": ";
    add_pressure(columns, name + "total", listener.total);
    add_pressure(columns, name + "direct", listener.direct);
    columns.push_back({name + "reference level_db", [&listener](Eigen::Index i) {
                           return solver::level_against(listener.reference(i), reference_pressure);
                       }});
    add_pressure(columns, name + "walls", listener.walls);
    for (std::size_t s = 0; s < listener.sources.size(); ++s)
        add_pressure(columns, name + "source " + report.result.sources.at(s).name, listener.sources[s]);
    for (std::size_t b = 0; b < listener.boards.size(); ++b)
        add_pressure(columns, name + "board " + report.cabinet.boards.at(b).name, listener.boards[b]);
}

void add_power(std::vector<CurveColumn>& columns, const std::string& title, const Eigen::VectorXd& power)
{
    columns.push_back({title, [&power](Eigen::Index i) { return 10 * std::log10(power(i) / reference_power); }});
}

void add_impedance(std::vector<CurveColumn>& columns, const std::string& what, const Eigen::VectorXcd& curve)
{
    columns.push_back({what + " ohm", [&curve](Eigen::Index i) { return std::abs(curve(i)); }});
    columns.push_back({what + " phase_deg", [&curve](Eigen::Index i) { return degrees(curve(i)); }});
}

void add_motion(std::vector<CurveColumn>& columns, const solver::Source& source, const solver::SourceMotion& motion)
{
    if (moves_air(source))
        columns.push_back({source.name + ": air velocity_m_per_s_rms",
                           [&motion](Eigen::Index i) { return std::abs(motion.velocity(i)); }});
    else
        columns.push_back({source.name + ": cone displacement_mm_rms",
                           [&motion](Eigen::Index i) { return std::abs(motion.displacement(i)) / units::mm; }});
}

std::vector<CurveColumn> curve_columns(const SoundReport& report)
{
    const solver::SoundResult& result = report.result;
    std::vector<CurveColumn> columns;
    columns.push_back(
        {"frequency_hz", [&result](Eigen::Index i) { return result.frequency[static_cast<std::size_t>(i)]; }});
    for (const solver::HeardCurves& listener : result.listeners) add_listener(columns, report, listener);
    add_power(columns, "power level_db", result.power);
    add_power(columns, "power of walls level_db", result.power_walls);
    add_power(columns, "power of sources level_db", result.power_direct);
    for (const solver::WayCurves& way : result.ways) {
        add_impedance(columns, way.name + ": impedance", way.impedance);
        add_impedance(columns, way.name + ": impedance with still walls", way.impedance_still);
    }
    for (std::size_t s = 0; s < result.sources.size(); ++s) add_motion(columns, result.sources[s], result.motion.at(s));
    return columns;
}

using Fields = std::vector<std::string>;

/// What is the same at every listener.
Fields mode_fields(const SoundReport& report, std::size_t m)
{
    const solver::SoundMode& mode = report.result.modes[m];
    const bool is_wall = mode.kind == solver::Resonance::Kind::Wall;
    Fields fields{std::to_string(m + 1),
                  kind_word(mode.kind),
                  mode.name,
                  csv_number(mode.f_Hz),
                  mode.band ? csv_number(mode.band->low_Hz) : "",
                  mode.band ? csv_number(mode.band->high_Hz) : "",
                  csv_number(mode.Q),
                  csv_number(mode.T60_s),
                  is_wall ? mode.part : "",
                  is_wall ? "" : mode.part,
                  mode.driver,
                  csv_number(mode.force_share),
                  csv_number(mode.pressure_share)};
    const solver::Wrinkle* wrinkle = largest_wrinkle(mode);
    const Fields none(4);
    const Fields found = wrinkle == nullptr ? none
                                            : Fields{wrinkle->way, csv_number(wrinkle->ohm), csv_number(wrinkle->share),
                                                     csv_number(wrinkle->f_Hz)};
    fields.insert(fields.end(), found.begin(), found.end());
    return fields;
}

Fields heard_fields(const SoundReport& report, const solver::SoundMode& mode, std::size_t listener)
{
    const solver::ModeAtListener& heard = mode.heard[listener];
    const solver::Verdict& verdict = heard.verdict;
    const auto yes = [](bool is) { return is ? "yes" : "no"; };
    return {place_name(report, heard),
            yes(heard.listener == mode.worst->listener),
            csv_number(heard.level_dB),
            csv_number(heard.peak_Hz),
            csv_number(verdict.strict_dB),
            csv_number(verdict.lenient_dB),
            csv_number(verdict.over_strict_dB),
            audibility_word(verdict.word),
            csv_number(verdict.low_dB),
            csv_number(verdict.high_dB),
            csv_number(verdict.audible_odds),
            csv_number(verdict.heard_odds),
            yes(verdict.rings_long),
            yes(verdict.low_confidence),
            yes(verdict.most_sensitive)};
}

} // namespace

std::string sound_curves_csv(const SoundReport& report)
{
    const std::vector<CurveColumn> columns = curve_columns(report);
    Fields fields;
    for (const CurveColumn& column : columns) fields.push_back(column.title);
    std::string text = csv_line(fields);
    const auto n = static_cast<Eigen::Index>(report.result.frequency.size());
    for (Eigen::Index i = 0; i < n; ++i) {
        for (std::size_t c = 0; c < columns.size(); ++c) fields[c] = csv_number(columns[c].at(i));
        text += csv_line(fields);
    }
    return text;
}

std::string sound_modes_csv(const SoundReport& report)
{
    const Fields titles{"number",
                        "kind",
                        "name",
                        "frequency_hz",
                        "band_low_hz",
                        "band_high_hz",
                        "q",
                        "ring_time_s",
                        "board",
                        "through",
                        "driver",
                        "force_share",
                        "pressure_share",
                        "wrinkle_way",
                        "wrinkle_ohm",
                        "wrinkle_share",
                        "wrinkle_hz",
                        "place",
                        "is_worst",
                        "level_db",
                        "peak_hz",
                        "strict_db",
                        "lenient_db",
                        "over_strict_db",
                        "verdict",
                        "level_low_db",
                        "level_high_db",
                        "odds_audible",
                        "odds_heard",
                        "rings_long",
                        "low_confidence",
                        "most_sensitive",
                        "reason"};
    std::string text = csv_line(titles);
    for (std::size_t m = 0; m < report.result.modes.size(); ++m) {
        const solver::SoundMode& mode = report.result.modes[m];
        const Fields same = mode_fields(report, m);
        const auto add_line = [&](const Fields& heard) {
            Fields fields = same;
            fields.insert(fields.end(), heard.begin(), heard.end());
            fields.resize(titles.size() - 1); // nothing heard: empty
            fields.push_back(mode.reason);
            text += csv_line(fields);
        };
        if (mode.heard.empty()) add_line({});
        for (std::size_t l = 0; l < mode.heard.size(); ++l) add_line(heard_fields(report, mode, l));
    }
    return text;
}

} // namespace stillwall::app
