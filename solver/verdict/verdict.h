#pragma once
// Can a resonance be heard? Its own sound against the direct sound, compared with published detection levels.
//
// Two lines, L in dB relative to the direct sound, both fits of ours to figures reported of F. E. Toole and S. E.
// Olive, J. Audio Eng. Soc. 36 (1988) 122 (read second-hand):
//     strict   T₁ = −25 + 10 lg Q        noise: −25 dB at Q = 1, about −10 dB at Q = 50, 3 dB per doubling of Q
//     lenient  T₂ = −14.6 + 7.2 lg Q     popular music: the level that lifts the response by 1.5, 3, 5 dB at
//                                        Q = 1, 10, 50 (−14.5, −7.7, −2.2 dB; residual ≤ 0.3 dB)
// Check, not used for the fit: C. Moulana, PhD thesis, Surrey 1975 (second-hand): 1 dB peaks at Q 6 (−18.3 dB) and 2.7
// dB at Q 25 (−8.8 dB) were heard.
//
// A predicted level is not one number: a wall whose frequency is known to 8 % may lie on a wave of the air or beside
// it, which is worth 10 dB and more. What is known of frequencies and losses comes in as weighed cases, each a level
// and a Q; what no case holds (joints, drivers' figures, the place one listens at) as a normal spread about every case.

#include <string>
#include <vector>

namespace stillwall::solver {

enum class Audibility
{
    Audible,    ///< L > T₂
    Borderline, ///< T₁ − m ≤ L ≤ T₂
    Inaudible,  ///< L < T₁ − m
    OutOfBand   ///< where the direct sound itself is far below its best: nothing to be held against
};

/// T₁ [dB].
[[nodiscard]] double strict_detection_dB(double Q);

/// T₂ [dB].
[[nodiscard]] double lenient_detection_dB(double Q);

/// m = 7.5 − 5 (lg Q − 1) [dB], kept within 5 and 10: 10 up to Q = 3.2, 5 from Q = 32. Transients and a room's
/// reflections reveal low and medium Q by 10 dB and more and do little for Q far above 10 (Toole & Olive p. 138,
/// second-hand); that the margin falls evenly over the decade about Q = 10 is ours. T₁ − m then rises by 10 to 15 dB a
/// decade of Q, less than the 20 dB by which a resonance's level rises with it at equal drive: more damping never makes
/// it easier to hear.
[[nodiscard]] double detection_margin_dB(double Q);

/// Standard deviation of a predicted level about what frequencies and losses leave open [dB]: joints, drivers' figures,
/// where one listens (own estimate).
inline constexpr double level_spread_dB = 3;

/// One case of what is not known.
struct PossibleLevel
{
    double weight = 1; ///< > 0
    double level_dB = 0;
    double Q = 0;
};

/// What is known of one resonance at one listener.
struct Heard
{
    double level_dB = 0; ///< its own peak against the direct sound there, all figures typical
    double Q = 0;
    double f_Hz = 0;
    double T60_s = 0;
    std::vector<PossibleLevel> possible{}; ///< empty: the typical one alone
    bool is_in_band = true;                ///< false: OutOfBand
};

struct Verdict
{
    /// By the odds: audible or inaudible when that is more likely than not, else borderline.
    Audibility word = Audibility::Inaudible;
    double strict_dB = 0, lenient_dB = 0; ///< T₁, T₂ of the typical Q
    double over_strict_dB = 0;            ///< typical L − T₁: what is left
    double low_dB = 0, high_dB = 0;       ///< nine of ten levels lie between, one of twenty below and one above
    double audible_odds = 0;              ///< [-] of L > T₂
    double heard_odds = 0;                ///< [-] of audible or borderline, L ≥ T₁ − m
    bool rings_long = false; ///< T60 over 0.3 s at 100 Hz, 0.2 s from 200 Hz, 0.85 s at 32 Hz (log-log between):
                             ///< secondary, the level decides (Toole & Olive p. 135, second-hand)
    /// Below 100 Hz the thresholds are higher and depend on much else (Olive et al., JAES 45 (1997) 116).
    bool low_confidence = false;
    bool most_sensitive = false; ///< 125 to 500 Hz (Moulana)
};

/// @throws DomainError  Q or f not > 0, level not finite, a weight not > 0
[[nodiscard]] Verdict judge_heard(const Heard& heard);

/// "audible", "borderline", "inaudible", "outside the band".
[[nodiscard]] std::string audibility_word(Audibility word);

/// Audible or borderline.
[[nodiscard]] bool may_be_heard(const Verdict& verdict);

} // namespace stillwall::solver
