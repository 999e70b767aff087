#pragma once
// Stop-watch of the benchmarks.

#include "solver/linalg/seconds.h"

#include <sys/resource.h>

namespace stillwall::bench {

/// Time of processor of this process so far, the system's share included [s].
[[nodiscard]] inline double cpu_seconds()
{
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    const auto seconds = [](const timeval& t) {
        return static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_usec);
    };
    return seconds(usage.ru_utime) + seconds(usage.ru_stime);
}

/// Runs from its making.
class Clock
{
public:
    [[nodiscard]] double wall() const { return solver::internal::seconds_since(start_); } ///< [s]
    [[nodiscard]] double cpu() const { return cpu_seconds() - cpu_; }                     ///< [s]

private:
    std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now();
    double cpu_ = cpu_seconds();
};

} // namespace stillwall::bench
