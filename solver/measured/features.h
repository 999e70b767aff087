#pragma once
// The wrinkles of a measured impedance: small resonances on a smooth curve, each with its error, and none that is
// noise.

#include "solver/measured/impedance_model.h"

#include <complex>
#include <optional>

namespace stillwall::solver {

/// A small resonance found in a sweep.
struct Feature
{
    Known f_Hz;
    Known Q;
    Known ohm;        ///< height |A|
    double phase = 0; ///< [rad] of A against the smooth curve's own; 0 a bump, π a dip; NaN without measured phase
    double share = 0; ///< |A| / |Z| of the smooth curve there
    double significance = 0; ///< gain in weighted squares over the threshold, > 1
    std::complex<double> A;  ///< [ohm] a + j b, see Hump
};

struct FeaturesSetting
{
    std::optional<double> f_from, f_to; ///< [Hz] where to look, as far as the sweep allows; nothing: all of it
    BoxKind kind = BoxKind::Unknown;
    double false_alarms = 0.01; ///< wanted chance of one false wrinkle in a sweep
    double Q_least = 2, Q_most = 200;
};

/// Something that stood out and was not taken for a resonance.
struct Discarded
{
    double f_Hz = 0, ohm = 0; ///< where it stood out most, and by how much
    std::string reason;       ///< half a sentence
};

struct FeaturesResult
{
    ImpedanceFit fit;                  ///< the smooth curve alone
    std::vector<Feature> features;     ///< ascending in frequency
    std::vector<Discarded> discarded;  ///< ascending in frequency
    double f_from = 0, f_to = 0;       ///< [Hz] where it was looked
    std::vector<std::string> warnings; ///< one sentence each: too coarse for high Q, model does not fit below …
};

/// Fits the smooth curve; then scans what is left for the resonance that explains most, against a background that bends
/// as a parabola over three bandwidths to either side, fits it there, takes it away and scans again; once more with the
/// smooth curve fitted without them. A gain in weighted squares counts when it exceeds 2 ln(N/false_alarms), raised for
/// what is not known of the noise: noise alone gives χ² of two, and the scan makes N = Σ_Q 2 Q ln(f_to/f_from) tries,
/// at most one a point each. It must also stand without any single point. A single point that stands out of its
/// neighbours is left out as pick-up, unless these stand out with it: then it is the top of something sharp.
/// @throws DomainError  as fit_smooth()
[[nodiscard]] FeaturesResult find_features(const Sweep& sweep, const FeaturesSetting& setting = {});

/// Smallest height [ohm] of a wrinkle of this f and Q that is found with a chance of one half in a sweep with this
/// noise and these frequencies.
[[nodiscard]] double detection_height(const Sweep& sweep, const Eigen::VectorXd& noise, double f_Hz, double Q,
                                      const FeaturesSetting& setting = {});

} // namespace stillwall::solver
