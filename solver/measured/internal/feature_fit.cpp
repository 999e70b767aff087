#include "solver/measured/internal/feature_fit.h"

#include "solver/measured/internal/impedance_terms.h"

#include <Eigen/QR>
#include <unsupported/Eigen/NonLinearOptimization>
#include <unsupported/Eigen/NumericalDiff>

#include <algorithm>
#include <cmath>

namespace stillwall::solver::internal {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

Window common_window(const Leftover& left, const std::vector<Trial>& trials)
{
    double low = trials.front().f_Hz, high = low;
    for (const Trial& t : trials) {
        low = std::min(low, t.f_Hz * std::exp(-half_window(t.Q)));
        high = std::max(high, t.f_Hz * std::exp(half_window(t.Q)));
    }
    Window window = window_of(left.f_Hz, low, high);
    const Index least = 8 + 4 * static_cast<Index>(trials.size());
    while (window.size() < least && window.size() < static_cast<Index>(left.f_Hz.size())) {
        window.first = std::max<Index>(0, window.first - 1);
        window.last = std::min<Index>(static_cast<Index>(left.f_Hz.size()), window.last + 1);
    }
    return window;
}

/// x: ln f, ln Q of each.
std::vector<Trial> trials_of(const VectorXd& x)
{
    std::vector<Trial> trials;
    for (Index i = 0; i < x.size(); i += 2) trials.push_back({std::exp(x[i]), std::exp(x[i + 1])});
    return trials;
}

struct Problem
{
    using Scalar = double;
    using InputType = VectorXd;
    using ValueType = VectorXd;
    using JacobianType = MatrixXd;
    enum
    {
        InputsAtCompileTime = Eigen::Dynamic,
        ValuesAtCompileTime = Eigen::Dynamic
    };
    const Leftover& left;
    Window window;
    MatrixXd background;
    VectorXd rows;
    int n = 0;

    [[nodiscard]] int inputs() const { return n; }
    [[nodiscard]] int values() const { return static_cast<int>(rows.size()); }
    [[nodiscard]] MatrixXd columns(const VectorXd& x) const
    {
        MatrixXd all(rows.size(), x.size() + background.cols());
        Index at = 0;
        for (const Trial& t : trials_of(x)) {
            all.middleCols(at, 2) = hump_columns(left, window, t);
            at += 2;
        }
        all.rightCols(background.cols()) = background;
        return all;
    }
    int operator()(const VectorXd& x, VectorXd& residual) const
    {
        const MatrixXd A = columns(x);
        residual = A * A.colPivHouseholderQr().solve(rows) - rows;
        return residual.allFinite() ? 0 : -1;
    }
};

/// Weighted derivatives of a hump by ln f, ln Q, stacked as hump_columns().
MatrixXd shape_slopes(const Leftover& left, const Window& window, const Hump& hump)
{
    const Index n = window.size();
    MatrixXd J((left.has_phase() ? 2 : 1) * n, 2);
    for (Index i = 0; i < n; ++i) {
        const Index at = window.first + i;
        const auto slopes = hump_slopes(hump, left.f_Hz[static_cast<std::size_t>(at)]);
        for (Index c = 0; c < 2; ++c) {
            const std::complex<double> value = left.weight[at] * slopes[static_cast<std::size_t>(c)];
            J(i, c) = left.has_phase() ? value.real() : (value * left.turn[at]).real();
            if (left.has_phase()) J(n + i, c) = value.imag();
        }
    }
    return J;
}

std::vector<FittedFeature> with_errors(const Problem& problem, const VectorXd& x)
{
    const MatrixXd A = problem.columns(x);
    const VectorXd linear = A.colPivHouseholderQr().solve(problem.rows);
    const std::vector<Trial> trials = trials_of(x);
    std::vector<FittedFeature> fitted;
    MatrixXd J(A.rows(), A.cols() + x.size());
    J.rightCols(A.cols()) = A;
    for (std::size_t k = 0; k < trials.size(); ++k) {
        const auto at = static_cast<Index>(2 * k);
        const Hump hump{trials[k].f_Hz, trials[k].Q, {linear[at], linear[at + 1]}};
        J.middleCols(at, 2) = shape_slopes(problem.left, problem.window, hump);
        fitted.push_back({hump, 0, 0, 0});
    }
    const auto n_rows = (problem.rows.array() != 0).count();
    const double freedom = std::max<double>(1, static_cast<double>(n_rows - J.cols()));
    const double mean = std::max(1.0, (A * linear - problem.rows).squaredNorm() / freedom);
    const VectorXd size = J.colwise().norm().cwiseMax(1e-300);
    const MatrixXd scaled = J * size.cwiseInverse().asDiagonal();
    const MatrixXd C = mean * size.cwiseInverse().asDiagonal() *
                       (scaled.transpose() * scaled).completeOrthogonalDecomposition().pseudoInverse() *
                       size.cwiseInverse().asDiagonal();
    for (std::size_t k = 0; k < fitted.size(); ++k) {
        FittedFeature& f = fitted[k];
        const auto at = static_cast<Index>(2 * k), a = x.size() + at;
        f.ln_f_error = std::sqrt(C(at, at));
        f.ln_Q_error = std::sqrt(C(at + 1, at + 1));
        const Eigen::Vector2d along = Eigen::Vector2d(f.hump.ohm.real(), f.hump.ohm.imag()) / std::abs(f.hump.ohm);
        f.height_error = std::sqrt(along.dot(C.block<2, 2>(a, a) * along));
    }
    return fitted;
}

} // namespace

std::vector<FittedFeature> fitted_together(const Leftover& left, const std::vector<Trial>& start)
{
    const Window window = common_window(left, start);
    Problem problem{left, window, background_columns(left, window, 3), weighted_rows(left, window), 0};
    problem.n = static_cast<int>(2 * start.size());
    if (problem.values() <
        problem.n + 2 * static_cast<int>(start.size()) + static_cast<int>(problem.background.cols()) + 2)
        return {};
    VectorXd x(problem.n);
    for (std::size_t k = 0; k < start.size(); ++k)
        x.segment<2>(static_cast<Index>(2 * k)) << std::log(start[k].f_Hz), std::log(start[k].Q);
    Eigen::NumericalDiff<Problem, Eigen::Central> with_slopes(problem);
    Eigen::LevenbergMarquardt<Eigen::NumericalDiff<Problem, Eigen::Central>> method(with_slopes);
    method.parameters.maxfev = 60;
    method.parameters.factor = 0.1; // ln f must not jump
    method.minimize(x);
    if (!x.allFinite()) return {};
    return with_errors(problem, x);
}

} // namespace stillwall::solver::internal
