#pragma once
// What ports and passive radiators tune a volume to, as an estimate without a mesh, and the port that gives a tuning.

#include "mesh/cabinet/chambers.h"
#include "solver/drive/coupled.h"

namespace stillwall::solver {

/// Estimate [Hz] for ports and passive radiators on the spring C_a = V/(ρc²) of one volume with driven cones held,
/// their flows as one pressure sets them in motion far above their own resonances (Rayleigh's quotient; exact for one
/// of them); nothing without them. Fillings are not looked at.
///     ω² = Σ 1/M / C_a + Σ 1/(M² C) / Σ 1/M,   port M = ρ (L + 1.46 a)/S,   passive M = Mms/Sd², C = Cms Sd²
/// @param volume  [m³] > 0 net
[[nodiscard]] std::optional<double> box_tuning(const std::vector<const SourceModel*>& sources, double volume,
                                               const Air& air);

/// box_tuning() of each chamber with what opens outwards from it.
[[nodiscard]] std::vector<std::optional<double>> chamber_tunings(const Cabinet& cabinet, const Chambers& chambers);

struct PortTuning
{
    std::string port; ///< name of its opening
    double hertz = 0; ///< [Hz] > 0
};

/// The same plan with a length (and the tube's volume) for every port named, so that chamber_tunings() has its tuning.
/// Ports named of one chamber get one length.
/// @throws InputError with the plan's position: two tunings in one chamber, no length between the board's thickness and
/// the longest tube that fits gives it (says the range, and the hole that would)
[[nodiscard]] CabinetPlan with_tuned_ports(CabinetPlan plan, const std::vector<PortTuning>& tunings);

} // namespace stillwall::solver
