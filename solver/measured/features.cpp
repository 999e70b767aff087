#include "solver/measured/features.h"

#include "solver/measured/internal/feature_fit.h"
#include "solver/measured/internal/impedance_fit.h"
#include "solver/measured/internal/scatter.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::solver {
namespace {

using Eigen::Index;
using Eigen::VectorXcd;
using Eigen::VectorXd;
using internal::FittedFeature;
using internal::Leftover;
using internal::Scan;
using internal::Trial;

constexpr std::size_t most_features = 40;
constexpr double least_without_one = 0.3; // of the gain: a resonance of three points keeps a third without its top

/// How far a point of what a curve leaves lies off the line through the third to either side of a place: neighbours
/// that belong to one resonance stand off it together.
double stands_out(const VectorXcd& left, Index place, Index at)
{
    const std::complex<double> low = left[place - 3], high = left[place + 3];
    return std::abs(left[at] - low - (high - low) * (static_cast<double>(at - place + 3) / 6));
}

/// 1/noise, 0 at single points that stand out of their neighbours: pick-up, not a resonance.
/// @param left  sweep − curve
VectorXd weights_of(const Sweep& sweep, const VectorXd& noise, const VectorXcd& left)
{
    constexpr double far_out = 5.5, over_neighbours = 1.3;
    constexpr double with_it = 0.2, beyond_noise = 4; // a neighbour belongs to it: of the top's height; of the noise
    const internal::Scatter scatter = internal::scatter_of(sweep);
    const VectorXd off = scatter.left.cwiseAbs();
    VectorXd weight = noise.cwiseInverse();
    for (Index i = 3; i + 3 < sweep.size(); ++i) {
        if (!(off[i] > far_out * noise[i] * scatter.gain[i] &&
              off[i] > over_neighbours * std::max(off[i - 1], off[i + 1])))
            continue;
        const double least = std::max(with_it * stands_out(left, i, i), beyond_noise * noise[i]);
        if (std::min(stands_out(left, i, i - 1), stands_out(left, i, i + 1)) < least) weight[i] = 0;
    }
    return weight;
}

struct Found
{
    FittedFeature fitted;
    double significance = 0;
};

/// The search in one sweep with one smooth curve.
class Search
{
public:
    Search(const Sweep& sweep, const ImpedanceFit& fit, const Scan& scan, const FeaturesSetting& setting)
        : sweep_(sweep), smooth_(fit.model.at(sweep.f_Hz)), humps_(fit.model.humps), scan_(scan),
          setting_(setting), left_{sweep.f_Hz, {}, {}, {}}
    {
        left_.weight = weights_of(sweep, fit.noise, without({}));
        if (!sweep.has_phase)
            left_.turn = smooth_.cwiseQuotient(smooth_.cwiseAbs().cast<std::complex<double>>()).conjugate();
    }

    std::vector<Found> run()
    {
        left_.e = without({});
        internal::Gains gains(left_, scan_);
        for (int tries = 0; tries < 3 * static_cast<int>(most_features) && found_.size() < most_features; ++tries) {
            const auto trial = gains.best([&](const Trial& t) { return is_allowed(t); });
            if (!trial) break;
            const bool is_added = internal::gain_without_one(left_, *trial) > least_without_one && add(*trial);
            left_.e = without({});
            if (is_added)
                gains.renew(trial->f_Hz, std::min(trial->Q, found_.back().fitted.hump.Q));
            else
                refused_.push_back(*trial);
        }
        return found_;
    }

