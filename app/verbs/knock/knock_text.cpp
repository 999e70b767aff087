#include "app/verbs/knock/knock_report.h"
#include "app/write/numbers.h"
#include "app/write/text_table.h"

#include <fmt/format.h>

#include <algorithm>

namespace stillwall::app {
namespace {

using enum Align;
using solver::Knock;
using solver::RungMode;

std::string modes_table(const solver::KnockResult& result, std::size_t n_used)
{
    TextTable table{{{"#", Right}, {"Hz", Left}, {"Q", Left}, {"Rings", Right}, {"dB", Right}, {"In", Left}}, {}};
    int number = 0;
    for (const RungMode& mode : result.modes)
        table.rows.push_back({std::to_string(++number), with_error(mode.f_Hz.value, mode.f_Hz.error),
                              with_error(mode.Q.value, mode.Q.error), in_seconds(2.2 * mode.Q.value / mode.f_Hz.value),
                              with_minus(fmt::format("{:.0f}", mode.level_dB)),
                              fmt::format("{} of {}", mode.n_knocks, n_used)});
    return table.text();
}

std::string knocks_table(const solver::KnockResult& result)
{
    TextTable table{{{"Knock", Left}, {"at", Right}, {"Ring", Right}, {"Over noise", Right}, {"Used", Left}}, {}};
    for (const Knock& knock : result.knocks) {
        std::string why;
        for (const solver::KnockFault fault : knock.faults) why += (why.empty() ? "no: " : ", ") + fault_words(fault);
        const bool has_ring = knock.at_s > 0 || knock.length_s > 0;
        table.rows.push_back({knock.recording, has_ring ? fmt::format("{:.2f} s", knock.at_s) : "–",
                              has_ring ? in_seconds(knock.length_s) : "–",
                              has_ring ? fmt::format("{:.0f} dB", knock.over_noise_dB) : "–",
                              knock.is_used ? "yes" : why});
    }
    return table.text();
}

std::string room_words(const solver::KnockResult& result)
{
    if (!result.room_s) return "";
    std::string lines;
    for (const RungMode& mode : result.of_room) lines += (lines.empty() ? "" : ", ") + in_hertz(mode.f_Hz.value);
    std::string text = fmt::format("The room sounds along, some {} of it", in_seconds(*result.room_s));
    if (!lines.empty())
        text += fmt::format("; lines that do not stand out of it, the room's or too weak to tell: {} Hz", lines);
    return wrapped(text + ". Closer to the board, curtains drawn, less of it is heard.");
}

} // namespace

std::string knock_text(const KnockReport& report)
{
    const solver::KnockResult& result = report.result;
    const auto n_used = static_cast<std::size_t>(
        std::count_if(result.knocks.begin(), result.knocks.end(), [](const Knock& k) { return k.is_used; }));
    std::string text;
    for (const std::string& line : report.understood) text += wrapped(line, "  ");
    text += '\n';
    if (result.modes.empty())
        text += wrapped(fmt::format("Nothing rings from {} to {} Hz in the knocks that can be used.",
                                    in_hertz(result.f_from), in_hertz(result.f_to)));
    else
        text += modes_table(result, n_used);
    text += '\n' + knocks_table(result) + '\n' + room_words(result);
    for (const std::string& warning : result.warnings) text += wrapped("Note: " + warning + '.');
    text += wrapped(
        "Rings: time to fall by 60 dB. dB: loudness at the start against the loudest. ±: one standard deviation. "
        "A microphone hears every board that the knock sets going, and the air inside; the board that was "
        "knocked is heard best. What two places on one board share, and a place on another lacks, is that board's.");
    text += wrapped("To knock well: a knuckle or the wrapped handle of a screwdriver, near a corner of the board's "
                    "inner third, one knock "
                    "every two seconds, microphone 50 mm off, no sound else; three or more in one recording. Keep off "
                    "cones and veneer edges.");
    return text;
}

} // namespace stillwall::app
