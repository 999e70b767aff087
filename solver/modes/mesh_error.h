#pragma once
// What the mesh does to a frequency, from one mesh alone.

#include "solver/structure/structure.h"

#include <vector>

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
/// @return by the elements of each board, shape (n_boards, n_modes); the sum of a column is the mode's error
[[nodiscard]] Eigen::MatrixXd mesh_errors(const Cabinet& cabinet, const ShellMesh& mesh, const Structure& structure,
                                          const Eigen::MatrixXd& phi, const Eigen::VectorXd& omega2);

/// Factors on the boards' element sizes, 0.6 … 1, that bring every mode's error under what is promised: a frequency's
/// error goes with the fourth power of the size (nine-node elements), and half of what is promised is aimed at, for
/// corners converge more slowly and the other boards keep theirs. Boards that hold nine tenths of the error of a mode
/// that is off by more than promised get smaller elements, the others 1.
/// @param errors    as of mesh_errors
/// @param promised  [-]
/// @return one per board; empty when every mode keeps it
[[nodiscard]] std::vector<double> finer_where_needed(const Eigen::MatrixXd& errors, double promised);

} // namespace stillwall::solver
