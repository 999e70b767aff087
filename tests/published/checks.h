#pragma once
// Checks of the shell solver against values from outside. The tests run them; published_table prints them.

#include "mesh/cabinet/material.h"
#include "solver/structure/section/section.h"

#include <string>
#include <vector>

namespace stillwall::published {

/// One case: reference numbers beside ours.
struct Check
{
    std::string id;        ///< short name of the case
    std::string problem;   ///< what is computed, with the unit of the numbers
    std::string source;    ///< where the reference comes from
    std::string confirmed; ///< published, recomputed or from memory, and what that means here
    std::string mesh;      ///< element and mesh
    std::vector<double> reference, ours;
    double tolerance = 0; ///< relative
    std::string why;      ///< why the tolerance has this size
};

/// The largest relative error of a case, with its sign.
[[nodiscard]] double worst_error(const Check& check);

[[nodiscard]] std::vector<Check> nafems_checks();      ///< nafems.cpp
[[nodiscard]] std::vector<Check> edge_checks();        ///< edges.cpp: all 21 edge cases × 5 aspect ratios
[[nodiscard]] std::vector<Check> thin_plate_checks();  ///< thin_plates.cpp: discs, point supports and masses, statics
[[nodiscard]] std::vector<Check> cut_out_checks();     ///< cut_outs.cpp
[[nodiscard]] std::vector<Check> thick_plate_checks(); ///< thick_plates.cpp
[[nodiscard]] std::vector<Check> orthotropic_checks(); ///< orthotropic.cpp
[[nodiscard]] std::vector<Check> laminate_checks();    ///< laminates.cpp
[[nodiscard]] std::vector<Check> section_checks();     ///< sections.cpp: A, B, D, Q and shear factors
[[nodiscard]] std::vector<Check> shell_checks();       ///< shells.cpp: statics of curved shells
[[nodiscard]] std::vector<Check> sandwich_checks();    ///< sandwich.cpp: damped beams
[[nodiscard]] std::vector<Check> box_checks();         ///< boxes.cpp

/// Side of a nine-node element [m] by the program's mesh rule for one section and a highest frequency [Hz].
/// @param points_per_wave  node spacings per shortest bending wave: 10 is the program's ordinary rule, 16 its fine one
[[nodiscard]] double element_side(const solver::Section& section, double f_top, double points_per_wave = 10);

/// How the confirmation words are to be read; used in the checks.
inline const std::string printed = "published";
inline const std::string recomputed = "recomputed";
inline const std::string recomputed_high_order = "recomputed (Ritz series, converged)";

[[nodiscard]] Material isotropic(double E, double nu, double rho);

/// G12 is the in-plane modulus; density in kg/m³.
struct PlyConstants
{
    double E1 = 0, E2 = 0, nu12 = 0, G12 = 0, G13 = 0, G23 = 0, rho = 0;
};
[[nodiscard]] Material orthotropic(const PlyConstants& c);

/// One layer of one material.
[[nodiscard]] solver::Section plain_section(const Material& material, double thickness);

/// Plies of one material: angles [degrees] and equal thicknesses.
[[nodiscard]] solver::Section ply_section(const Material& material, const std::vector<double>& angles_deg,
                                          double thickness);

/// Replaces the section's own transverse shear stiffness by k ∫G dz, where the reference does so.
[[nodiscard]] solver::Section with_shear_factor(solver::Section section, double k, double G13_t, double G23_t);

} // namespace stillwall::published
