#pragma once
// A free bar as a two-dimensional elastic body (plane stress in its side view), by a Ritz series in both directions:
// what no beam theory knows, for judging how well Timoshenko's beam reads the shear through the thickness.

#include "tests/solver/strip_ritz.h"

namespace stillwall::ritz {

/// Of the side view: 1 along the bar, 3 through its thickness.
struct PlaneConstants
{
    double E1 = 0, E3 = 0, G13 = 0; ///< [Pa]
    double nu13 = 0;                ///< strain along 3 per strain along 1
};

/// Legendre series' moments over a length: ∫p p, ∫p' p', ∫p' p.
struct Moments1d
{
    MatrixXd pp, dd, dp;
    Moments1d(int n, double length)
    {
        pp = dd = dp = MatrixXd::Zero(n, n);
        const Gauss gauss(n + 4);
        for (Eigen::Index g = 0; g < gauss.x.size(); ++g) {
            const Legendre p(n, gauss.x[g]);
            const double w = gauss.w[g] * length / 2, to_x = 2 / length;
            pp += w * p.value * p.value.transpose();
            dd += w * to_x * to_x * p.first * p.first.transpose();
            dp += w * to_x * p.first * p.value.transpose();
        }
    }
};

/// Bending frequencies [Hz] of a free bar, ascending: displacements u antisymmetric and w symmetric about the middle.
inline std::vector<double> plane_bending_Hz(const Bar& bar, const PlaneConstants& m)
{
    constexpr int nx = 20, nz = 8;
    const Moments1d x(nx, bar.length), z(nz, bar.thickness);
    const double rho = bar.mass / (bar.length * bar.width * bar.thickness), d = 1 - m.nu13 * m.nu13 * m.E3 / m.E1;
    const double c11 = m.E1 / d, c33 = m.E3 / d, c13 = m.nu13 * m.E3 / d, G = m.G13;
    constexpr int half = nz / 2, n = nx * half;
    MatrixXd K = MatrixXd::Zero(2 * n, 2 * n), M = K;
    for (int i = 0; i < nx; ++i)
        for (int j = 0; j < nx; ++j)
            for (int k = 0; k < half; ++k)
                for (int l = 0; l < half; ++l) {
                    const int a = i * half + k, b = j * half + l, uk = 2 * k + 1, ul = 2 * l + 1, wk = 2 * k,
                              wl = 2 * l;
                    K(a, b) = c11 * x.dd(i, j) * z.pp(uk, ul) + G * x.pp(i, j) * z.dd(uk, ul);
                    K(n + a, n + b) = c33 * x.pp(i, j) * z.dd(wk, wl) + G * x.dd(i, j) * z.pp(wk, wl);
                    K(a, n + b) = c13 * x.dp(i, j) * z.dp(wl, uk) + G * x.dp(j, i) * z.dp(uk, wl);
                    K(n + b, a) = K(a, n + b);
                    M(a, b) = rho * x.pp(i, j) * z.pp(uk, ul);
                    M(n + a, n + b) = rho * x.pp(i, j) * z.pp(wk, wl);
                }
    return elastic_Hz(K * bar.width, M * bar.width, 2);
}

} // namespace stillwall::ritz
