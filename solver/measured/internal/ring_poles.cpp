#include "solver/measured/internal/ring_poles.h"

#include <Eigen/Cholesky>
#include <Eigen/QR>

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <numeric>

namespace stillwall::solver::internal {
namespace {

using Complex = std::complex<double>;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

/// 1, z, z², …
Eigen::VectorXcd powers(Complex z, Index n)
{
    Eigen::VectorXcd values(n);
    Complex value = 1;
    for (Complex& v : values) {
        v = value;
        value *= z;
    }
    return values;
}

/// e^{−αt} e^{−jωt}.
Eigen::VectorXcd decaying_filter(Index n, double f_Hz, double alpha, double rate_Hz)
{
    return powers(std::exp(Complex(-alpha, -2 * std::numbers::pi * f_Hz) / rate_Hz), n);
}

/// Mean square between two times.
double power_between(const VectorXd& x, double from_s, double to_s, double rate_Hz)
{
    const auto at = [&](double s) { return std::clamp<Index>(static_cast<Index>(s * rate_Hz), 0, x.size()); };
    const Index n = at(to_s) - at(from_s);
    return n > 0 ? x.segment(at(from_s), n).squaredNorm() / static_cast<double>(n) : 0;
}

/// Mean of the tail's power about a pole: from the lower quarter, which the few places where something rings do not
/// lift (of an exponential distribution 0.288 of the mean).
double tail_about(const std::vector<Amplitudes>& fits, const Pole& pole, double rate_Hz)
{
    constexpr double reach = 0.25, quarter = 0.288, step = 1.5; // of f; bandwidths
    const double alpha = alpha_of(pole), width = std::max(alpha / std::numbers::pi, 0.01 * pole.f_Hz);
    std::vector<double> powers;
    for (double f = (1 - reach) * pole.f_Hz; f < (1 + reach) * pole.f_Hz; f += step * width) {
        double sum = 0;
        for (const Amplitudes& fit : fits)
            sum += std::norm(decaying_filter(fit.left.size(), f, alpha, rate_Hz).cwiseProduct(fit.left).sum());
        powers.push_back(sum);
    }
    const auto at = powers.begin() + static_cast<std::ptrdiff_t>(powers.size() / 4);
    std::nth_element(powers.begin(), at, powers.end());
    return *at / quarter;
}

/// Whether what is left dies away, and how fast.
Tail tail_in(const std::vector<Amplitudes>& fits, double rate_Hz)
{
    constexpr double early_s = 0.1, least_fall = 2; // 3 dB: noise alone is even to a few per cent
    double early = 0, late = 0, middle = 0;
    for (const Amplitudes& fit : fits) {
        const double seconds = static_cast<double>(fit.left.size()) / rate_Hz;
        early += power_between(fit.left, 0, early_s, rate_Hz);
        middle += power_between(fit.left, early_s, 2 * early_s, rate_Hz);
        late += power_between(fit.left, std::max(early_s, 0.85 * seconds), seconds, rate_Hz);
    }
    Tail tail;
    tail.is_there = early > least_fall * late && late > 0;
    const double fall = std::max(early - late, 1e-300) / std::max(middle - late, 1e-3 * early);
    if (tail.is_there) tail.T60_s = early_s * 60 / (10 * std::log10(std::max(fall, 1.01)));
    return tail;
}

/// One ring's least squares by any subset of its poles, through the filter of each.
class Unexplained
{
public:
    Unexplained(const VectorXd& ring, const std::vector<Pole>& poles, double rate_Hz)
    {
        const MatrixXd columns = pole_columns(ring.size(), poles, rate_Hz);
        gram_ = columns.transpose() * columns;
        right_ = columns.transpose() * ring;
        filtered_columns_.resize(std::ssize(poles), columns.cols());
        filtered_ring_.resize(std::ssize(poles));
        for (Index p = 0; p < std::ssize(poles); ++p) {
            const Pole& pole = poles[static_cast<std::size_t>(p)];
            const Eigen::VectorXcd filter = decaying_filter(ring.size(), pole.f_Hz, alpha_of(pole), rate_Hz);
            filtered_columns_.row(p) = filter.transpose() * columns;
            filtered_ring_[p] = filter.cwiseProduct(ring).sum();
        }
    }
    [[nodiscard]] double whole(Index p) const { return std::norm(filtered_ring_[p]); }
    /// Power at kept[k] that the others of `kept` leave.
    [[nodiscard]] double without(const std::vector<Index>& kept, std::size_t k) const
    {
        std::vector<Index> columns;
        for (std::size_t i = 0; i < kept.size(); ++i)
            if (i != k) columns.insert(columns.end(), {2 * kept[i], 2 * kept[i] + 1});
        if (columns.empty()) return whole(kept[k]);
        const VectorXd x = gram_(columns, columns).ldlt().solve(right_(columns));
        const Complex explained = filtered_columns_(kept[k], columns) * x;
        return std::norm(filtered_ring_[kept[k]] - explained);
    }

private:
    MatrixXd gram_;
    VectorXd right_;
    Eigen::MatrixXcd filtered_columns_;
    Eigen::VectorXcd filtered_ring_;
};

} // namespace

double alpha_of(const Pole& pole)
{
    return std::numbers::pi * pole.f_Hz / pole.Q;
}

MatrixXd pole_columns(Index n, const std::vector<Pole>& poles, double rate_Hz)
{
    MatrixXd columns(n, 2 * std::ssize(poles));
    for (std::size_t p = 0; p < poles.size(); ++p) {
        const double w = 2 * std::numbers::pi * poles[p].f_Hz, decay = alpha_of(poles[p]);
        const Complex step = std::exp(Complex(-decay, std::sqrt(std::max(0.0, w * w - decay * decay))) / rate_Hz);
        const Eigen::VectorXcd values = powers(step, n);
        columns.col(2 * static_cast<Index>(p)) = values.real();
        columns.col(2 * static_cast<Index>(p) + 1) = values.imag();
    }
    return columns;
}

Amplitudes amplitudes_of(const VectorXd& ring, const std::vector<Pole>& poles, double rate_Hz)
{
    const MatrixXd columns = pole_columns(ring.size(), poles, rate_Hz);
    Amplitudes found;
    if (poles.empty()) {
        found.left = ring;
        return found;
    }
    found.x = columns.colPivHouseholderQr().solve(ring);
    found.left = ring - columns * found.x;
    found.freedom =
        std::max<double>(1, static_cast<double>(ring.size() - columns.cols())) / static_cast<double>(ring.size());
    found.size.resize(std::ssize(poles));
    for (Index p = 0; p < found.size.size(); ++p) found.size[p] = std::hypot(found.x[2 * p], found.x[2 * p + 1]);
    return found;
}

double Amplitudes::noise_during(const Pole& pole, double rate_Hz) const
{
    const double step = std::exp(-2 * alpha_of(pole) / rate_Hz);
    double weight = 1, weights = 0, squares = 0;
    for (const double e : left) {
        squares += weight * e * e;
        weights += weight;
        weight *= step;
    }
    return std::sqrt(squares / weights / freedom);
}

Tail tail_of(const std::vector<VectorXd>& rings, const std::vector<Amplitudes>& fits, const std::vector<Pole>& poles,
             double rate_Hz, double least)
{
    Tail tail = tail_in(fits, rate_Hz);
    tail.is_tail.assign(poles.size(), false);
    if (!tail.is_there) return tail;
    std::vector<Unexplained> parts;
    for (const VectorXd& ring : rings) parts.emplace_back(ring, poles, rate_Hz);
    // Poles fitted to a tail take about half of it along.
    constexpr double taken_along = 2;
    double left = 0, all = 0;
    for (std::size_t r = 0; r < rings.size(); ++r) {
        left += fits[r].left.squaredNorm();
        all += rings[r].squaredNorm();
    }
    VectorXd floor(std::ssize(poles));
    for (std::size_t p = 0; p < poles.size(); ++p) {
        double sound = 0;
        for (const Unexplained& part : parts) sound += part.whole(static_cast<Index>(p));
        floor[static_cast<Index>(p)] =
            taken_along * std::max({tail_about(fits, poles[p], rate_Hz), left / all * sound, 1e-300});
    }
    std::vector<Index> kept(poles.size());
    std::iota(kept.begin(), kept.end(), 0);
    tail.over_tail.assign(poles.size(), 0);
    while (!kept.empty()) {
        std::size_t weakest = 0;
        for (std::size_t k = 0; k < kept.size(); ++k) {
            double own = 0;
            for (const Unexplained& part : parts) own += part.without(kept, k);
            tail.over_tail[static_cast<std::size_t>(kept[k])] = own / floor[kept[k]];
            if (own / floor[kept[k]] < tail.over_tail[static_cast<std::size_t>(kept[weakest])]) weakest = k;
        }
        if (!(tail.over_tail[static_cast<std::size_t>(kept[weakest])] < least)) break;
        tail.is_tail[static_cast<std::size_t>(kept[weakest])] = true;
        kept.erase(kept.begin() + static_cast<std::ptrdiff_t>(weakest));
    }
    return tail;
}

} // namespace stillwall::solver::internal
