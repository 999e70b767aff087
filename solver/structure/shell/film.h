#pragma once
// A soft film between two leaves of shell elements over the same mid-plane.
//
// Leaf a lies below, b above; both carry their unknowns on the board's mid-plane, z = 0. The film from z_a to z_a + h
// is sheared by
//     γ_α = (u_b + (z_a + h) β_b − u_a − z_a β_a)_α / h + ∂w/∂α        α = 1, 2, w the mean of both leaves' deflections
// and stretched through its thickness by ε = (w_b − w_a)/h, where thin rubber cannot bulge: modulus M = G (2 − 2ν)/(1 −
// 2ν).
//     energy ½ ∫ h (G γ·γ + M ε²) dA
// ∂w/∂α is that of the shape functions: taken from a leaf's assumed shear less β, a foil's β could wander between the
// tying points and cancel the film's shear. Kirchhoff's constraint does not enter the film, so nothing locks. Left out:
// the film's own stretching in its plane (its modulus is a thousandth of a leaf's).

#include "solver/structure/shell/element.h"

#include <Eigen/Core>

#include <vector>

namespace stillwall::solver {

/// Strain operator at one integration point, over the unknowns of leaf a, then leaf b.
struct FilmPoint
{
    Eigen::Matrix<double, 3, Eigen::Dynamic> B; ///< (γ1, γ2, ε), shape (3, 12 n)
    double weight = 0;                          ///< quadrature weight × area [m²]
};

/// @param points  of the board's element (strain_points), axes as there
/// @param e1      the direction given to strain_points
/// @param z       [m] of the film's lower face above the mid-plane; h > 0 [m] its thickness
[[nodiscard]] std::vector<FilmPoint> film_points(const std::vector<StrainPoint>& points, const Eigen::Vector3d& e1,
                                                 double z, double h);

/// Stiffness per area of a film, [N/m] per strain squared: h (G, G, M).
[[nodiscard]] Eigen::Vector3d film_stiffness(double G, double nu, double h);

} // namespace stillwall::solver
