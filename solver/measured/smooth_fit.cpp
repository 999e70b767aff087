#include "mesh/cabinet/error.h"
#include "solver/measured/internal/impedance_fit.h"

#include <fmt/format.h>

#include <Eigen/QR>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

namespace stillwall::solver {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr int least_points = 20;

double median(VectorXd x)
{
    const auto middle = x.data() + x.size() / 2;
    std::nth_element(x.data(), middle, x.data() + x.size());
    return *middle;
}

/// Median of |residual|/noise over that of noise alone.
double misfit_of(const Sweep& sweep, const VectorXd& noise, const ImpedanceModel& model)
{
    const double alone = sweep.has_phase ? std::sqrt(2 * std::log(2.0)) : 0.6745; // medians of Rayleigh and of |normal|
    return median(internal::distances(sweep, model).cwiseQuotient(noise)) / alone;
}

/// Weights of Student's t with 4 degrees of freedom at the scale of the misfit.
VectorXd weights_of(const Sweep& sweep, const VectorXd& noise, const ImpedanceModel& model)
{
    constexpr double freedom = 4;
    const double scale = std::max(1.0, misfit_of(sweep, noise, model));
    const VectorXd off = internal::distances(sweep, model).cwiseQuotient(scale * noise);
    const double n_components = sweep.has_phase ? 2 : 1;
    return (1 + off.array().square() / (freedom * n_components)).rsqrt() / noise.array();
}

/// Covariance of the free figures, scaled up by a misfit.
MatrixXd covariance_of(const Sweep& sweep, const VectorXd& weight, const ImpedanceModel& model, internal::Free free,
                       double misfit)
{
    const MatrixXd J = internal::weighted_slopes(sweep, weight, model);
    std::vector<Index> used;
    for (Index i = 0; i < J.cols(); ++i) {
        const bool is_b = i >= 3 && i < 3 + 4 * std::ssize(model.humps) && (i - 3) % 4 == 3;
        if (!(i == 0 && !free.Re) && !(i == 2 && !free.exponent) && !(is_b && !free.b)) used.push_back(i);
    }
    const MatrixXd Ju = J(Eigen::all, used);
    // Columns of very different size: scaled before they are inverted.
    const VectorXd size = Ju.colwise().norm().cwiseMax(1e-300);
    const MatrixXd scaled = Ju * size.cwiseInverse().asDiagonal();
    const MatrixXd inverse = (scaled.transpose() * scaled).completeOrthogonalDecomposition().pseudoInverse();
    MatrixXd covariance = MatrixXd::Zero(J.cols(), J.cols());
    const double worse = std::max(1.0, misfit);
    covariance(used, used) =
        worse * worse * size.cwiseInverse().asDiagonal() * inverse * size.cwiseInverse().asDiagonal();
    return covariance;
}

ImpedanceFit fitted(const Sweep& sweep, const VectorXd& noise, int n_humps, bool with_b, std::optional<double> Re)
{
    constexpr int n_rounds = 8;
    internal::Free free{true, with_b, !Re};
    ImpedanceModel model = internal::scanned_start(sweep, n_humps);
    if (Re) model.Re = *Re;
    // First in relative terms: a start far off would make outliers of the hump.
    model = internal::refined(sweep, sweep.Z.cwiseAbs().cwiseInverse(), model, {false, free.b, free.Re});
    model = internal::refined(sweep, sweep.Z.cwiseAbs().cwiseInverse(), model, free);
    VectorXd weight;
    for (int round = 0; round < n_rounds; ++round) {
        weight = weights_of(sweep, noise, model);
        model = internal::refined(sweep, weight, model, free);
        if (std::abs(model.Le_exponent - 0.7) > 0.45) { // no or hardly any inductance to tell the exponent from
            model.Le_exponent = 1;
            free.exponent = false;
        }
    }
    std::sort(model.humps.begin(), model.humps.end(), [](const Hump& a, const Hump& b) { return a.f_Hz < b.f_Hz; });
    const double misfit = misfit_of(sweep, noise, model);
    return {n_humps == 1 ? BoxKind::OneHump : BoxKind::TwoHumps, model,
            covariance_of(sweep, weight, model, free, misfit), noise, misfit};
}

/// Where a power law leaves more than noise, a ladder that leaves clearly less: eddy currents in iron, in a copper cap
/// and in a ring each have their own corner.
ImpedanceFit with_ladder(const Sweep& sweep, const ImpedanceFit& fit, internal::Free free)
{
    constexpr double good = 1.3, better = 0.8; // misfits
    constexpr int n_rounds = 8;
    const double f_top = sweep.f_Hz.back();
    if (fit.misfit < good || f_top < 1500 || !(fit.model.Le > 0)) return fit;
    ImpedanceModel model = fit.model;
    model.Le_exponent = 1;
    model.Le = 0.4 * std::abs(fit.model.coil(f_top)) / (2 * std::numbers::pi * f_top);
    for (const double corner : {0.02 * f_top, 0.2 * f_top}) {
        const double R = std::abs(fit.model.coil(corner));
        model.steps.push_back({R, R / (2 * std::numbers::pi * corner)});
    }
    free.exponent = false;
    VectorXd weight;
    for (int round = 0; round < n_rounds; ++round) {
        weight = weights_of(sweep, fit.noise, model);
        model = internal::refined(sweep, weight, model, free);
    }
    std::sort(model.steps.begin(), model.steps.end(),
              [](const CoilStep& a, const CoilStep& b) { return a.R / a.L < b.R / b.L; });
    const double misfit = misfit_of(sweep, fit.noise, model);
    if (!(misfit < better * fit.misfit)) return fit;
    return {fit.kind, model, covariance_of(sweep, weight, model, free, misfit), fit.noise, misfit};
}

/// Leaks make a closed box of third order: its real pole is a resonance with Q under a half, below the hump.
ImpedanceFit with_slow_term(const Sweep& sweep, const ImpedanceFit& fit, bool is_Re_free)
{
    constexpr double slow = 0.7, better = 0.9; // Q; misfits
    ImpedanceModel start = fit.model;
    start.humps.push_back({0.3 * start.humps[0].f_Hz, 0.4, {0.02 * start.Re, 0}});
    const internal::JointFit joint =
        internal::fit_all(sweep, fit.noise, start, {fit.covariance(2, 2) > 0, true, is_Re_free});
    if (joint.model.humps.back().Q > slow || joint.misfit > better * fit.misfit) return fit;
    return {BoxKind::OneHump, joint.model, joint.covariance, fit.noise, joint.misfit};
}

/// A driver without a box has b = 0; leaks and filling of a closed box bring some.
ImpedanceFit one_hump(const Sweep& sweep, const VectorXd& noise, std::optional<double> Re)
{
    constexpr double good = 1.3, better = 0.8; // misfits
    ImpedanceFit plain = with_ladder(sweep, fitted(sweep, noise, 1, false, Re), {true, false, !Re});
    if (plain.misfit < good) return plain;
    ImpedanceFit general = with_ladder(sweep, fitted(sweep, noise, 1, true, Re), {true, true, !Re});
    if (general.misfit > better * plain.misfit) return plain;
    return with_slow_term(sweep, general, !Re);
}

} // namespace

