#pragma once
// Search for the resonance that explains most of what a smooth curve leaves.

#include "solver/measured/features.h"

#include <functional>
#include <optional>

namespace stillwall::solver::internal {

/// What is left of a sweep, ready to be searched.
struct Leftover
{
    const std::vector<double>& f_Hz;
    Eigen::VectorXcd e;     ///< sweep − curve [ohm]; without phase the difference of magnitudes, real
    Eigen::VectorXd weight; ///< 1/noise; 0: not used
    Eigen::VectorXcd turn;  ///< without phase: e^{−jφ} of the smooth curve, else empty
    [[nodiscard]] bool has_phase() const { return turn.size() == 0; }
};

/// Points of a window: [first, last).
struct Window
{
    Eigen::Index first = 0, last = 0;
    [[nodiscard]] Eigen::Index size() const { return last - first; }
};

struct Trial
{
    double f_Hz = 0, Q = 0;
};

/// Half of the window about a resonance in ln f: three bandwidths, at most 0.7.
[[nodiscard]] double half_window(double Q);
[[nodiscard]] Window window_of(const std::vector<double>& f_Hz, double f_low, double f_high);
/// At least three points of weight lie within one and a half bandwidths to either side.
[[nodiscard]] bool is_resolved(const Leftover& left, const Trial& trial);

/// Weighted real columns of a resonance (a, then b) over a window; rows Re then Im, or magnitudes.
[[nodiscard]] Eigen::MatrixXd hump_columns(const Leftover& left, const Window& window, const Trial& trial);
/// Weighted columns of a polynomial in ln f, complex (real without phase).
[[nodiscard]] Eigen::MatrixXd background_columns(const Leftover& left, const Window& window, int degree);
[[nodiscard]] Eigen::VectorXd weighted_rows(const Leftover& left, const Window& window);

struct Gain
{
    double chi2 = 0;     ///< fall of the weighted squares, over their mean if that is more than 1
    double per_ohm2 = 0; ///< what the fall would be for 1 ohm, noise alone otherwise
};
/// Of one resonance against a parabola over its window.
[[nodiscard]] std::optional<Gain> gain_of(const Leftover& left, const Trial& trial);

/// The frequencies and Qs tried, and what a gain must exceed.
struct Scan
{
    double f_from = 0, f_to = 0;
    std::vector<double> Qs;
    double threshold = 0;
};
[[nodiscard]] Scan scan_of(const Sweep& sweep, const FeaturesSetting& setting);

/// Every trial of a scan with its gain, kept up to date as the leftover changes.
class Gains
{
public:
    Gains(const Leftover& left, const Scan& scan);

    /// After the leftover has changed about f, by something as narrow as Q.
    void renew(double f_Hz, double Q);
    /// The trial of the largest gain over the threshold that is allowed.
    [[nodiscard]] std::optional<Trial> best(const std::function<bool(const Trial&)>& is_allowed) const;

private:
    const Leftover& left_;
    double threshold_;
    std::vector<Trial> trials_;
    std::vector<double> gains_;
};

/// Share of a trial's gain that is left without the one point that carries most of it: small for pick-up.
[[nodiscard]] double gain_without_one(const Leftover& left, const Trial& trial);

} // namespace stillwall::solver::internal