    /// Single points left out, and trials that gained enough and are not explained by what was found.
    [[nodiscard]] std::vector<Discarded> discarded() const
    {
        std::vector<Discarded> all;
        const VectorXcd left = without({});
        for (Index i = 3; i + 3 < sweep_.size(); ++i) {
            const double f = sweep_.f_Hz[static_cast<std::size_t>(i)];
            constexpr double worth_telling = 0.02; // of |Z|: noise that is far out is not
            if (left_.weight[i] > 0 || f < scan_.f_from || f > scan_.f_to ||
                stands_out(left, i, i) < worth_telling * std::abs(smooth_[i]))
                continue;
            all.push_back(
                {f, stands_out(left, i, i), "a single point, its neighbours do not stand out with it: pick-up?"});
        }
        for (const Trial& t : refused_) {
            const bool is_told = std::any_of(all.begin(), all.end(), [&](const Discarded& d) {
                return std::abs(std::log(d.f_Hz / t.f_Hz)) < 2 / t.Q;
            });
            if (is_told || !stands(t)) continue; // the refused come by falling gain: the first of a heap tells it
            const auto gain = internal::gain_of(left_, t);
            all.push_back({t.f_Hz, std::sqrt(gain->chi2 / gain->per_ohm2), reason_of(t)});
        }
        return all;
    }

    /// The sweep without its features, for the smooth curve.
    [[nodiscard]] Sweep cleared() const
    {
        Sweep clear = sweep_;
        clear.Z = sweep_.has_phase ? VectorXcd(smooth_ + without({}))
                                   : VectorXcd((smooth_.cwiseAbs() + without({}).real()).cast<std::complex<double>>());
        return clear;
    }

private:
    /// Sum of the features but those of a group.
    [[nodiscard]] VectorXcd features_but(const std::vector<std::size_t>& left_out) const
    {
        VectorXcd sum = VectorXcd::Zero(sweep_.size());
        for (std::size_t k = 0; k < found_.size(); ++k) {
            if (std::find(left_out.begin(), left_out.end(), k) != left_out.end()) continue;
            for (Index i = 0; i < sum.size(); ++i)
                sum[i] += found_[k].fitted.hump.at(sweep_.f_Hz[static_cast<std::size_t>(i)]);
        }
        return sum;
    }

    /// Sweep − (smooth curve + features but those of a group).
    [[nodiscard]] VectorXcd without(const std::vector<std::size_t>& group) const
    {
        const VectorXcd curve = smooth_ + features_but(group);
        if (sweep_.has_phase) return sweep_.Z - curve;
        return (sweep_.Z.cwiseAbs() - curve.cwiseAbs()).cast<std::complex<double>>();
    }

    [[nodiscard]] bool is_allowed(const Trial& t) const
    {
        for (const Trial& r : refused_)
            if (std::abs(std::log(t.f_Hz / r.f_Hz)) < 0.5 / std::min(t.Q, r.Q) && t.Q < 2 * r.Q && r.Q < 2 * t.Q)
                return false;
        return is_off_humps(t);
    }

    /// A refused trial that still gains, far from whatever was found.
    [[nodiscard]] bool stands(const Trial& t) const
    {
        const auto gain = internal::gain_of(left_, t);
        return gain && gain->chi2 > scan_.threshold && std::none_of(found_.begin(), found_.end(), [&](const Found& f) {
                   const Hump& h = f.fitted.hump;
                   return std::abs(std::log(h.f_Hz / t.f_Hz)) < 1 / h.Q + 1 / t.Q;
               });
    }

    [[nodiscard]] std::string reason_of(const Trial& t) const
    {
        if (!(internal::gain_without_one(left_, t) > least_without_one)) return "it hangs on one point: pick-up?";
        if (!is_off_humps(t)) return "it sits on the driver's own hump";
        return "no resonance fits it well enough for a frequency and a Q: a finer sweep would tell";
    }

    /// What sits on a main hump and is not much sharper is the hump's own shape.
    [[nodiscard]] bool is_off_humps(const Trial& t) const
    {
        return std::none_of(humps_.begin(), humps_.end(), [&](const Hump& h) {
            return std::abs(std::log(t.f_Hz / h.f_Hz)) < 1.5 / h.Q && t.Q < 3 * h.Q;
        });
    }

    /// Known well enough to be called a resonance.
    [[nodiscard]] bool is_good(const FittedFeature& f) const
    {
        constexpr double sure = 3; // standard deviations of the height
        const Trial t{f.hump.f_Hz, f.hump.Q};
        return t.Q >= setting_.Q_least && t.Q <= 1.2 * setting_.Q_most && t.f_Hz > scan_.f_from &&
               t.f_Hz < scan_.f_to && internal::is_resolved(left_, t) && is_off_humps(t) &&
               is_clear_of_smooth(f.hump) && f.ln_Q_error < 0.7 && f.ln_f_error < 0.3 / t.Q &&
               std::abs(f.hump.ohm) > sure * f.height_error;
    }

