#pragma once
// From a recording to the decays of its knocks.

#include "solver/measured/knock.h"

namespace stillwall::solver::internal {

/// Low-pass and every n-th sample; linear phase, so poles stay.
struct Decimated
{
    Eigen::VectorXd samples;
    double rate_Hz = 0;
};
/// @param f_to  [Hz] passed to 1 dB; the new rate is at least three times that
[[nodiscard]] Decimated decimated(const Recording& recording, double f_to);

/// A knock and its decay at the lower rate; empty when it is not used.
struct Ring
{
    Knock knock;
    Eigen::VectorXd decay;
};

/// All knocks of a recording. A recording without any has one entry with its fault.
[[nodiscard]] std::vector<Ring> rings_of(const Recording& recording, const Decimated& low);

} // namespace stillwall::solver::internal
