#pragma once
// Elements besides the product's, to hold the element routines to what holds for every family and to compare with.

#include "solver/structure/shell/element.h"
#include "solver/structure/shell/nine_nodes.h"

namespace stillwall::published {

/// MITC3: Lee & Bathe, Computers & Structures 82 (2004) 945. Corners anticlockwise.
[[nodiscard]] const solver::ElementFamily& three_nodes();

/// MITC4: Dvorkin & Bathe, Engineering Computations 1 (1984) 77; shell_matrices() adds four enhanced membrane modes
/// (Simo & Rifai, Int. J. Numer. Meth. Eng. 29 (1990) 1595). Corners anticlockwise.
[[nodiscard]] const solver::ElementFamily& four_nodes();

using solver::nine_nodes;

/// "3 nodes"
[[nodiscard]] std::string family_name(const solver::ElementFamily& family);

/// Stiffness and mass of one element; that of four nodes with its enhanced modes condensed.
/// @param X     node positions [m], shape (3, n)
/// @param axis  direction of the section's axis 1
[[nodiscard]] solver::ElementMatrices shell_matrices(const solver::ElementFamily& family, const Eigen::Matrix3Xd& X,
                                                     const Eigen::Vector3d& axis, const solver::Section& section);

} // namespace stillwall::published
