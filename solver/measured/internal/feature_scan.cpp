#include "solver/measured/internal/feature_scan.h"

#include "solver/measured/internal/impedance_terms.h"

#include <Eigen/Cholesky>
#include <Eigen/LU>

#include <algorithm>
#include <cmath>

namespace stillwall::solver::internal {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double beside = 1;     // bandwidths to either side in which a point may carry a resonance
constexpr double resolved = 1.5; // … in which three must lie
/// On the threshold: the noise is known to 15 % from the median of 31 points (21 % without phase, half the figures),
/// and its square makes the tails of χ² those of F with about 45 (23) degrees of freedom.
constexpr double noise_doubt = 1.35, noise_doubt_without_phase = 1.7;

} // namespace

double half_window(double Q)
{
    return std::min(3 / Q, 0.7);
}

Window window_of(const std::vector<double>& f_Hz, double f_low, double f_high)
{
    const auto at = [&](auto it) { return static_cast<Index>(it - f_Hz.begin()); };
    return {at(std::lower_bound(f_Hz.begin(), f_Hz.end(), f_low)),
            at(std::upper_bound(f_Hz.begin(), f_Hz.end(), f_high))};
}

bool is_resolved(const Leftover& left, const Trial& trial)
{
    const double reach = std::exp(resolved / trial.Q);
    const Window near = window_of(left.f_Hz, trial.f_Hz / reach, trial.f_Hz * reach);
    return near.size() >= 3 && (left.weight.segment(near.first, near.size()).array() > 0).count() >= 3;
}

MatrixXd hump_columns(const Leftover& left, const Window& window, const Trial& trial)
{
    const Index n = window.size();
    MatrixXd columns((left.has_phase() ? 2 : 1) * n, 2);
    Hump unit{trial.f_Hz, trial.Q, 1};
    for (Index i = 0; i < n; ++i) {
        const Index at = window.first + i;
        const auto slopes = hump_slopes(unit, left.f_Hz[static_cast<std::size_t>(at)]);
        for (Index c = 0; c < 2; ++c) {
            const std::complex<double> value = left.weight[at] * slopes[static_cast<std::size_t>(2 + c)];
            columns(i, c) = left.has_phase() ? value.real() : (value * left.turn[at]).real();
            if (left.has_phase()) columns(n + i, c) = value.imag();
        }
    }
    return columns;
}

MatrixXd background_columns(const Leftover& left, const Window& window, int degree)
{
    const Index n = window.size(), n_terms = degree + 1;
    const bool is_complex = left.has_phase();
    MatrixXd columns = MatrixXd::Zero((is_complex ? 2 : 1) * n, (is_complex ? 2 : 1) * n_terms);
    const double low = std::log(left.f_Hz[static_cast<std::size_t>(window.first)]);
    const double high = std::log(left.f_Hz[static_cast<std::size_t>(window.last - 1)]);
    for (Index i = 0; i < n; ++i) {
        const Index at = window.first + i;
        const double x = 2 * (std::log(left.f_Hz[static_cast<std::size_t>(at)]) - low) / (high - low) - 1;
        double power = left.weight[at];
        for (Index k = 0; k < n_terms; ++k, power *= x) {
            columns(i, k) = power;
            if (is_complex) columns(n + i, n_terms + k) = power;
        }
    }
    return columns;
}

VectorXd weighted_rows(const Leftover& left, const Window& window)
{
    const Index n = window.size();
    const Eigen::VectorXcd e =
        left.e.segment(window.first, n).cwiseProduct(left.weight.segment(window.first, n).cast<std::complex<double>>());
    if (!left.has_phase()) return e.real();
    VectorXd rows(2 * n);
    rows << e.real(), e.imag();
    return rows;
}

