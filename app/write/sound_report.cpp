#include "app/write/sound_report.h"

namespace stillwall::app {

using solver::Source;

bool moves_air(const Source& source)
{
    return source.kind == Source::Kind::Port || source.kind == Source::Kind::Hole;
}

} // namespace stillwall::app