    /// What is broad must stand out more: the smooth model's own shape is good to 0.7 % of |Z| over a width of a
    /// quarter (radiation, filling and eddy currents bend the true curve by that).
    [[nodiscard]] bool is_clear_of_smooth(const Hump& h) const
    {
        constexpr double share = 0.007, at_Q = 4;
        const auto i = static_cast<Index>(std::lower_bound(sweep_.f_Hz.begin(), sweep_.f_Hz.end() - 1, h.f_Hz) -
                                          sweep_.f_Hz.begin());
        return std::abs(h.ohm) > share * std::min(1.5, at_Q / h.Q) * std::abs(smooth_[i]);
    }

    /// Fits a new one together with those whose windows it shares.
    bool add(const Trial& trial)
    {
        std::vector<std::size_t> group;
        std::vector<Trial> start{trial};
        for (std::size_t k = 0; k < found_.size(); ++k) {
            const Hump& h = found_[k].fitted.hump;
            if (std::abs(std::log(h.f_Hz / trial.f_Hz)) > 1.5 / h.Q + 1.5 / trial.Q) continue;
            group.push_back(k);
            start.push_back({h.f_Hz, h.Q});
        }
        left_.e = without(group);
        const std::vector<FittedFeature> fitted = internal::fitted_together(left_, start);
        if (fitted.empty() || !std::all_of(fitted.begin(), fitted.end(), [&](const auto& f) { return is_good(f); }))
            return false;
        // What the new one still gains beside the others as they are now.
        std::vector<Found> before = found_;
        for (std::size_t g = 0; g < group.size(); ++g) found_[group[g]].fitted = fitted[g + 1];
        left_.e = without({});
        const auto gain = internal::gain_of(left_, {fitted[0].hump.f_Hz, fitted[0].hump.Q});
        if (!gain || gain->chi2 < scan_.threshold) {
            found_ = std::move(before);
            return false;
        }
        found_.push_back({fitted[0], gain->chi2 / scan_.threshold});
        return true;
    }

    const Sweep& sweep_;
    VectorXcd smooth_;
    std::vector<Hump> humps_;
    const Scan& scan_;
    const FeaturesSetting& setting_;
    Leftover left_;
    std::vector<Found> found_;
    std::vector<Trial> refused_;
};

/// Smooth curve and features in one fit, where the smooth model holds; else the features stay as fitted in their
/// windows. Ones that this fit does not make out for sure are dropped, the weakest first.
void fit_jointly(const Sweep& sweep, const ImpedanceFit& smooth, std::vector<Found>& found)
{
    constexpr double good = 1.3, sure = 4; // misfit; standard deviations of the height
    if (found.empty()) return;
    const std::size_t n_smooth = smooth.model.humps.size();
    ImpedanceModel model = smooth.model;
    for (const Found& f : found) model.humps.push_back(f.fitted.hump);
    const internal::JointFit joint = internal::fit_all(sweep, smooth.noise, model, {smooth.covariance(2, 2) > 0});
    if (joint.misfit > good) return;
    std::vector<Found> better = found;
    for (std::size_t k = 0; k < found.size(); ++k) {
        FittedFeature& f = better[k].fitted;
        const Hump before = f.hump;
        f.hump = joint.model.humps[n_smooth + k];
        if (std::abs(std::log(f.hump.f_Hz / before.f_Hz)) > 0.5 / before.Q ||
            std::abs(std::log(f.hump.Q / before.Q)) > 0.7)
            return; // ran away
        const auto at = static_cast<Index>(3 + 4 * (n_smooth + k));
        f.ln_f_error = std::sqrt(joint.covariance(at, at));
        f.ln_Q_error = std::sqrt(joint.covariance(at + 1, at + 1));
        const Eigen::Vector2d along = Eigen::Vector2d(f.hump.ohm.real(), f.hump.ohm.imag()) / std::abs(f.hump.ohm);
        f.height_error = std::sqrt(along.dot(joint.covariance.block<2, 2>(at + 2, at + 2) * along));
    }
    const auto surety = [](const Found& f) {
        const FittedFeature& x = f.fitted;
        return std::min(std::abs(x.hump.ohm) / x.height_error, sure * 0.2 / (x.hump.Q * x.ln_f_error));
    };
    const auto weakest = std::min_element(better.begin(), better.end(),
                                          [&](const Found& a, const Found& b) { return surety(a) < surety(b); });
    if (surety(*weakest) < sure) {
        found.erase(found.begin() + (weakest - better.begin()));
        return fit_jointly(sweep, smooth, found);
    }
    found = std::move(better);
}

Feature feature_of(const Found& found, const Sweep& sweep, const ImpedanceModel& smooth)
{
    const Hump& h = found.fitted.hump;
    const std::complex<double> Z = smooth.at(h.f_Hz);
    Feature feature;
    feature.f_Hz = {h.f_Hz, h.f_Hz * found.fitted.ln_f_error};
    feature.Q = {h.Q, h.Q * found.fitted.ln_Q_error};
    feature.ohm = {std::abs(h.ohm), found.fitted.height_error};
    feature.phase = sweep.has_phase ? std::arg(h.ohm / Z) : std::numeric_limits<double>::quiet_NaN();
    feature.share = std::abs(h.ohm) / std::abs(Z);
    feature.significance = found.significance;
    feature.A = h.ohm;
    return feature;
}

} // namespace

