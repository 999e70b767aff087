#pragma once
// Odds of each cause of each reading, by Bayes' rule over all of them together.
//
// Readings i with ln f, ln Q, ln height; candidates c with
//     ln f_c = ln f̂_c + s_cᵀθ + ε_c,   θ ~ N(0, 1),   ε_c ~ N(0, f_error²)
// so that one modulus moves all its modes together. An assignment a of readings to candidates (each candidate at most
// once in each measurement) or backgrounds weighs
//     N(ln f; ln f̂_a, S_a S_aᵀ + E_a + R) Π p_a(ln Q, ln height) Π_background rate · p(ln Q, ln height)
//         · Π_unused (1 − chance to be seen)
// with the candidates' frequencies of all readings in one Gaussian; one wall in some is off by more (misfit_share,
// misfit_f). Odds are sums of weights over the assignments, kept by a beam of the heaviest, and over the fidelities:
// each is weighed by its odds times the sum of its assignments' weights, so that a box that does not fit its drawing
// widens all doubts by itself.

#include "solver/explain/candidates.h"

#include <optional>

namespace stillwall::solver {

/// Something measured that wants a cause.
struct ToExplain
{
    int measurement = 0; ///< place in Evidence::measurements
    Known f_Hz, Q;
    std::optional<Known> ohm; ///< impedance sweeps
    double level_dB = 0;      ///< knocks: against the strongest
};

/// One sweep or one set of knocks on one board.
struct Measurement
{
    std::optional<int> board;    ///< knocked board; nothing: an impedance sweep
    double f_from = 0, f_to = 0; ///< [Hz] where it could show anything
    /// Impedance: height [ohm] of which half are found, per candidate's f and Q. Empty: everything is found.
    std::function<double(double f_Hz, double Q)> detection;
};

struct Evidence
{
    std::vector<Measurement> measurements;
    std::vector<ToExplain> readings;
};

struct CauseOdds
{
    /// One of them: place in Suspects::candidates or in Suspects::backgrounds.
    std::optional<int> candidate, background;
    double odds = 0; ///< [-] sums to 1 over a reading's list
};

struct OddsResult
{
    std::vector<std::vector<CauseOdds>> readings; ///< per reading, most likely first, nothing under 0.1 % listed
    /// Chance that a candidate shows in a measurement, shape (candidates, measurements).
    Eigen::MatrixXd visible;
    Eigen::VectorXd theta;        ///< mean over the assignments
    Eigen::VectorXd theta_error;  ///< one standard deviation
    std::vector<double> fidelity; ///< odds of Suspects::fidelities after all readings
    double beam_lost = 0;         ///< share of weight dropped, at most
};

[[nodiscard]] OddsResult odds_of(const Suspects& suspects, const Evidence& evidence);

} // namespace stillwall::solver
