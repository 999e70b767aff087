#pragma once
// What Timoshenko's beam leaves out of a short, thick bar's bending, and how well that is known.

#include "solver/measured/bar.h"

namespace stillwall::solver {

/// A bar of board rings a little higher than Timoshenko's: at short waves its section, soft in shear, does not stay
/// plane, and its inertia is shared out otherwise. With k the wave number of the slim bar's mode, t the thickness and
/// a = (k t / 2) √(E/G):
///     f / f_Timoshenko = 1 + share (√r − 1) + inertia (k t)²,   r = (1 − tanh a / a) (1 + 2 a²/5) / (a²/3)
/// r is the ratio of the stiffness against a load in waves of a bar that cannot be squeezed (u(z) ~ sinh pz, p² = k²
/// E/G; derived) to Timoshenko's.
///
/// share and inertia stand for what else counts (softness across the bar, Poisson's ratio, ends). Both come from bars
/// worked out as plane elastic bodies, E/G 5 to 50, E3/G 0.4 to 4, length over thickness 5 to 22, modes 1 to 4, where
/// f is met to 0.4 %; errors are one standard deviation over those bars.
struct BeamTheory
{
    double share = 0.7, share_error = 0.15;
    double inertia = 1.2e-3, inertia_error = 0.8e-3;

    /// With both figures moved by so many of their errors: they rise together with E3.
    [[nodiscard]] BeamTheory moved(double errors) const;
    /// f / f_Timoshenko of a bending mode.
    [[nodiscard]] double rise(BarEnds ends, int mode, double thickness_over_length, double E_over_G) const;
};

} // namespace stillwall::solver
