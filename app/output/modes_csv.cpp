#include "app/output/modes_report.h"
#include "app/output/numbers.h"

#include <fmt/format.h>

#include <cmath>

namespace stillwall::app {
namespace {

/// A field as RFC 4180 wants it: quoted when it holds a comma, a quote or a line break.
std::string field(const std::string& text)
{
    if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
    std::string quoted = "\"";
    for (const char c : text) {
        if (c == '"') quoted += '"';
        quoted += c;
    }
    return quoted + '"';
}

std::string number(double value)
{
    return fmt::format("{:.6g}", value);
}

std::string number_or_blank(double value)
{
    return std::isfinite(value) ? number(value) : "";
}

/// The part that eats most, with its share: "left 60 %".
std::string eaten_by(const solver::Mode& mode)
{
    return mode.losses.empty() ? "" : loss_part(mode.losses.front()) + ' ' + in_percent(mode.losses.front().share);
}

} // namespace

std::string modes_csv(const ModesReport& report)
{
    std::string text = "number,frequency_hz,band_low_hz,band_high_hz,loss_factor,q,ring_time_s,flag,reason,shape,"
                       "driver,effective_mass_kg,volume_m2_per_sqrt_kg,rough_level_db,residual";
    for (const Board& board : report.cabinet.boards) text += ',' + field("kinetic_share " + board.name);
    text += ",q_low,q_high,eaten_by\n"; // behind the rest, which keeps its places

    int count = 0;
    for (const solver::Mode& mode : report.result.modes) {
        const Drive drive = strongest_drive(mode, report.books.mass);
        const bool is_lossy = mode.loss > 0;
        text += fmt::format("{},{},{},{},{},{},{},{},{},{},{},{},{},{},{}", ++count, number(mode.f_Hz),
                            number(mode.f_low_Hz), number(mode.f_high_Hz), number(mode.loss),
                            is_lossy ? number(mode.Q) : "", is_lossy ? number(mode.T60_s) : "", flag_word(mode.flag),
                            field(mode.reason), field(mode.shape_name), field(drive.driver),
                            drive.driver.empty() ? "" : number(drive.effective_mass), number(mode.volume),
                            number(mode.rough_level_dB), number(mode.residual));
        for (const solver::BoardShare& share : mode.boards) text += ',' + number(share.kinetic);
        text += fmt::format(",{},{},{}\n", is_lossy ? number_or_blank(mode.Q_low) : "",
                            is_lossy ? number_or_blank(mode.Q_high) : "", field(eaten_by(mode)));
    }
    return text;
}

} // namespace stillwall::app
