#include "solver/measured/internal/impedance_fit.h"

#include "solver/measured/internal/impedance_terms.h"

#include <unsupported/Eigen/NonLinearOptimization>

namespace stillwall::solver::internal {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr Index n_common = 3, n_per_hump = 4;
constexpr double milli = 1e-3; ///< Le is sought in mH: figures of like size

Index n_figures(const ImpedanceModel& m)
{
    return n_common + n_per_hump * std::ssize(m.humps) + 2 * std::ssize(m.steps);
}

/// Derivatives of Z by the figures (Le in mH), shape (points, figures).
Eigen::MatrixXcd slopes_of(const Sweep& sweep, const ImpedanceModel& m)
{
    Eigen::MatrixXcd J(sweep.size(), n_figures(m));
    for (Index i = 0; i < sweep.size(); ++i) {
        const double f = sweep.f_Hz[static_cast<std::size_t>(i)];
        J(i, 0) = 1;
        J(i, 1) = milli * lossy_coil(f, m.Le_exponent);
        J(i, 2) = m.Le * lossy_coil_slope(f, m.Le_exponent);
        Index at = n_common;
        for (const Hump& h : m.humps)
            for (const std::complex<double>& slope : hump_slopes(h, f)) J(i, at++) = slope;
        for (const CoilStep& step : m.steps)
            for (const std::complex<double>& slope : step_slopes(step, f)) J(i, at++) = slope;
    }
    return J;
}

MatrixXd compared_slopes(const Sweep& sweep, const VectorXd& weight, const ImpedanceModel& model)
{
    Eigen::MatrixXcd J = slopes_of(sweep, model);
    if (!sweep.has_phase) {
        const Eigen::VectorXcd Z = model.at(sweep.f_Hz);
        return (Z.cwiseAbs().cwiseInverse().cwiseProduct(weight).asDiagonal() * (Z.conjugate().asDiagonal() * J))
            .real();
    }
    J = weight.asDiagonal() * J;
    MatrixXd stacked(2 * J.rows(), J.cols());
    stacked << J.real(), J.imag();
    return stacked;
}

/// For Eigen's Levenberg–Marquardt.
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
    const Sweep& sweep;
    const VectorXd& weight;
    const ImpedanceModel& like;
    VectorXd all; ///< held figures keep their values
    std::vector<Index> free;

    [[nodiscard]] int inputs() const { return static_cast<int>(free.size()); }
    [[nodiscard]] int values() const { return static_cast<int>((sweep.has_phase ? 2 : 1) * sweep.size()); }
    [[nodiscard]] ImpedanceModel model(const VectorXd& x) const
    {
        VectorXd p = all;
        p(free) = x;
        p[1] *= milli;
        p[2] = std::clamp(p[2], 0.05, 1.0); // beyond, the coil would give power
        p[1] = std::max(p[1], 0.0);         // passive
        return model_of(p, like);
    }
    int operator()(const VectorXd& x, VectorXd& residual) const
    {
        residual = weighted_residual(sweep, weight, model(x));
        return residual.allFinite() ? 0 : -1;
    }
    int df(const VectorXd& x, MatrixXd& slopes) const
    {
        slopes = compared_slopes(sweep, weight, model(x))(Eigen::all, free);
        return slopes.allFinite() ? 0 : -1;
    }
};

} // namespace

VectorXd figures_of(const ImpedanceModel& m)
{
    VectorXd p(n_figures(m));
    p.head<n_common>() << m.Re, m.Le, m.Le_exponent;
    Index at = n_common;
    for (const Hump& h : m.humps) {
        p.segment<n_per_hump>(at) << std::log(h.f_Hz), std::log(h.Q), h.ohm.real(), h.ohm.imag();
        at += n_per_hump;
    }
    for (const CoilStep& step : m.steps) {
        p.segment<2>(at) << std::log(step.R), std::log(step.L);
        at += 2;
    }
    return p;
}

ImpedanceModel model_of(const VectorXd& p, const ImpedanceModel& like)
{
    ImpedanceModel m{p[0], p[1], p[2], like.humps, like.steps};
    Index at = n_common;
    for (Hump& h : m.humps) {
        h = {std::exp(p[at]), std::exp(p[at + 1]), {p[at + 2], p[at + 3]}};
        at += n_per_hump;
    }
    for (CoilStep& step : m.steps) {
        step = {std::exp(p[at]), std::exp(p[at + 1])};
        at += 2;
    }
    return m;
}

MatrixXd weighted_slopes(const Sweep& sweep, const VectorXd& weight, const ImpedanceModel& model)
{
    MatrixXd J = compared_slopes(sweep, weight, model);
    J.col(1) /= milli; // per henry
    return J;
}

VectorXd weighted_residual(const Sweep& sweep, const VectorXd& weight, const ImpedanceModel& model)
{
    const Eigen::VectorXcd Z = model.at(sweep.f_Hz);
    if (!sweep.has_phase) return (Z.cwiseAbs() - sweep.Z.cwiseAbs()).cwiseProduct(weight);
    VectorXd stacked(2 * Z.size());
    stacked << (Z - sweep.Z).real().cwiseProduct(weight), (Z - sweep.Z).imag().cwiseProduct(weight);
    return stacked;
}

VectorXd distances(const Sweep& sweep, const ImpedanceModel& model)
{
    const Eigen::VectorXcd Z = model.at(sweep.f_Hz);
    return sweep.has_phase ? VectorXd((Z - sweep.Z).cwiseAbs())
                           : VectorXd((Z.cwiseAbs() - sweep.Z.cwiseAbs()).cwiseAbs());
}

ImpedanceModel refined(const Sweep& sweep, const VectorXd& weight, const ImpedanceModel& start, Free free)
{
    Problem problem{sweep, weight, start, figures_of(start), {}};
    problem.all[1] /= milli;
    const Index end_of_humps = n_common + n_per_hump * std::ssize(start.humps);
    for (Index i = 0; i < problem.all.size(); ++i) {
        const bool is_b = i >= n_common && i < end_of_humps && (i - n_common) % n_per_hump == 3;
        if (!(i == 0 && !free.Re) && !(i == 2 && !free.exponent) && !(is_b && !free.b)) problem.free.push_back(i);
    }
    VectorXd x = problem.all(problem.free);
    Eigen::LevenbergMarquardt<Problem> method(problem);
    method.parameters.maxfev = 200;
    method.parameters.ftol = method.parameters.xtol = 1e-12;
    method.minimize(x);
    return problem.model(x);
}

} // namespace stillwall::solver::internal
