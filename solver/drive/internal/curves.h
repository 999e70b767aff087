#pragma once
// From single frequencies to the curves of a result.

#include "solver/drive/played.h"

namespace stillwall::solver::internal {

/// |direct| per volt over frequency, smoothed: the reference.
class Reference
{
public:
    /// @param played  ascending in frequency, dense (24 to the octave or more)
    Reference(const std::vector<Played>& played, Eigen::Index n_points);

    /// Power mean over a third of an octave about f, as far as the range goes [Pa/V].
    [[nodiscard]] double at(Eigen::Index point, double f_Hz) const;
    /// Power mean over a band, every octave alike [Pa/V].
    [[nodiscard]] double over(Eigen::Index point, double f_from, double f_to) const;

private:
    std::vector<double> f_;
    Eigen::MatrixXd square_; ///< |direct|², shape (points, frequencies)
};

/// Curves on the grid.
/// @param played  the grid's frequencies
void fill_curves(const Player& player, const SoundSetting& setting, const Reference& reference,
                 const std::vector<Played>& played, int n_boards, SoundResult& result);

} // namespace stillwall::solver::internal
