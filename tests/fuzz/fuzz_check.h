#pragma once
// What every fuzz target demands; a violation stops the program.

#include <cstdio>
#include <cstdlib>
#include <string>

namespace fuzz {

inline void require(bool is_true, const char* what)
{
    if (is_true) return;
    std::fprintf(stderr, "violated: %s\n", what);
    std::abort();
}

inline void check_message(const std::string& message)
{
    constexpr std::size_t longest = 2000;
    require(message.rfind("fuzz.yaml", 0) == 0, "message begins with the file");
    require(message.find('\n') == std::string::npos, "message is one line");
    require(message.size() <= longest, "message is short");
}

} // namespace fuzz
