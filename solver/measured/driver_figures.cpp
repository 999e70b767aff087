#include "solver/measured/driver_figures.h"

#include "mesh/cabinet/air.h"
#include "mesh/cabinet/error.h"
#include "solver/measured/internal/impedance_fit.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>

namespace stillwall::solver {
namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr double pi = std::numbers::pi;

/// A function of figures that are known with a covariance: central differences of a thousandth of each error.
Known propagated(const VectorXd& x, const Eigen::MatrixXd& covariance, const std::function<double(const VectorXd&)>& f)
{
    VectorXd slope = VectorXd::Zero(x.size());
    for (Index i = 0; i < x.size(); ++i) {
        const double step = 1e-3 * std::sqrt(covariance(i, i));
        if (!(step > 0)) continue;
        VectorXd up = x, down = x;
        up[i] += step;
        down[i] -= step;
        slope[i] = (f(up) - f(down)) / (2 * step);
    }
    return {f(x), std::sqrt(std::max(0.0, slope.dot(covariance * slope)))};
}

/// The same for independent figures.
Known combined(const std::vector<Known>& figures, const std::function<double(const VectorXd&)>& f)
{
    VectorXd x(static_cast<Index>(figures.size())), variance(x.size());
    for (Index i = 0; i < x.size(); ++i) {
        x[i] = figures[static_cast<std::size_t>(i)].value;
        variance[i] = std::pow(figures[static_cast<std::size_t>(i)].error, 2);
    }
    return propagated(x, variance.asDiagonal(), f);
}

/// Order of the fit's figures: Re, Le, n, ln f, ln Q, a, b.
enum At
{
    Re = 0,
    LnF = 3,
    LnQ = 4,
    A = 5
};

void note_fit(const Sweep& sweep, const ImpedanceFit& fit, DriverFigures& d)
{
    d.misfit = fit.misfit;
    const Eigen::VectorXcd Z = fit.model.at(sweep.f_Hz);
    for (Index i = 0; i < sweep.size(); ++i) {
        const double off = sweep.has_phase ? std::abs(Z[i] - sweep.Z[i]) / std::abs(sweep.Z[i])
                                           : std::abs(std::abs(Z[i]) / std::abs(sweep.Z[i]) - 1);
        if (off > d.largest_error) {
            d.largest_error = off;
            d.largest_error_Hz = sweep.f_Hz[static_cast<std::size_t>(i)];
        }
    }
    constexpr double poor = 3; // times the noise
    if (fit.misfit > poor)
        d.warnings.push_back("the curve of a single driver does not fit: a box that leaks, wrinkles, or a coil with "
                             "more than one loss; the "
                             "errors are widened by that");
    if (sweep.f_Hz.front() > 0.7 * fit.model.humps[0].f_Hz || sweep.f_Hz.back() < 5 * fit.model.humps[0].f_Hz)
        d.warnings.push_back("the sweep should reach from half the resonance to ten times it");
    if (!sweep.has_phase) d.warnings.push_back("without phase the coil's part and Re are less sure");
}

double relative(const Known& k)
{
    return k.error / k.value;
}

MovingFigures moving_of(const Known& Mms, const DriverFigures& d, std::optional<double> Sd)
{
    MovingFigures m;
    m.Mms = Mms;
    const auto w = [](const VectorXd& x) { return 2 * pi * x[1]; };
    m.Cms = combined({Mms, d.fs}, [&](const VectorXd& x) { return 1 / (w(x) * w(x) * x[0]); });
    m.Rms = combined({Mms, d.fs, d.Qms}, [&](const VectorXd& x) { return w(x) * x[0] / x[2]; });
    m.Bl = combined({Mms, d.fs, d.Qes, d.Re}, [&](const VectorXd& x) { return std::sqrt(w(x) * x[0] * x[3] / x[2]); });
    const Air air;
    if (Sd) m.Vas = {air.bulk_modulus() * *Sd * *Sd * m.Cms.value, 0};
    if (m.Vas) m.Vas->error = m.Vas->value * relative(m.Cms);
    return m;
}

} // namespace

