#pragma once
// A driver's or passive radiator's small-signal figures, as written and resolved to one consistent set. SI units.

#include "mesh/cabinet/error.h"

#include <optional>
#include <string_view>

namespace stillwall {

/// What the user wrote; nothing: not said. Symbols as in IEC 60268-5 and common practice.
struct SmallSignalPlan
{
    bool has_motor = true;               ///< false: a passive radiator
    std::optional<double> Re;            ///< [ohm] d.c. resistance of the voice coil
    std::optional<double> Le;            ///< [H] voice-coil inductance at 1 kHz
    std::optional<double> Le_exponent;   ///< [-] n of a lossy inductance, Z = K (jω)^n; 1: an ideal coil
    std::optional<double> Bl;            ///< [N/A]
    std::optional<double> Mms;           ///< [kg] moving mass with the air that moves along in free air
    std::optional<double> Cms;           ///< [m/N]
    std::optional<double> fs;            ///< [Hz] in free air
    std::optional<double> Vas;           ///< [m³]
    std::optional<double> Rms;           ///< [kg/s]
    std::optional<double> Qms, Qes, Qts; ///< [-] in free air
    std::optional<double> Sd;            ///< [m²] of the cone
};

/// One consistent set.
struct SmallSignal
{
    double Re = 0;          ///< [ohm] > 0; 0 for a passive radiator
    double Le = 0;          ///< [H] ≥ 0, at 1 kHz
    double Le_exponent = 1; ///< [-] 0.4 … 1
    double Bl = 0;          ///< [N/A] > 0; 0 for a passive radiator
    double Mms = 0;         ///< [kg] > 0
    double Cms = 0;         ///< [m/N] > 0
    double Rms = 0;         ///< [kg/s] > 0
    double Sd = 0;          ///< [m²] > 0

    [[nodiscard]] double fs() const;  ///< [Hz] 1/(2π √(Mms Cms))
    [[nodiscard]] double Qms() const; ///< 2π fs Mms / Rms
    [[nodiscard]] double Qes() const; ///< 2π fs Mms Re / Bl²
    [[nodiscard]] double Vas() const; ///< [m³] ρc² Sd² Cms, air at 20 °C
};

/// Two figures that say the same may differ by this share: data sheets round.
inline constexpr double small_signal_tolerance = 0.05;

/// Fills what follows from the rest:
///     ωs² = 1/(Mms Cms),   Vas = ρc² Sd² Cms,   Qms = ωs Mms / Rms,   Qes = ωs Mms Re / Bl²,   1/Qts = 1/Qms + 1/Qes
/// Mass and compliance are kept where written; of fs and Vas, fs goes first.
/// @param where, key  of the driver, for the message
/// @throws InputError  too little is said (names what is missing), or two ways to one figure differ by more than 5 %
/// (names both)
[[nodiscard]] SmallSignal resolve_small_signal(const SmallSignalPlan& plan, const SourcePos& where,
                                               std::string_view key);

} // namespace stillwall
