#pragma once
// Building blocks of the loops over eight vectors. Everything is inlined into functions compiled for one instruction
// set each, so that one source serves them all; P and Q, rows at once, are chosen to fill that set's register file.

#include "solver/linalg/internal/eight.h"

#include <cstring>

namespace stillwall::solver::internal::simd {

using Register = double __attribute__((vector_size(64)));

[[gnu::always_inline]] inline Register load(const double* p)
{
    Register r;
    std::memcpy(&r, p, sizeof r);
    return r;
}

[[gnu::always_inline]] inline void store(double* p, const Register& r)
{
    std::memcpy(p, &r, sizeof r);
}

// P rows of the product at once: P sums stay in registers while one column after the other of A passes.
template <int P> [[gnu::always_inline]] inline void subtract_tile(double* out, const Strided& A, const double* in)
{
    Register sum[P] = {};
    const double* a = A.data;
    for (int k = 0; k < A.cols; ++k, a += A.col_step) {
        const Register x = load(in + std::ptrdiff_t{8} * k);
        for (int r = 0; r < P; ++r) sum[r] += a[r * A.row_step] * x;
    }
    for (int r = 0; r < P; ++r) store(out + 8 * r, load(out + 8 * r) - sum[r]);
}

template <int P> [[gnu::always_inline]] inline void subtract_tiles(double*& out, Strided& rest, const double* in)
{
    for (; rest.rows >= P; rest.rows -= P) {
        subtract_tile<P>(out, rest, in);
        out += std::ptrdiff_t{8} * P;
        rest.data += P * rest.row_step;
    }
}

/// out_i −= Σ_k A_ik in_k
template <int P, int Q> [[gnu::always_inline]] inline void subtract(double* out, Strided A, const double* in)
{
    subtract_tiles<P>(out, A, in);
    subtract_tiles<Q>(out, A, in);
    subtract_tiles<1>(out, A, in);
}

} // namespace stillwall::solver::internal::simd

/// Defines `name` to call the version of function template `body<P, Q>` for the best instruction set of the processor:
/// 32 registers of 64 bytes, 16 of 32, 16 of 16.
#define STILLWALL_FOR_EACH_SIMD(name, body, parameters, arguments)                                                     \
    [[gnu::target("avx512f,avx512vl,fma")]] static void name##_512 parameters                                          \
    {                                                                                                                  \
        body<12, 4> arguments;                                                                                         \
    }                                                                                                                  \
    [[gnu::target("avx2,fma")]] static void name##_256 parameters                                                      \
    {                                                                                                                  \
        body<6, 2> arguments;                                                                                          \
    }                                                                                                                  \
    static void name##_128 parameters                                                                                  \
    {                                                                                                                  \
        body<3, 1> arguments;                                                                                          \
    }                                                                                                                  \
    void name parameters                                                                                               \
    {                                                                                                                  \
        using Version = void(*) parameters;                                                                            \
        static const Version best = __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512vl")            \
                                        ? name##_512                                                                   \
                                    : __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma") ? name##_256     \
                                                                                                      : name##_128;    \
        best arguments;                                                                                                \
    }
