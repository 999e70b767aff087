#pragma once
// From single frequencies to the curves of a result.

#include "solver/drive/played.h"

namespace stillwall::solver::internal {

/// Where something is held against the direct sound: some points, by their mean power, or all directions.
struct Place
{
    std::vector<Eigen::Index> points; ///< columns of the player's points; empty: the radiated power
};

/// |direct| per volt over frequency, smoothed: the reference. Of points in [Pa/V], of all directions in [√W/V].
class Reference
{
public:
    /// @param played  ascending in frequency, dense (24 to the octave or more), walls may stand still
    Reference(const std::vector<Played>& played, const std::vector<Place>& places);

    /// Adds other speakers' sound: per place its mean square at a frequency per volt squared, [Pa²/V²] or [W/V²].
    void add(const std::function<double(std::size_t place, double f_Hz)>& square);

    /// Power mean over a third of an octave about f, as far as the range goes.
    [[nodiscard]] double at(std::size_t place, double f_Hz) const;
    /// Power mean over a band, every octave alike, as far as the range goes.
    [[nodiscard]] double over(std::size_t place, double f_from, double f_to) const;
    /// Highest third of an octave.
    [[nodiscard]] double best(std::size_t place) const;
    [[nodiscard]] const std::vector<double>& frequencies() const { return f_; }

private:
    std::vector<double> f_;
    Eigen::MatrixXd square_; ///< shape (places, frequencies)
};

/// Curves on the grid.
/// @param reference  its first places are the listeners
/// @param played  the grid's frequencies
void fill_curves(const Player& player, const SoundSetting& setting, const Reference& reference,
                 const std::vector<Played>& played, int n_boards, SoundResult& result);

} // namespace stillwall::solver::internal
