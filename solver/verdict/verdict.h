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

#include <string>

namespace stillwall::solver {

enum class Audibility
{
    Audible,    ///< L > T₂
    Borderline, ///< T₁ − m ≤ L ≤ T₂, m = 5 dB, 10 dB at Q ≤ 10 (rooms and transients reveal low Q)
    Inaudible   ///< L < T₁ − m
};

/// T₁ [dB].
[[nodiscard]] double strict_detection_dB(double Q);

/// T₂ [dB].
[[nodiscard]] double lenient_detection_dB(double Q);

/// m [dB].
[[nodiscard]] double detection_margin_dB(double Q);

/// Uncertainty of a predicted level [dB]: loss to a factor of two, joints, listener (own estimate).
inline constexpr double judgement_margin_dB = 8;

/// What is known of one resonance at one listener.
struct Heard
{
    double level_dB = 0; ///< its own peak against the direct sound there
    double Q = 0;
    double f_Hz = 0;
    double T60_s = 0;
};

struct Verdict
{
    Audibility word = Audibility::Inaudible;
    double strict_dB = 0, lenient_dB = 0; ///< T₁, T₂
    double over_strict_dB = 0;            ///< L − T₁: what is left, ± judgement_margin_dB
    /// The words at L less and plus judgement_margin_dB: how far the verdict could turn.
    Audibility at_best = Audibility::Inaudible, at_worst = Audibility::Inaudible;
    bool rings_long = false; ///< T60 over 0.3 s at 100 Hz, 0.2 s from 200 Hz, 0.85 s at 32 Hz (log-log between):
                             ///< secondary, the level decides (Toole & Olive p. 135, second-hand)
    /// Below 100 Hz the thresholds are higher and depend on much else (Olive et al., JAES 45 (1997) 116).
    bool low_confidence = false;
    bool most_sensitive = false; ///< 125 to 500 Hz (Moulana)
};

/// @throws DomainError  Q or f not > 0, level not finite
[[nodiscard]] Verdict judge_heard(const Heard& heard);

/// "audible", "borderline", "inaudible".
[[nodiscard]] std::string audibility_word(Audibility word);

} // namespace stillwall::solver