internal::JointFit internal::fit_all(const Sweep& sweep, const VectorXd& noise, const ImpedanceModel& start, Free free)
{
    constexpr int n_rounds = 3;
    ImpedanceModel model = start;
    VectorXd weight;
    for (int round = 0; round < n_rounds; ++round) {
        weight = weights_of(sweep, noise, model);
        model = refined(sweep, weight, model, free);
    }
    const double misfit = misfit_of(sweep, noise, model);
    return {model, covariance_of(sweep, weight, model, free, misfit), misfit};
}

namespace {

ImpedanceFit one_or_two(const Sweep& sweep, const VectorXd& noise, BoxKind kind, std::optional<double> Re)
{
    const auto two_humps = [&] { return with_ladder(sweep, fitted(sweep, noise, 2, true, Re), {true, true, !Re}); };
    if (kind == BoxKind::TwoHumps) return two_humps();
    const ImpedanceFit one = one_hump(sweep, noise, Re);
    if (kind == BoxKind::OneHump) return one;
    try {
        const ImpedanceFit two = two_humps();
        // Misfit; of Re; Q: what a coil adds is broader.
        constexpr double clearly_better = 0.7, high_enough = 0.3, sharp_enough = 0.7;
        const bool is_second = std::all_of(two.model.humps.begin(), two.model.humps.end(), [&](const Hump& h) {
            return std::abs(h.ohm) > high_enough * two.model.Re && h.Q < 40 && h.Q > sharp_enough;
        });
        if (is_second && two.misfit < clearly_better * one.misfit) return two;
    } catch (const DomainError&) { // one hump it is
    }
    return one;
}

} // namespace

ImpedanceFit fit_smooth(const Sweep& sweep, BoxKind kind, std::optional<double> Re)
{
    if (sweep.size() < least_points)
        throw DomainError(fmt::format("{} points are too few: at least {} are needed", sweep.size(), least_points));
    const double least = sweep.Z.cwiseAbs().minCoeff();
    constexpr double scatter = 1.1; // of single points
    if (Re && !(*Re > 0 && *Re < scatter * least))
        throw DomainError(
            fmt::format("{:.2f} ohm by the meter, but |Z| falls to {:.2f} ohm: a resistance cannot lie above "
                        "that; was the meter's own lead taken off?",
                        *Re, least));
    return one_or_two(sweep, sweep_noise(sweep), kind, Re);
}

} // namespace stillwall::solver
