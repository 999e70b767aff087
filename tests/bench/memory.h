#pragma once
// What this process holds and has held, from the kernel's account (proc(5)).

#include <fstream>
#include <malloc.h>
#include <string>

namespace stillwall::bench {

/// [MB], of a line "VmHWM:  123 kB" of /proc/self/status; 0 when there is none.
/// @param key  "VmRSS" held now, "VmHWM" the peak
[[nodiscard]] inline double memory_MB(const std::string& key)
{
    std::ifstream status("/proc/self/status");
    std::string word;
    while (status >> word) {
        double kB = 0;
        if (word == key + ":" && status >> kB) return kB / 1024;
    }
    return 0;
}

/// Gives back what was freed and forgets the peak so far.
/// @return false when the kernel does not let us: the peak is then that of all that ran before, too
inline bool forget_peak()
{
    malloc_trim(0);
    std::ofstream file("/proc/self/clear_refs");
    file << 5 << std::flush;
    return file.good();
}

} // namespace stillwall::bench
