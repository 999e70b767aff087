#pragma once
// A driver's small-signal figures from its impedance.

#include "solver/measured/impedance_model.h"

#include <optional>

namespace stillwall::solver {

/// Each with one standard deviation, from the fit's covariance (residuals).
struct DriverFigures
{
    Known Re;   ///< [ohm] at the sweep's low end as the model has it
    Known fs;   ///< [Hz]
    Known Zmax; ///< [ohm] at fs
    Known Qms, Qes, Qts;
    Known Le;                                       ///< [H] at 1 kHz
    Known Le_exponent;                              ///< [-]
    double misfit = 0;                              ///< see ImpedanceFit
    double largest_error = 0, largest_error_Hz = 0; ///< [-] |Z_fit/Z − 1| at worst, and where
    std::vector<std::string> warnings;
};

/// Of a driver in free air or in a closed box (fc, Qmc, Qec, Qtc then).
///     Qms = Q of the hump, Zmax = Re + A, Qes = Qms Re/A, Qts = Qms Qes/(Qms + Qes)
/// @param Re  [ohm] by a meter; nothing: from the sweep
/// @throws DomainError  as fit_smooth(); two humps; a Re that is no resistance
[[nodiscard]] DriverFigures driver_figures(const Sweep& sweep, std::optional<double> Re = {});

/// Moving mass, compliance and equivalent volume.
struct MovingFigures
{
    Known Mms;                ///< [kg]
    Known Cms;                ///< [m/N]
    Known Rms;                ///< [kg/s]
    Known Bl;                 ///< [N/A]
    std::optional<Known> Vas; ///< [m³], when Sd is known
};

/// Known mass added to the cone: Mms = Δm / ((fs/fm)² − 1).
/// @param Sd  [m²] > 0, if known
/// @throws DomainError  the second resonance is not lower, or too near to tell
[[nodiscard]] MovingFigures figures_by_added_mass(const DriverFigures& bare, const DriverFigures& loaded, Known mass,
                                                  std::optional<double> Sd);

/// Closed box of known net volume: Vas = V ((fc Qec)/(fs Qes) − 1), which allows for the air load that changes with
/// the box (R. H. Small, J. Audio Eng. Soc. 20 (1972) 383); needs Sd for the moving parts.
/// @throws DomainError  the box does not raise the resonance
struct BoxFigures
{
    Known Vas;              ///< [m³]
    Known Vas_by_frequency; ///< [m³] V ((fc/fs)² − 1): agrees when the box neither leaks nor holds filling
    std::optional<MovingFigures> moving;
};
[[nodiscard]] BoxFigures figures_by_box(const DriverFigures& free_air, const DriverFigures& in_box, Known volume,
                                        std::optional<double> Sd);

/// Two units against each other, [-] (second / first − 1).
struct PairMatch
{
    Known fs, Zmax, Re, Qts;
    double largest_curve = 0, largest_curve_Hz = 0; ///< of |Z2/Z1| − 1 over the common range, and where
};
[[nodiscard]] PairMatch match_pair(const Sweep& first, const DriverFigures& a, const Sweep& second,
                                   const DriverFigures& b);

} // namespace stillwall::solver
