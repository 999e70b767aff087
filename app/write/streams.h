#pragma once
// Where a run writes: results to `out`, progress and warnings to `err`.

#include <ostream>

namespace stillwall::app {

struct Streams
{
    std::ostream& out;
    std::ostream& err;
    bool err_is_terminal = false; ///< a progress bar is drawn only on a terminal
};

} // namespace stillwall::app
