#pragma once
// Linear algebra at the speed of the processor.

namespace stillwall::app {

/// OpenBLAS chooses its kernels when it is loaded, by a list of processors known when it was made; on newer ones an old
/// version falls back to kernels twice as slow or worse. Where that happened, this starts the program again with the
/// right ones named. Pays for verbs that compute for long only: starting takes 0.15 s. Does nothing where
/// OPENBLAS_CORETYPE is set.
void restart_with_fast_kernels(int argc, char** argv);

} // namespace stillwall::app
