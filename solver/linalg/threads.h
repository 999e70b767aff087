#pragma once
// How many threads this process computes with: one setting for our own loops, the BLAS and OpenMP.

namespace stillwall::solver {

/// From now on at most n threads compute; without a call as many as there are cores this process may run on. Threads
/// beside the caller's are started when there is work for them and kept. To be called while nothing computes.
void use_threads(int n);

/// fork(2), after which the child computes with one thread and starts no other. To be called while nothing computes.
[[nodiscard]] int fork_to_one_thread();

/// The number in force.
[[nodiscard]] int n_threads();

} // namespace stillwall::solver
