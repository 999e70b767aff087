#include "solver/radiation/internal/wave_kernels.h"

#include <cstdint>
#include <cstring>

namespace stillwall::solver::internal {

namespace {

// Everything is inlined into functions compiled for one instruction set each.
using Real = double __attribute__((vector_size(64)));
using Bits = std::int64_t __attribute__((vector_size(64)));

#define STILLWALL_INLINE [[gnu::always_inline]] inline

STILLWALL_INLINE Real load(const double* p)
{
    Real r;
    std::memcpy(&r, p, sizeof r);
    return r;
}

/// 1/√x to a few 1e-16 for normal x > 0: a first guess from the exponent bits, 3 % off, and four Newton steps. The
/// compiler takes the roots of a vector one by one.
STILLWALL_INLINE Real inverse_root(const Real& x)
{
    Bits bits;
    std::memcpy(&bits, &x, sizeof bits);
    bits = 0x5fe6eb50c7b537a9 - (bits >> 1);
    Real y;
    std::memcpy(&y, &bits, sizeof y);
    for (int i = 0; i < 4; ++i) y = y * (1.5 - 0.5 * x * y * y);
    return y;
}

/// Horner's rule; coefficients from the constant term upward.
template <std::size_t n> STILLWALL_INLINE Real polynomial(const double (&coefficients)[n], const Real& x)
{
    Real sum = Real{} + coefficients[n - 1];
    for (std::size_t i = n - 1; i-- > 0;) sum = sum * x + coefficients[i];
    return sum;
}

struct SineCosine
{
    Real sine, cosine;
};

/// 0 ≤ x < 1e5. Quarter turns n are taken out by π/2 in two parts, the first with 33 bits, so that n times it is exact
/// for n < 2²⁰; the rest, |r| ≤ π/4, by Taylor terms to r¹⁷/17! and r¹⁸/18! (below 1e-17). Error a few 1e-16, plus that
/// of x itself.
STILLWALL_INLINE SineCosine sine_cosine(const Real& x)
{
    constexpr double shift = 6755399441055744.0; // 1.5 · 2⁵²: adding it rounds to whole numbers, kept in the low bits
    constexpr double first = 1.57079632673412561417e+00, second = 6.07710050650619224932e-11;
    constexpr double s[] = {1.0,
                            -1.0 / 6,
                            1.0 / 120,
                            -1.0 / 5040,
                            1.0 / 362880,
                            -1.0 / 39916800.0,
                            1.0 / 6227020800.0,
                            -1.0 / 1307674368000.0,
                            1.0 / 355687428096000.0};
    constexpr double c[] = {1.0,
                            -1.0 / 2,
                            1.0 / 24,
                            -1.0 / 720,
                            1.0 / 40320,
                            -1.0 / 3628800.0,
                            1.0 / 479001600.0,
                            -1.0 / 87178291200.0,
                            1.0 / 20922789888000.0,
                            -1.0 / 6402373705728000.0};
    const Real shifted = x * 0.63661977236758134308 + shift;
    const Real turns = shifted - shift;
    const Real r = (x - turns * first) - turns * second, r2 = r * r;
    const Real sine = r * polynomial(s, r2), cosine = polynomial(c, r2);
    Bits quarter;
    std::memcpy(&quarter, &shifted, sizeof quarter);
    const auto is_odd = (quarter & 1) != 0;
    const Real sine_sign = (quarter & 2) != 0 ? Real{} - 1.0 : Real{} + 1.0;
    const Real cosine_sign = ((quarter + 1) & 2) != 0 ? Real{} - 1.0 : Real{} + 1.0;
    return {(is_odd ? cosine : sine) * sine_sign, (is_odd ? sine : cosine) * cosine_sign};
}

/// Real and imaginary parts of what is summed, in registers.
struct Sums
{
    Real g_re{}, g_im{}, m_re{}, m_im{}, n_re{}, n_im{};
};

STILLWALL_INLINE void store(const Sums& s, KernelSums& out)
{
    std::memcpy(out.single_layer_re, &s.g_re, sizeof s.g_re);
    std::memcpy(out.single_layer_im, &s.g_im, sizeof s.g_im);
    std::memcpy(out.double_layer_re, &s.m_re, sizeof s.m_re);
    std::memcpy(out.double_layer_im, &s.m_im, sizeof s.m_im);
    std::memcpy(out.double_slope_re, &s.n_re, sizeof s.n_re);
    std::memcpy(out.double_slope_im, &s.n_im, sizeof s.n_im);
}

STILLWALL_INLINE void far_body(const PanelRules& rules, std::size_t block, const Observer& x, double k, KernelSums& out)
{
    const Real nx = load(&rules.normal_x[8 * block]), ny = load(&rules.normal_y[8 * block]),
               nz = load(&rules.normal_z[8 * block]);
    const Real c = x.normal.x() * nx + x.normal.y() * ny + x.normal.z() * nz;
    Sums sums;
    for (int q = 0; q < PanelRules::n_coarse; ++q) {
        const std::size_t place = 8 * (PanelRules::n_coarse * block + q);
        const Real dx = x.point.x() - load(&rules.coarse.x[place]), dy = x.point.y() - load(&rules.coarse.y[place]);
        const Real dz = x.point.z() - load(&rules.coarse.z[place]);
        const Real r2 = dx * dx + dy * dy + dz * dz, inverse = inverse_root(r2), inverse2 = inverse * inverse;
        const Real kr = k * (r2 * inverse);
        const Real a = dx * x.normal.x() + dy * x.normal.y() + dz * x.normal.z(), b = dx * nx + dy * ny + dz * nz;
        const Real w = load(&rules.coarse.weight[place]) * inverse, w3 = w * inverse2;
        const auto [sine, cosine] = sine_cosine(kr);
        const Real h1_re = cosine + kr * sine, h1_im = kr * cosine - sine;
        const Real h2_re = 3.0 * h1_re - kr * kr * cosine, h2_im = 3.0 * h1_im + kr * kr * sine;
        const Real ab = a * b * inverse2;
        sums.g_re += w * cosine;
        sums.g_im -= w * sine;
        sums.m_re += w3 * b * h1_re;
        sums.m_im += w3 * b * h1_im;
        sums.n_re += w3 * (c * h1_re - ab * h2_re);
        sums.n_im += w3 * (c * h1_im - ab * h2_im);
    }
    store(sums, out);
}

/// What k adds to the static kernels, without cancellation: x = kr.
struct Remainders
{
    Real g_re, g_im;   ///< e^{−jx} − 1
    Real h1_re, h1_im; ///< (1 + jx) e^{−jx} − 1 − x²/2
    Real h2_re, h2_im; ///< (3 + 3jx − x²) e^{−jx} − 3 − x²/2
};

STILLWALL_INLINE Remainders remainders(const Real& x)
{
    // Taylor terms (−j)ⁿ xⁿ/n! times (1 − n) and (n − 1)(n − 3) for x ≤ 1; the first left out is below 1e-15 of the
    // sum.
    constexpr double h1_even[] = {-3.0 / 24,
                                  5.0 / 720,
                                  -7.0 / 40320,
                                  9.0 / 3628800.0,
                                  -11.0 / 479001600.0,
                                  13.0 / 87178291200.0,
                                  -15.0 / 20922789888000.0};
    constexpr double h1_odd[] = {-2.0 / 6,
                                 4.0 / 120,
                                 -6.0 / 5040,
                                 8.0 / 362880,
                                 -10.0 / 39916800.0,
                                 12.0 / 6227020800.0,
                                 -14.0 / 1307674368000.0,
                                 16.0 / 355687428096000.0};
    constexpr double h2_even[] = {3.0 / 24,
                                  -15.0 / 720,
                                  35.0 / 40320,
                                  -63.0 / 3628800.0,
                                  99.0 / 479001600.0,
                                  -143.0 / 87178291200.0,
                                  195.0 / 20922789888000.0};
    constexpr double h2_odd[] = {0.0,
                                 -8.0 / 120,
                                 24.0 / 5040,
                                 -48.0 / 362880,
                                 80.0 / 39916800.0,
                                 -120.0 / 6227020800.0,
                                 168.0 / 1307674368000.0,
                                 -224.0 / 355687428096000.0};
    const auto [s2, c2] = sine_cosine(0.5 * x);
    const Real sine = 2.0 * s2 * c2, versine = 2.0 * s2 * s2, cosine = 1.0 - versine, xx = x * x, x3 = x * xx;
    const auto is_small = x < 1.0;
    const Real h1_re = cosine + x * sine, h1_im = x * cosine - sine;
    Remainders result;
    result.g_re = -versine;
    result.g_im = -sine;
    result.h1_re = is_small ? xx * xx * polynomial(h1_even, xx) : h1_re - 1.0 - 0.5 * xx;
    result.h1_im = is_small ? x3 * polynomial(h1_odd, xx) : h1_im;
    result.h2_re = is_small ? xx * xx * polynomial(h2_even, xx) : 3.0 * h1_re - xx * cosine - 3.0 - 0.5 * xx;
    result.h2_im = is_small ? x3 * polynomial(h2_odd, xx) : 3.0 * h1_im + xx * sine;
    return result;
}

STILLWALL_INLINE void near_body(const PanelRules& rules, Eigen::Index panel, const Observer& x, double k,
                                KernelSums& out)
{
    const Eigen::Vector3d& n = rules.surface.panels[panel].normal;
    const double c = x.normal.dot(n);
    Sums sums;
    for (int part = 0; part < PanelRules::n_fine; part += 8) {
        const std::size_t place = PanelRules::n_fine * panel + part;
        const Real dx = x.point.x() - load(&rules.fine.x[place]), dy = x.point.y() - load(&rules.fine.y[place]);
        const Real dz = x.point.z() - load(&rules.fine.z[place]);
        const Real r2 = dx * dx + dy * dy + dz * dz, inverse = inverse_root(r2), inverse2 = inverse * inverse;
        const Real half = 0.5 * k * k * r2;
        const Real a = dx * x.normal.x() + dy * x.normal.y() + dz * x.normal.z(),
                   b = dx * n.x() + dy * n.y() + dz * n.z();
        const Real w = load(&rules.fine.weight[place]) * inverse, w3 = w * inverse2, ab = a * b * inverse2;
        const Remainders k_part = remainders(k * (r2 * inverse));
        sums.g_re += w * k_part.g_re;
        sums.g_im += w * k_part.g_im;
        sums.m_re += w3 * b * (k_part.h1_re + half);
        sums.m_im += w3 * b * k_part.h1_im;
        sums.n_re += w3 * (c * k_part.h1_re - ab * (k_part.h2_re + half));
        sums.n_im += w3 * (c * k_part.h1_im - ab * k_part.h2_im);
    }
    store(sums, out);
}

/// Defines `name` to call `body` compiled for the best instruction set of the processor.
#define STILLWALL_BEST_SIMD(name, body, parameters, arguments)                                                         \
    [[gnu::target("avx512f,avx512vl,avx512dq,fma")]] void name##_512 parameters                                        \
    {                                                                                                                  \
        body arguments;                                                                                                \
    }                                                                                                                  \
    [[gnu::target("avx2,fma")]] void name##_256 parameters                                                             \
    {                                                                                                                  \
        body arguments;                                                                                                \
    }                                                                                                                  \
    void name##_128 parameters                                                                                         \
    {                                                                                                                  \
        body arguments;                                                                                                \
    }                                                                                                                  \
    auto name##_best()                                                                                                 \
    {                                                                                                                  \
        if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512vl") &&                                 \
            __builtin_cpu_supports("avx512dq"))                                                                        \
            return name##_512;                                                                                         \
        return __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma") ? name##_256 : name##_128;              \
    }

STILLWALL_BEST_SIMD(far, far_body,
                    (const PanelRules& rules, std::size_t block, const Observer& x, double k, KernelSums& out),
                    (rules, block, x, k, out))
STILLWALL_BEST_SIMD(near, near_body,
                    (const PanelRules& rules, Eigen::Index panel, const Observer& x, double k, KernelSums& out),
                    (rules, panel, x, k, out))

} // namespace

void far_sums(const PanelRules& rules, std::size_t block, const Observer& x, double k, KernelSums& sums)
{
    static const auto best = far_best();
    best(rules, block, x, k, sums);
}

void near_sums(const PanelRules& rules, Eigen::Index panel, const Observer& x, double k, KernelSums& sums)
{
    static const auto best = near_best();
    best(rules, panel, x, k, sums);
}

} // namespace stillwall::solver::internal
