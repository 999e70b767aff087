#include "app/write/sound_facts.h"

#include "app/write/cabinet_report.h"
#include "app/write/numbers.h"
#include "app/write/text_table.h"
#include "mesh/cabinet/air_line.h"
#include "solver/drive/curve_points.h"
#include "solver/drive/verdicts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::app {
namespace {

using solver::CurvePoint;
using solver::SoundMode;
using solver::Source;

constexpr double peak_of_sine = std::numbers::sqrt2; ///< peak over r.m.s.

/// What ears bear for 8 hours a day [dB(A)].
/// @source NIOSH publication 98-126 (1998): recommended exposure limit and exchange rate; from memory
constexpr double limit_for_ears = 85;

/// Every line after the first under the first's text: "  Box        41.2 litres …".
std::string fact(const std::string& title, const std::string& text)
{
    return wrapped(text, std::string(13, ' '), fmt::format("  {:<11}", title));
}

/// What the amplifier or the crossover's branch puts into a way, |g V|² Re(Z)/|Z|² with its crossover's gain g.
CurvePoint largest_power(const solver::SoundResult& result, const solver::WayCurves& way)
{
    const Eigen::VectorXd power = result.volts * result.volts * way.gain.cwiseAbs2().array() *
                                  way.impedance.real().array() / way.impedance.cwiseAbs2().array();
    return solver::highest(result.frequency, power);
}

std::string power_words(const solver::SoundResult& result)
{
    std::string text;
    for (const solver::WayCurves& way : result.ways) {
        const CurvePoint most = largest_power(result, way);
        text += fmt::format("{}{} W into {} (at {} Hz)", text.empty() ? "at most " : ", ", shortest(most.value, 2),
                            way.name, in_hertz(most.f_Hz));
    }
    return text;
}

/// A day's allowance at a level by the 3 dB rule: 8 h / 2^((L − limit)/3).
std::string allowed_time(double level_dB)
{
    const double minutes = 480 / std::exp2((level_dB - limit_for_ears) / 3);
    if (minutes >= 90) return fmt::format("{} hours", shortest(minutes / 60, 2));
    if (const double whole = std::round(minutes); minutes >= 1)
        return fmt::format("{:.0f} {}", whole, whole == 1 ? "minute" : "minutes");
    return fmt::format("{} seconds", significant(std::max(minutes * 60, 0.1), 1));
}

std::string box_words(const SoundReport& report)
{
    const solver::SoundResult& result = report.result;
    const Chambers chambers(report.cabinet);
    std::string text = in_litres(result.net_volume) + " litres of air";
    if (result.n_chambers > 1) {
        text += fmt::format(" in {} chambers shut off from each other", result.n_chambers);
        for (const Chamber& chamber : chambers.all())
            text += fmt::format("; {} {} litres", chamber.name, in_litres(chamber.volume));
    }
    bool has_port = false;
    for (const SoundMode& mode : result.modes)
        if (mode.kind == SoundMode::Kind::Port) {
            has_port = true;
            text += fmt::format("; {}: {} Hz, Q {}", mode.name, in_hertz(mode.f_Hz), significant(mode.Q, 2));
        }
    const bool is_tuned = std::any_of(result.sources.begin(), result.sources.end(), [](const Source& source) {
        return moves_air(source) || source.kind == Source::Kind::Passive;
    });
    const std::map<int, AirLine> lines = air_lines(report.cabinet, chambers);
    for (const auto& [chamber, line] : lines) text += fmt::format("; a line of {:.2g} m", line.length());
    if (!has_port)
        text += !lines.empty() ? "; no resonance at its mouth in the band, or one too damped to ring"
                : is_tuned     ? "; no box tuning in the band, or one too damped to ring"
                               : "; closed";
    for (const Filling& filling : report.setting.fillings)
        text += fmt::format("; {} of {}{}", filling.name, filling.material,
                            filling.board ? " on " + report.cabinet.board(*filling.board).name : "");
    if (const auto& Q = report.setting.leakage_Q) text += "; leaks, Q " + significant(*Q, 2);
    return text;
}

/// Where it stands.
std::string surroundings(const SoundSetting& setting)
{
    return setting.plane ? "before a rigid " + setting.plane->name : "in the open";
}

/// The largest wrinkle that a wall leaves in one way's impedance.
std::string wrinkle_words(const solver::SoundResult& result, const std::string& way)
{
    const std::optional<solver::WallWrinkle> largest = largest_wall_wrinkle(result, way);
    if (!largest) return "";
    return fmt::format("; largest wrinkle of a wall {} ohm ({} %) at {} Hz, no {}", shortest(largest->wrinkle.ohm, 2),
                       shortest(largest->wrinkle.share * 100, 2), in_hertz(largest->wrinkle.f_Hz), largest->mode + 1);
}

std::string impedance_words(const solver::SoundResult& result, const solver::WayCurves& way)
{
    const Eigen::VectorXd size = way.impedance.cwiseAbs();
    const CurvePoint least = solver::lowest(result.frequency, size);
    std::string text =
        fmt::format("{}: least {} ohm at {} Hz", way.name, shortest(least.value, 3), in_hertz(least.f_Hz));
    const std::vector<CurvePoint> tops = solver::peaks(result.frequency, size);
    for (std::size_t i = 0; i < tops.size(); ++i)
        text += fmt::format("{}{} ohm at {} Hz",
                            i > 0             ? ", "
                            : tops.size() > 1 ? "; peaks "
                                              : "; peak ",
                            significant(tops[i].value, 2), in_hertz(tops[i].f_Hz));
    return text + wrinkle_words(result, way.name);
}

std::string motion_words(const SoundReport& report, std::size_t s)
{
    const solver::SoundResult& result = report.result;
    const Source& source = result.sources[s];
    const solver::SourceMotion& motion = result.motion.at(s);
    if (moves_air(source)) {
        const CurvePoint fastest = solver::highest(result.frequency, motion.velocity.cwiseAbs());
        return fmt::format("{}: air up to {} m/s at {} Hz", source.name, significant(fastest.value * peak_of_sine, 2),
                           in_hertz(fastest.f_Hz));
    }
    const CurvePoint widest = solver::highest(result.frequency, motion.displacement.cwiseAbs());
    return fmt::format("{}: cone ±{} mm at {} Hz", source.name, significant(widest.value * peak_of_sine * 1e3, 2),
                       in_hertz(widest.f_Hz));
}

std::string listener_words(const SoundReport& report, std::size_t l)
{
    const solver::HeardCurves& listener = report.result.listeners.at(l);
    const CurvePoint loudest = loudest_of_walls(report.result, l);
    const std::string level =
        loudest.value > 0 ? fmt::format("at most {} dB against the direct sound, at {} Hz",
                                        in_decibels(solver::level_against(loudest.value, 1)), in_hertz(loudest.f_Hz))
                          : "silent";
    return fmt::format("{} ({}): walls {}", listener.name, place_words(listener.at), level);
}

} // namespace

