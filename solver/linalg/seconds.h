#pragma once
// Stop-watch.

#include <chrono>

namespace stillwall::solver::internal {

/// Wall-clock time since then [s].
[[nodiscard]] inline double seconds_since(std::chrono::steady_clock::time_point start)
{
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

} // namespace stillwall::solver::internal
