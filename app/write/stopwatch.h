#pragma once
// How long a step took.

#include <chrono>

namespace stillwall::app {

/// Seconds since it was made or last asked.
class Stopwatch
{
public:
    double lap()
    {
        const auto now = std::chrono::steady_clock::now();
        const std::chrono::duration<double> passed = now - last_;
        last_ = now;
        return passed.count();
    }

private:
    std::chrono::steady_clock::time_point last_ = std::chrono::steady_clock::now();
};

} // namespace stillwall::app
