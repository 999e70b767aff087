#pragma once
// Bars worked out by Ritz series, for tests: another road to the frequencies than the program's closed equations.

#include "solver/measured/bar.h"

#include <Eigen/Dense>

#include <cmath>
#include <numbers>
#include <vector>

namespace stillwall::ritz {

using Eigen::MatrixXd;
using Eigen::VectorXd;
using solver::Bar;
using solver::BarEnds;

/// Powers of x with their derivatives are ill-conditioned; Legendre polynomials on −1..1 are not.
struct Legendre
{
    VectorXd value, first, second; // at one x
    Legendre(int n, double x) : value(n), first(n), second(n)
    {
        value << VectorXd::Zero(n);
        first = second = value;
        value[0] = 1;
        value[1] = x;
        first[1] = 1;
        for (int k = 1; k + 1 < n; ++k) {
            value[k + 1] = ((2 * k + 1) * x * value[k] - k * value[k - 1]) / (k + 1);
            first[k + 1] = first[k - 1] + (2 * k + 1) * value[k];
            second[k + 1] = second[k - 1] + (2 * k + 1) * first[k];
        }
    }
};

/// Gauss points and weights on −1..1 from the eigenvalues of the Jacobi matrix (Golub & Welsch).
struct Gauss
{
    VectorXd x, w;
    explicit Gauss(int n)
    {
        MatrixXd jacobi = MatrixXd::Zero(n, n);
        for (int k = 1; k < n; ++k) jacobi(k, k - 1) = jacobi(k - 1, k) = k / std::sqrt(4.0 * k * k - 1);
        const Eigen::SelfAdjointEigenSolver<MatrixXd> eigen(jacobi);
        x = eigen.eigenvalues();
        w = 2 * eigen.eigenvectors().row(0).transpose().array().square();
    }
};

/// Elastic frequencies [Hz] of K v = ω² M v without the n_rigid lowest.
inline std::vector<double> elastic_Hz(const MatrixXd& K, const MatrixXd& M, int n_rigid)
{
    const Eigen::GeneralizedSelfAdjointEigenSolver<MatrixXd> eigen(K, M, Eigen::EigenvaluesOnly);
    std::vector<double> f;
    for (Eigen::Index i = n_rigid; i < eigen.eigenvalues().size() && f.size() < 5; ++i)
        f.push_back(std::sqrt(eigen.eigenvalues()[i]) / (2 * std::numbers::pi));
    return f;
}

/// Timoshenko's beam by a Ritz series in deflection and rotation: E I ψ'², k G A (w' − ψ)², ρ A w², ρ I ψ².
inline std::vector<double> bending_Hz(const Bar& bar, BarEnds ends, double E, double G)
{
    constexpr int n = 18;
    const double A = bar.width * bar.thickness, I = A * bar.thickness * bar.thickness / 12;
    const double rho = bar.mass / (A * bar.length), to_x = 2 / bar.length;
    const bool is_clamped = ends == BarEnds::ClampedFree;
    MatrixXd K = MatrixXd::Zero(2 * n, 2 * n), M = K;
    const Gauss gauss(24);
    for (Eigen::Index g = 0; g < gauss.x.size(); ++g) {
        Legendre p(n, gauss.x[g]);
        if (is_clamped) { // times (1 + x): zero at the clamp
            p.first = p.value + (1 + gauss.x[g]) * p.first;
            p.value *= 1 + gauss.x[g];
        }
        const double weight = gauss.w[g] * bar.length / 2;
        VectorXd bend = VectorXd::Zero(2 * n), shear = bend, w = bend, psi = bend;
        bend.tail(n) = p.first * to_x;
        shear.head(n) = p.first * to_x;
        shear.tail(n) = -p.value;
        w.head(n) = p.value;
        psi.tail(n) = p.value;
        K += weight * (E * I * bend * bend.transpose() + 5.0 / 6 * G * A * shear * shear.transpose());
        M += weight * rho * (A * w * w.transpose() + I * psi * psi.transpose());
    }
    return elastic_Hz(K, M, is_clamped ? 0 : 2);
}

/// Torsion with warping by a Ritz series: G J θ'², E Γ θ''², ρ I_p θ², ρ Γ θ'².
inline std::vector<double> torsion_Hz(const Bar& bar, double E, double GJ)
{
    constexpr int n = 18;
    const double b = bar.width, t = bar.thickness, rho = bar.mass / (b * t * bar.length), to_x = 2 / bar.length;
    const double polar = b * t * (b * b + t * t) / 12, gamma = std::pow(b * t, 3) / 144;
    MatrixXd K = MatrixXd::Zero(n, n), M = K;
    const Gauss gauss(24);
    for (Eigen::Index g = 0; g < gauss.x.size(); ++g) {
        const Legendre p(n, gauss.x[g]);
        const double weight = gauss.w[g] * bar.length / 2;
        const VectorXd slope = p.first * to_x, curve = p.second * to_x * to_x;
        K += weight * (GJ * slope * slope.transpose() + E * gamma * curve * curve.transpose());
        M += weight * rho * (polar * p.value * p.value.transpose() + gamma * slope * slope.transpose());
    }
    return elastic_Hz(K, M, 1);
}

/// Chipboard-like bar of 680 kg/m³.
inline const Bar panel_bar{0.400, 0.050, 0.018, 680 * 0.400 * 0.050 * 0.018};

} // namespace stillwall::ritz
