#include "app/write/sound_report.h"

namespace stillwall::app {

using solver::Source;

bool moves_air(const Source& source)
{
    return source.kind == Source::Kind::Port || source.kind == Source::Kind::Hole;
}

std::string place_name(const SoundReport& report, const solver::ModeAtListener& heard)
{
    return heard.listener ? report.result.listeners.at(static_cast<std::size_t>(*heard.listener)).name
                          : "all directions";
}

} // namespace stillwall::app
