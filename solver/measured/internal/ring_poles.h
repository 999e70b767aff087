#pragma once
// Poles in rings, their amplitudes, and what of them is the room.

#include <Eigen/Core>

#include <vector>

namespace stillwall::solver::internal {

struct Pole
{
    double f_Hz = 0, Q = 0;
};

/// [1/s] of its amplitude.
[[nodiscard]] double alpha_of(const Pole& pole);

/// Two columns a pole, decaying cosine and sine.
[[nodiscard]] Eigen::MatrixXd pole_columns(Eigen::Index n, const std::vector<Pole>& poles, double rate_Hz);

/// Amplitudes of all poles in one ring by linear least squares, and what is left.
struct Amplitudes
{
    Eigen::VectorXd x;    ///< of the columns
    Eigen::VectorXd size; ///< per pole
    Eigen::VectorXd left; ///< ring − poles
    double freedom = 1;   ///< share of the samples that the fit leaves free, 0 … 1

    /// r.m.s. of what is left while a pole rings, weighted by its decay.
    [[nodiscard]] double noise_during(const Pole& pole, double rate_Hz) const;
};
[[nodiscard]] Amplitudes amplitudes_of(const Eigen::VectorXd& ring, const std::vector<Pole>& poles, double rate_Hz);

/// What a room adds to knocks: a tail that fills all frequencies and dies away at one rate.
struct Tail
{
    bool is_there = false; ///< what the poles leave dies away: 3 dB more while boards ring than at the rings' ends
    double T60_s = 0;      ///< [s] of it
    /// Per pole: power that the other poles which are no tail do not explain there, through a filter that decays as the
    /// pole does, over that of the tail: its mean about the pole (a quarter of its frequency to either side), or, since
    /// a room answers at the frequencies it is given, its share of the whole sound there if that is more. Of tail alone
    /// exponentially distributed with mean 1.
    std::vector<double> over_tail;
    std::vector<bool> is_tail; ///< does not stand out of it
};

/// Takes the pole that stands out least away while it does so by less than `least`, one at a time: two poles for one
/// ring explain each other.
/// @param fits  of all poles, per ring
[[nodiscard]] Tail tail_of(const std::vector<Eigen::VectorXd>& rings, const std::vector<Amplitudes>& fits,
                           const std::vector<Pole>& poles, double rate_Hz, double least);

} // namespace stillwall::solver::internal