std::string in_decibels(double level)
{
    return with_minus(fmt::format("{:.0f}", level));
}

std::string verdict_words(const solver::Verdict& verdict)
{
    return verdict.word == solver::Audibility::Audible ? "AUDIBLE" : audibility_word(verdict.word);
}

std::string odds_words(const solver::Verdict& verdict)
{
    if (verdict.word == solver::Audibility::OutOfBand) return "–";
    return fmt::format("{:.0f} / {:.0f}", 100 * verdict.audible_odds, 100 * verdict.heard_odds);
}

std::string place_words(const Vector3d& at)
{
    return fmt::format("x {}, y {}, z {} mm", with_minus(in_mm(at.x())), with_minus(in_mm(at.y())),
                       with_minus(in_mm(at.z())));
}

std::string sound_head(const SoundReport& report)
{
    const solver::SoundResult& result = report.result;
    std::string text = cabinet_head({report.cabinet, report.books, report.outer_size});
    const std::string drive =
        fmt::format("{} V r.m.s. {}, {} dB at 1 m (direct sound, mean power of {} to {} Hz); {}",
                    shortest(result.volts, 3), surroundings(report.setting), in_decibels(result.level_dB),
                    in_hertz(result.level_from), in_hertz(result.level_to), power_words(result));
    text += fact("Driven at", drive);
    text += fact("Caution", (result.level_dB > limit_for_ears
                                 ? "wear ear plugs if you play this as a sweep: the limit for the ears is about " +
                                       allowed_time(result.level_dB) + " a day; "
                                 : std::string("keep the ears away from the cones; ")) +
                                "start low and give no driver what lies outside its band (more below)");
    return text + '\n';
}

std::string sound_facts(const SoundReport& report)
{
    const solver::SoundResult& result = report.result;
    std::string text = '\n' + fact("Box", box_words(report));
    std::string title = "Impedance";
    for (const solver::WayCurves& way : result.ways) {
        text += fact(title, impedance_words(result, way));
        title.clear();
    }
    std::string motion;
    for (std::size_t s = 0; s < result.sources.size(); ++s) motion += (s == 0 ? "" : "; ") + motion_words(report, s);
    if (!motion.empty()) text += fact("Motion", motion + " (peaks of a sine)");
    title = result.listeners.size() > 1 ? "Listeners" : "Listener";
    for (std::size_t l = 0; l < result.listeners.size(); ++l) {
        text += fact(title, listener_words(report, l));
        title.clear();
    }
    return text;
}

std::string sound_effort(const SoundReport& report)
{
    const solver::SoundResult& result = report.result;
    std::string panels;
    for (const double size : report.panel_sizes) panels += (panels.empty() ? "" : ", ") + in_mm(size);
    std::string text = fact("Model", fmt::format("{} wall and {} air modes, {} frequencies; radiation interpolated "
                                                 "within {} %",
                                                 result.n_wall_modes, result.n_air_modes, result.n_frequencies,
                                                 significant(result.radiation_error * 100, 2)));
    text += fact("Meshes", fmt::format("{} unknowns of the walls (elements {} mm), {} of the air ({} mm), {} panels "
                                       "outside ({} mm); {}",
                                       result.n_shell, in_mm(report.shell_size), result.n_air, in_mm(report.air_size),
                                       result.n_panels, panels, report.accuracy));
    return text + fact("Time", fmt::format("reading {}, meshes {}, walls {}, air {}, radiation {}, response {}",
                                           in_seconds(report.seconds_read), in_seconds(report.seconds_mesh),
                                           in_seconds(result.seconds_walls), in_seconds(result.seconds_air),
                                           in_seconds(result.seconds_radiation), in_seconds(result.seconds_response)));
}

std::string sound_cautions()
{
    return '\n' +
           fact("Hearing", "85 dB(A) for 8 hours a day is the limit NIOSH recommends (98-126), and each 3 dB more "
                           "halves the time. Sweeps with ear plugs.") +
           fact("Drivers", "Start low and raise slowly; stop at the first rattle or smell. A high-pass or a band limit "
                           "for what is built for a band, and the cone's travel within what its maker allows.") +
           fact("Mains", "Nothing live on the mains is opened or probed. Local rules and licensed practice come "
                         "first.");
}

} // namespace stillwall::app
