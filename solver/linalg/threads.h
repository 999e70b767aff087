#pragma once
// How many threads this process computes with.

namespace stillwall::solver {

/// From now on at most n threads, inside the linear algebra too; without a call as many as there are cores.
void use_threads(int n);

} // namespace stillwall::solver
