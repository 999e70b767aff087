#pragma once
// The whole program as one function.

#include "app/write/streams.h"

namespace stillwall::app {

/// What the shell is told.
enum ExitCode
{
    exit_done = 0,
    exit_failed = 1,     ///< the computation failed; the reason is on `err`
    exit_wrong_input = 2 ///< the user's file or command line must be corrected
};

/// Reads the command line, does what its verb says and returns an ExitCode. Never throws: errors
/// become one line on streams.err.
[[nodiscard]] int run(int argc, const char* const* argv, const Streams& streams) noexcept;

} // namespace stillwall::app