FeaturesResult find_features(const Sweep& sweep, const FeaturesSetting& setting)
{
    FeaturesResult result;
    result.fit = fit_smooth(sweep, setting.kind);
    const Scan scan = internal::scan_of(sweep, setting);
    result.f_from = scan.f_from;
    result.f_to = scan.f_to;
    Search first(sweep, result.fit, scan, setting);
    std::vector<Found> found = first.run();
    if (!found.empty()) {
        const VectorXd noise = result.fit.noise;
        result.fit = fit_smooth(first.cleared(), result.fit.kind);
        result.fit.noise = noise;
        Search second(sweep, result.fit, scan, setting);
        found = second.run();
        result.discarded = second.discarded();
        fit_jointly(sweep, result.fit, found);
    } else
        result.discarded = first.discarded();
    for (const Found& f : found) result.features.push_back(feature_of(f, sweep, result.fit.model));
    std::sort(result.discarded.begin(), result.discarded.end(),
              [](const Discarded& a, const Discarded& b) { return a.f_Hz < b.f_Hz; });
    std::sort(result.features.begin(), result.features.end(),
              [](const Feature& a, const Feature& b) { return a.f_Hz.value < b.f_Hz.value; });
    const double per_octave = static_cast<double>(sweep.size()) / std::log2(sweep.f_Hz.back() / sweep.f_Hz.front());
    const double finest_Q = per_octave / std::numbers::ln2; // three points in three bandwidths
    if (finest_Q < 40)
        result.warnings.push_back(fmt::format(
            "{:.0f} points in the octave show no resonance sharper than Q {:.0f}: bare boards have 20 to 60",
            per_octave, finest_Q));
    return result;
}

double detection_height(const Sweep& sweep, const VectorXd& noise, double f_Hz, double Q,
                        const FeaturesSetting& setting)
{
    Leftover left{sweep.f_Hz, VectorXcd::Zero(sweep.size()), noise.cwiseInverse(), {}};
    if (!sweep.has_phase) left.turn = VectorXcd::Ones(sweep.size());
    const Trial trial{f_Hz, Q};
    if (!internal::is_resolved(left, trial)) return std::numeric_limits<double>::infinity();
    const auto gain = internal::gain_of(left, trial);
    if (!gain) return std::numeric_limits<double>::infinity();
    constexpr double of_noise = 2; // what noise adds to the gain on average
    return std::sqrt((internal::scan_of(sweep, setting).threshold - of_noise) / gain->per_ohm2);
}

} // namespace stillwall::solver
