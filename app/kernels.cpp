#include "app/kernels.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <string_view>

#include <dlfcn.h>
#include <unistd.h>

namespace stillwall::app {
namespace {

/// The kernels for this processor; null where the library's own choice is as good.
const char* better_kernels()
{
#if defined(__x86_64__)
    const auto name = reinterpret_cast<const char* (*)()>(dlsym(RTLD_DEFAULT, "openblas_get_corename"));
    if (name == nullptr || std::string_view(name()) != "Prescott") return nullptr; // the fall-back of all x86-64
    if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq") && __builtin_cpu_supports("avx512bw") &&
        __builtin_cpu_supports("avx512vl"))
        return "SkylakeX";
    if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma")) return "Haswell";
#endif
    return nullptr;
}

} // namespace

void restart_with_fast_kernels(int argc, char** argv)
{
    constexpr std::array<std::string_view, 5> long_verbs{"compare", "vary", "improve", "sound", "explain"};
    constexpr const char* variable = "OPENBLAS_CORETYPE";
    if (argc < 2 || std::find(long_verbs.begin(), long_verbs.end(), argv[1]) == long_verbs.end() ||
        std::getenv(variable) != nullptr)
        return;
    const char* kernels = better_kernels();
    if (kernels == nullptr || ::setenv(variable, kernels, 1) != 0) return;
    ::execv("/proc/self/exe", argv); // returns only where it fails; then it goes on as it is
}

} // namespace stillwall::app
