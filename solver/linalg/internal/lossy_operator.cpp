#include "solver/linalg/internal/lossy_operator.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/hertz.h"
#include "solver/linalg/internal/sparse_product.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace stillwall::solver::internal {

namespace {

using Complex = std::complex<double>;

// R ← R + a ∘ Y, with one complex factor per mode over rows (Re, Im).
void add_scaled(const Eight& Y, const std::array<Complex, 4>& a, Eight& R)
{
    Eigen::Matrix<double, 8, 8> T = Eigen::Matrix<double, 8, 8>::Zero();
    for (int k = 0; k < 4; ++k) {
        T.block<2, 2>(2 * k, 2 * k) << a[static_cast<std::size_t>(k)].real(), -a[static_cast<std::size_t>(k)].imag(),
            a[static_cast<std::size_t>(k)].imag(), a[static_cast<std::size_t>(k)].real();
    }
    R += combine(T, Y);
}

// Norm of each complex vector.
Eigen::Array4d norms(const Eight& Y)
{
    const Eigen::Matrix<double, 8, 1> squares = Y.rowwise().squaredNorm();
    Eigen::Array4d result;
    for (int k = 0; k < 4; ++k) result[k] = std::sqrt(squares[2 * k] + squares[2 * k + 1]);
    return result;
}

} // namespace

LossyOperator::LossyOperator(const LossyProblem& problem, SplitLoss loss, double sigma)
    : K_(problem.K), K_used_(without_zeros(problem.K)), M_(without_zeros(problem.M)), loss_(std::move(loss)),
      sigma_(sigma)
{
    for (const DependentStiffness& d : problem.dependent) dependent_.push_back({without_zeros(d.K), d.change});
}

Eigen::VectorXcd LossyOperator::change(double f_Hz) const
{
    Eigen::VectorXcd s(static_cast<Eigen::Index>(dependent_.size()));
    for (std::size_t j = 0; j < dependent_.size(); ++j) {
        s[static_cast<Eigen::Index>(j)] = dependent_[j].change(f_Hz);
    }
    if (!s.allFinite()) throw SolverError(fmt::format("a layer's stiffness at {:.4g} Hz is not finite", f_Hz));
    return s;
}

SparseMatrix LossyOperator::real_stiffness(double f_Hz) const
{
    SparseMatrix K = K_;
    const Eigen::VectorXcd s = change(f_Hz);
    for (std::size_t j = 0; j < dependent_.size(); ++j) {
        K = SparseMatrix(K + s[static_cast<Eigen::Index>(j)].real() * dependent_[j].K);
    }
    K.makeCompressed();
    return K;
}

LossyResidual LossyOperator::residual(const Eight& phi, std::span<const Complex> lambda) const
{
    const std::size_t n_modes = lambda.size();
    std::array<Complex, 4> minus_lambda{};
    for (std::size_t k = 0; k < n_modes; ++k) minus_lambda[k] = -lambda[k];
    LossyResidual result;
    const auto everywhere = [](Complex a) { return std::array<Complex, 4>{a, a, a, a}; };
    result.r = times_symmetric(phi, K_used_);
    {
        const Eight M_phi = times_symmetric(phi, M_);
        result.scale = norms(result.r + sigma_ * M_phi);
        if (loss_.eta != 0) add_scaled(Eight(result.r), everywhere({0, loss_.eta}), result.r);
        add_scaled(M_phi, minus_lambda, result.r);
    }
    if (loss_.rest.nonZeros() > 0) add_scaled(times_symmetric(phi, loss_.rest), everywhere({0, 1}), result.r);
    std::array<Eigen::VectorXcd, 4> s;
    for (std::size_t k = 0; k < n_modes; ++k) s[k] = change(hertz(lambda[k]));
    for (std::size_t j = 0; j < dependent_.size(); ++j) {
        std::array<Complex, 4> factor{};
        for (std::size_t k = 0; k < n_modes; ++k) factor[k] = s[k][static_cast<Eigen::Index>(j)];
        add_scaled(times_symmetric(phi, dependent_[j].K), factor, result.r);
    }
    result.size = norms(result.r);
    return result;
}

} // namespace stillwall::solver::internal
