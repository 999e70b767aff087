#include "app/write/progress.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::app {

void Progress::show(const std::string& step, double fraction)
{
    if (!stream_) return;
    const std::lock_guard lock(mutex_);
    const auto now = Clock::now();
    if (!thread_.joinable()) {
        run_began_ = now;
        is_over_ = false;
        thread_ = std::thread([this] { give_life_signs(); });
    }
    if (step != step_) step_began_ = now;
    step_ = step;
    fraction_ = std::clamp(fraction, 0.0, 1.0);
    if (is_terminal_) draw();
}

void Progress::draw()
{
    constexpr int cells = 30;
    const int done = static_cast<int>(std::lround(fraction_ * cells));
    std::string bar;
    for (int i = 0; i < cells; ++i) bar += i < done ? "█" : "·";
    constexpr Seconds worth_telling{2};
    const Seconds taken = Clock::now() - step_began_;
    const std::string time = taken >= worth_telling ? fmt::format(", {:.0f} s", taken.count()) : "";
    // Carriage return and "erase to the end of the line" (ECMA-48) redraw in place.
    *stream_ << fmt::format("\r{} {:3.0f} %  {}{}\x1b[K", bar, fraction_ * 100, step_, time) << std::flush;
    is_drawn_ = true;
}

void Progress::give_life_signs()
{
    std::unique_lock lock(mutex_);
    while (!ends_.wait_for(lock, between_, [this] { return is_over_; })) {
        if (is_terminal_)
            draw();
        else
            *stream_ << fmt::format("stillwall: {:.0f} %, {}, {}\n", fraction_ * 100, step_,
                                    waiting_time(Seconds(Clock::now() - run_began_).count()))
                     << std::flush;
    }
}

void Progress::clear()
{
    if (thread_.joinable()) {
        {
            const std::lock_guard lock(mutex_);
            is_over_ = true;
        }
        ends_.notify_all();
        thread_.join();
    }
    if (is_drawn_) *stream_ << "\r\x1b[K" << std::flush;
    is_drawn_ = false;
    step_.clear();
}

std::string waiting_time(double seconds)
{
    if (seconds < 90) return fmt::format("{:.0f} s", seconds);
    if (seconds < 90 * 60) return fmt::format("{:.0f} min", seconds / 60);
    return fmt::format("{:.1f} h", seconds / 3600);
}

} // namespace stillwall::app
