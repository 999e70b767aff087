#pragma once
// Many computations side by side, each in a process of its own: the mesher is one per process, and a variant that makes
// a library give up must not take the others along. With MPI the processes of all machines take part.

#include "solver/choose/scheme.h"

#include <functional>
#include <string>

namespace stillwall::app {

using solver::Outcome;

struct ApartOptions
{
    int at_most = 0;    ///< processes on this machine, 0: as many as cores
    bool ranks = false; ///< with those that mpirun started
};

/// Calls job(0) … job(n − 1) in child processes, one a core, and done(i, outcome) here, in the order in which they end.
/// With `ranks`, every process that mpirun started must call this once with the same n: process 0 hands out the work
/// and alone calls `done`, the others compute and return when nothing is left. The job sees memory as it was at the
/// call; what it changes is lost. An exception of `done` stops the rest.
/// @throws Error when no process can be started
void compute_apart(std::size_t n, const std::function<std::string(std::size_t)>& job,
                   const std::function<void(std::size_t, const Outcome&)>& done, const ApartOptions& options = {});

/// Whether this process was started by mpirun beside others and is not the first of them: it prints and writes nothing.
[[nodiscard]] bool is_helper_rank();

} // namespace stillwall::app
