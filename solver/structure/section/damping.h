#pragma once
// Modulus and loss of soft layers at a temperature and a frequency.

#include "mesh/cabinet/material.h"

namespace stillwall::solver {

/// Shear modulus and loss factor from a table: along each temperature's row log G and η run straight over log f,
/// between rows log G and η run straight over temperature; outside the table the nearest edge holds (no extrapolation).
/// Ranges go the same way.
/// @param points  at least one, any order
/// @param f_Hz    > 0
/// @throws DomainError  no point
[[nodiscard]] DampingPoint damping_at(const std::vector<DampingPoint>& points, double temperature_C, double f_Hz);

/// Whether the table says anything about frequency (at any temperature).
[[nodiscard]] bool depends_on_frequency(const Material& material);

/// The materials with the damping layers' figures at this temperature and frequency: E = 2 G (1 + ν), all with their
/// ranges.
[[nodiscard]] std::vector<Material> materials_at(const std::vector<Material>& materials, double temperature_C,
                                                 double f_Hz);

} // namespace stillwall::solver
