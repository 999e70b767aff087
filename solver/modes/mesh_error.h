#pragma once
// What the mesh does to a frequency, from one mesh alone.

#include "solver/structure/structure.h"

namespace stillwall::solver {

/// Estimated relative error [-] of each mode's frequency by the size of the elements, from above:
///     δf/f ≈ ½ Σ ∫ (ε* − ε)ᵀ C (ε* − ε) dA / ω²,   φᵀMφ = 1
/// since a frequency is too high by half of the relative energy of its shape's error. ε are the membrane and bending
/// strains of the elements and ε* smoother ones: about every corner where three elements or more of one section meet a
/// quadratic, fitted to the strains where they are most exact (2 × 2 points of an element), blended between the
/// corners. Single rows of elements, as the strips of joints are, have no such corner and are left out. Says nothing of
/// what all meshes have in common: laws of joints, mid-planes, attachments. On random cabinets the median estimate is
/// 1.6 (draft) to 2 (normal) times the difference from fine accuracy, more than half of them lie within a factor of 2.
/// @param phi    real parts of the modes over the structure's unknowns, one a column
/// @param omega2 [rad²/s²] of each
/// @source O. C. Zienkiewicz, J. Z. Zhu, Int. J. Numer. Meth. Eng. 33 (1992) 1331 and 1365
[[nodiscard]] Eigen::VectorXd mesh_errors(const Cabinet& cabinet, const ShellMesh& mesh, const Structure& structure,
                                          const Eigen::MatrixXd& phi, const Eigen::VectorXd& omega2);

} // namespace stillwall::solver
