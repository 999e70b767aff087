#pragma once
// What stands out of a curve over frequency.

#include "solver/drive/sound.h"

namespace stillwall::solver {

/// A point of a curve.
struct CurvePoint
{
    double f_Hz = 0;
    double value = 0;
};

/// Largest and least magnitude; the first of equals.
/// @param curve  shape (frequencies), at least one
[[nodiscard]] CurvePoint highest(const std::vector<double>& frequency, const Eigen::VectorXd& curve);
[[nodiscard]] CurvePoint lowest(const std::vector<double>& frequency, const Eigen::VectorXd& curve);

/// Inner maxima that rise at least 10 % out of the dips beside them (a dip: the least value on the way to a higher
/// one), ascending in frequency, at most the four highest. A side on which nothing is higher up to the curve's end does
/// not count: the band may cut a peak; where neither counts the lower of both does.
[[nodiscard]] std::vector<CurvePoint> peaks(const std::vector<double>& frequency, const Eigen::VectorXd& curve);

/// 20 lg(|p| / reference) [dB]; minus infinity for silence.
[[nodiscard]] double level_against(double magnitude, double reference);

/// Where all walls together are loudest against the direct sound at a listener, and how loud (|p|/|p direct|): of the
/// computed frequencies and of the walls' peaks, which may lie between them.
[[nodiscard]] CurvePoint loudest_of_walls(const SoundResult& result, std::size_t listener);

} // namespace stillwall::solver
