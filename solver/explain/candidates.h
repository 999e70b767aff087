#pragma once
// What could have made a measured wrinkle or ring: the resonances of the model, those of the driver alone, and what no
// model holds.

#include "solver/drive/sound.h"
#include "solver/measured/features.h"
#include "solver/measured/knock.h"

#include <optional>

namespace stillwall::solver {

enum class Cause
{
    Wall,
    Air,
    Port,    ///< box tuning
    Rocking, ///< the cabinet moves as one on its feet or stand
    Driver,  ///< cone, surround, basket
    Nothing  ///< none of these
};

/// A resonance that the model, or the driver's own sweep, holds. It explains at most one reading of each measurement.
struct Candidate : Resonance
{
    Cause cause = Cause::Wall;
    std::optional<int> resonance; ///< place in SoundResult::modes; nothing: of the driver's own sweep
    double ohm = 0;               ///< predicted height of its wrinkle, ≥ 0
    /// ∂ln f/∂θ, θ the independent uncertain figures, each in its own standard deviations: Suspects::figures, then the
    /// speed of sound, then what moves all walls alike
    Eigen::VectorXd slopes;
    double f_error = 0;   ///< of ln f, one standard deviation, besides θ
    double Q_error = 0;   ///< of ln Q
    double ohm_error = 0; ///< of ln height at given Q; the height goes with Q
    double f_band = 0;    ///< of ln f, all together: √(|slopes|² + f_error²)
    /// Share of its energy of motion in each board, by board of the cabinet: how it answers a knock there.
    std::vector<double> boards;
};

/// A kind of cause without a frequency of its own; it may explain any number of readings. Q and height are lognormal.
struct Background
{
    Cause cause = Cause::Nothing;
    std::string name;
    double f_from = 0, f_to = 0; ///< [Hz]
    double per_ln_f = 0;         ///< expected number per unit of ln f in an impedance sweep; as many in a knock
    double Q = 1, Q_error = 1;
    double ohm = 0, ohm_error = 1;
};

/// How true a box is to its drawing and to the model's idea of wood and glue: nobody knows beforehand, so several are
/// tried and the readings themselves say which holds.
struct Fidelity
{
    double odds = 1;  ///< before anything was measured; they sum to 1
    double walls = 1; ///< factor on the doubts of walls: frequency (their own and the common one), Q, height
    double shear = 1; ///< factor on the range of transverse shear moduli: a board of another make than the library's
};

/// Standard deviations and rates that no data sheet tells (judgements, see each); the ranges of the figures come from
/// the library.
struct Doubt
{
    /// of ln f of a wall mode: thicknesses to 0.2 mm in 18 (1 %), boards of one stock that differ (E by 3 %), joints
    /// and what the drawing leaves out.
    double wall_f = 0.02;
    /// of ln f, common to all walls: joints that are softer or stiffer than glue lines, the air's load, the scale.
    double walls_f = 0.01;
    /// A candidate's frequency is wrong by more than all that, by what is wrong at one place (a knot, a dry joint, a
    /// brace that does not touch): how often, and how far as standard deviation of ln f.
    double misfit_share = 0.1, misfit_f = 0.06;
    /// As drawn, from stock as the library's; of other stock; and loosely drawn of whatever stock there was.
    std::vector<Fidelity> fidelities{{0.5, 1, 1}, {0.3, 1.5, 3}, {0.2, 3, 3}};
    double wall_ohm = 0.5; ///< of ln height at given Q: how the shape meets the driver, motor and mass of its figures
    double wall_Q = 0.35;  ///< of ln Q beyond what the ranges give: at least that
    double air_f = 0.012, air_filled_f = 0.03; ///< bare; with filling, whose place and packing vary
    double air_Q = 0.5, air_ohm = 0.6;
    double sound_speed = 0.006; ///< of ln c: ± 3.5 K, common to all waves of the air
    double port_f = 0.05;
    double pipe_f = 0.03, pipe_ohm = 0.05, pipe_ohm_error = 1.3, pipe_Q = 20, pipe_Q_error = 0.6;
    /// Between free air and box: the load of the air, the clamping of the basket.
    double driver_f = 0.01, driver_Q = 0.25, driver_ohm = 0.35;
    double driver_rate = 0.5;        ///< per unit of ln f from 300 Hz to 3 kHz when there is no sweep in free air
    double driver_rate_swept = 0.03; ///< with one that shows nothing there
    double rocking_rate = 0.3;       ///< 5 to 60 Hz, when the file has no supports
    double nothing_rate = 0.4;       ///< over the whole range: loose cups, terminals, cables, frames are common
};

struct Suspects
{
    std::vector<Candidate> candidates;    ///< ascending in frequency
    std::vector<Background> backgrounds;  ///< the last one is Cause::Nothing
    std::vector<UncertainFigure> figures; ///< of θ; but for its last two entries, see Candidate::slopes
    std::vector<Fidelity> fidelities{{}};
    double misfit_share = 0, misfit_f = 0; ///< see Doubt
};

/// Walls, waves of the air and box tuning from the played cabinet; along each port's tube a half wave,
/// f = c/(2 (L + 1.46 a)), of unknown height; wrinkles of the driver's own sweep; backgrounds.
/// @param way       index of SoundResult::ways whose impedance was swept
/// @param free_air  wrinkles of the driver in free air; null: there is no such sweep
/// @param is_filled there is filling inside
[[nodiscard]] Suspects suspects_of(const Cabinet& cabinet, const SoundResult& sound, std::size_t way,
                                   const FeaturesResult* free_air, bool is_filled, const Doubt& doubt = {});

} // namespace stillwall::solver
