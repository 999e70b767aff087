#include "app/write/progress.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::app {

void Progress::show(const std::string& step, double fraction)
{
    if (!is_terminal_) return;
    constexpr int cells = 30;
    const int done = static_cast<int>(std::lround(std::clamp(fraction, 0.0, 1.0) * cells));
    std::string bar;
    for (int i = 0; i < cells; ++i) bar += i < done ? "█" : "·";
    // Carriage return and "erase to the end of the line" (ECMA-48) redraw in place.
    stream_ << fmt::format("\r{} {:3.0f} %  {}\x1b[K", bar, std::clamp(fraction, 0.0, 1.0) * 100, step) << std::flush;
    is_drawn_ = true;
}

void Progress::clear()
{
    if (is_drawn_) stream_ << "\r\x1b[K" << std::flush;
    is_drawn_ = false;
}

} // namespace stillwall::app