std::optional<Gain> gain_of(const Leftover& left, const Trial& trial)
{
    const double reach = std::exp(half_window(trial.Q));
    Window window = window_of(left.f_Hz, trial.f_Hz / reach, trial.f_Hz * reach);
    constexpr Index least = 8;
    while (window.size() < least && window.size() < static_cast<Index>(left.f_Hz.size())) {
        window.first = std::max<Index>(0, window.first - 1);
        window.last = std::min<Index>(static_cast<Index>(left.f_Hz.size()), window.last + 1);
    }
    const MatrixXd B = background_columns(left, window, 2), H = hump_columns(left, window, trial);
    const VectorXd e = weighted_rows(left, window);
    // Without what a parabola takes up.
    const Eigen::LDLT<MatrixXd> normal(B.transpose() * B);
    if (normal.info() != Eigen::Success) return std::nullopt;
    const MatrixXd BtH = B.transpose() * H;
    const VectorXd Bte = B.transpose() * e;
    const Eigen::Matrix2d HH = H.transpose() * H - BtH.transpose() * normal.solve(BtH);
    const Eigen::Vector2d He = H.transpose() * e - BtH.transpose() * normal.solve(Bte);
    const double ee = e.squaredNorm() - Bte.dot(normal.solve(Bte));
    const double determinant = HH.determinant(), trace = HH.trace();
    if (!(determinant > 1e-6 * trace * trace)) return std::nullopt;
    const double fall = He.dot(HH.inverse() * He);
    const auto n_rows = static_cast<double>((e.array() != 0).count()), n_figures = static_cast<double>(B.cols() + 2);
    const double mean = n_rows > n_figures + 2 ? (ee - fall) / (n_rows - n_figures) : 1;
    return Gain{fall / std::max(1.0, mean), 0.5 * trace};
}

Scan scan_of(const Sweep& sweep, const FeaturesSetting& setting)
{
    const std::vector<double>& f_Hz = sweep.f_Hz;
    constexpr double margin = 1.03; // nothing at the very ends
    Scan scan;
    const double low = f_Hz.front() * margin, high = f_Hz.back() / margin;
    scan.f_from = std::max(setting.f_from.value_or(low), low);
    scan.f_to = std::min(setting.f_to.value_or(high), high);
    const Window window = window_of(f_Hz, scan.f_from, scan.f_to);
    double n_tries = 0;
    for (double Q = setting.Q_least; Q < setting.Q_most * 1.01; Q *= std::numbers::sqrt2) {
        scan.Qs.push_back(Q);
        n_tries += std::min(2 * Q * std::log(scan.f_to / scan.f_from), static_cast<double>(window.size()));
    }
    scan.threshold =
        (sweep.has_phase ? noise_doubt : noise_doubt_without_phase) * 2 * std::log(n_tries / setting.false_alarms);
    return scan;
}

Gains::Gains(const Leftover& left, const Scan& scan) : left_(left), threshold_(scan.threshold)
{
    constexpr double step = 0.3; // bandwidths
    for (const double Q : scan.Qs)
        for (double f = scan.f_from; f < scan.f_to; f *= std::exp(step / Q))
            if (is_resolved(left, {f, Q})) trials_.push_back({f, Q});
    gains_.resize(trials_.size());
    for (std::size_t i = 0; i < trials_.size(); ++i) gains_[i] = gain_of(left_, trials_[i]).value_or(Gain{}).chi2;
}

void Gains::renew(double f_Hz, double Q)
{
    constexpr double reach = 8; // bandwidths: beyond, a resonance's skirt bends no more than a parabola
    for (std::size_t i = 0; i < trials_.size(); ++i)
        if (std::abs(std::log(trials_[i].f_Hz / f_Hz)) < half_window(trials_[i].Q) + reach / Q)
            gains_[i] = gain_of(left_, trials_[i]).value_or(Gain{}).chi2;
}

std::optional<Trial> Gains::best(const std::function<bool(const Trial&)>& is_allowed) const
{
    std::optional<std::size_t> best;
    for (std::size_t i = 0; i < trials_.size(); ++i)
        if (gains_[i] > threshold_ && (!best || gains_[i] > gains_[*best]) && is_allowed(trials_[i])) best = i;
    if (!best) return std::nullopt;
    return trials_[*best];
}

double gain_without_one(const Leftover& left, const Trial& trial)
{
    const double all = gain_of(left, trial).value_or(Gain{}).chi2, reach = std::exp(beside / trial.Q);
    const Window near = window_of(left.f_Hz, trial.f_Hz / reach, trial.f_Hz * reach);
    double least = all;
    Leftover one_less = left;
    for (Index i = near.first; i < near.last; ++i) {
        one_less.weight[i] = 0;
        least = std::min(least, gain_of(one_less, trial).value_or(Gain{}).chi2);
        one_less.weight[i] = left.weight[i];
    }
    return all > 0 ? least / all : 0;
}

} // namespace stillwall::solver::internal