DriverFigures driver_figures(const Sweep& sweep, std::optional<double> Re_by_meter)
{
    const ImpedanceFit fit = fit_smooth(sweep, BoxKind::Unknown, Re_by_meter);
    if (fit.kind == BoxKind::TwoHumps)
        throw DomainError("two humps: this driver is in a vented box; sweep it in free air or in a closed box");
    constexpr double scatter = 1.1; // of single points
    const double least = sweep.Z.cwiseAbs().minCoeff();
    if (!(fit.model.Re > 0 && fit.model.Re < scatter * least))
        throw DomainError(
            fmt::format("the coil's resistance does not follow from this sweep (the fit says {:.2f} ohm, |Z| falls to "
                        "{:.2f} ohm): sweep from a third of the resonance to 20 kHz, or measure it with a meter (--re)",
                        fit.model.Re, least));
    const VectorXd x = internal::figures_of(fit.model);
    const auto figure = [&](const std::function<double(const VectorXd&)>& f) {
        return propagated(x, fit.covariance, f);
    };
    const auto coil = [&](const VectorXd& p, double f) { return internal::model_of(p, fit.model).coil(f); };
    DriverFigures d;
    d.Re = figure([](const VectorXd& p) { return p[Re]; });
    d.fs = figure([](const VectorXd& p) { return std::exp(p[LnF]); });
    d.Zmax = figure([&](const VectorXd& p) {
        ImpedanceModel m = internal::model_of(p, fit.model);
        m.humps.resize(1);
        return std::abs(m.at(std::exp(p[LnF])));
    });
    d.Qms = figure([](const VectorXd& p) { return std::exp(p[LnQ]); });
    d.Qes = figure([](const VectorXd& p) { return std::exp(p[LnQ]) * p[Re] / p[A]; });
    d.Qts = figure([](const VectorXd& p) { return std::exp(p[LnQ]) * p[Re] / (p[Re] + p[A]); });
    // Of a ladder the power law that touches it at 1 kHz: for a power law these are its own figures.
    d.Le = figure([&](const VectorXd& p) { return coil(p, 1000).imag() / (2 * pi * 1000); });
    d.Le_exponent = figure([&](const VectorXd& p) {
        constexpr double step = 1e-3;
        return std::log(std::abs(coil(p, 1000 * (1 + step)) / coil(p, 1000 * (1 - step)))) /
               std::log((1 + step) / (1 - step));
    });
    note_fit(sweep, fit, d);
    return d;
}

MovingFigures figures_by_added_mass(const DriverFigures& bare, const DriverFigures& loaded, Known mass,
                                    std::optional<double> Sd)
{
    constexpr double least_fall = 0.03;
    if (!(loaded.fs.value < (1 - least_fall) * bare.fs.value))
        throw DomainError(fmt::format(
            "with the mass added the resonance is {:.1f} Hz, without it {:.1f} Hz: it must fall by 3 % at least; "
            "check which sweep is which, or add more",
            loaded.fs.value, bare.fs.value));
    const Known Mms =
        combined({mass, bare.fs, loaded.fs}, [](const VectorXd& x) { return x[0] / (std::pow(x[1] / x[2], 2) - 1); });
    return moving_of(Mms, bare, Sd);
}

BoxFigures figures_by_box(const DriverFigures& free_air, const DriverFigures& in_box, Known volume,
                          std::optional<double> Sd)
{
    if (!(in_box.fs.value > 1.03 * free_air.fs.value))
        throw DomainError(fmt::format(
            "in the box the resonance is {:.1f} Hz, in free air {:.1f} Hz: it must rise by 3 % at least; is the box "
            "closed, and which sweep is which?",
            in_box.fs.value, free_air.fs.value));
    BoxFigures box;
    box.Vas = combined({volume, in_box.fs, in_box.Qes, free_air.fs, free_air.Qes},
                       [](const VectorXd& x) { return x[0] * (x[1] * x[2] / (x[3] * x[4]) - 1); });
    box.Vas_by_frequency = combined({volume, in_box.fs, free_air.fs},
                                    [](const VectorXd& x) { return x[0] * (std::pow(x[1] / x[2], 2) - 1); });
    if (Sd) {
        const Air air;
        const double k = air.bulk_modulus() * *Sd * *Sd;
        const Known Mms = combined({box.Vas, free_air.fs},
                                   [&](const VectorXd& x) { return k / (x[0] * std::pow(2 * pi * x[1], 2)); });
        box.moving = moving_of(Mms, free_air, Sd);
    }
    return box;
}

PairMatch match_pair(const Sweep& first, const DriverFigures& a, const Sweep& second, const DriverFigures& b)
{
    const auto ratio = [](const Known& x, const Known& y) {
        return combined({x, y}, [](const VectorXd& v) { return v[1] / v[0] - 1; });
    };
    PairMatch match{ratio(a.fs, b.fs), ratio(a.Zmax, b.Zmax), ratio(a.Re, b.Re), ratio(a.Qts, b.Qts), 0, 0};
    for (std::size_t i = 0; i < first.f_Hz.size(); ++i) {
        const double f = first.f_Hz[i];
        if (f < second.f_Hz.front() || f > second.f_Hz.back()) continue;
        const auto above = std::upper_bound(second.f_Hz.begin() + 1, second.f_Hz.end() - 1, f);
        const auto k = static_cast<Index>(above - second.f_Hz.begin());
        const double t = (f - *(above - 1)) / (*above - *(above - 1));
        const double other = (1 - t) * std::abs(second.Z[k - 1]) + t * std::abs(second.Z[k]);
        const double off = other / std::abs(first.Z[static_cast<Index>(i)]) - 1;
        if (std::abs(off) > std::abs(match.largest_curve)) match.largest_curve = off, match.largest_curve_Hz = f;
    }
    return match;
}

} // namespace stillwall::solver
