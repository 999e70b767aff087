#pragma once
// Straight three-node Timoshenko beams with an offset: ribs glued along a board, rods between boards.

#include <Eigen/Core>

namespace stillwall::solver {

/// Cross-section and material of a bar. Axis directions: t along the bar, n its height, b = n × t its width.
struct BarSection
{
    double E = 0, G = 0, rho = 0; ///< [Pa], [Pa], [kg/m³]
    double area = 0;              ///< [m²]
    double I_b = 0, I_n = 0;      ///< [m⁴] ∫z² dA (bending in the n direction), ∫y² dA
    double J = 0;                 ///< [m⁴] torsion constant
    double shear = 5.0 / 6;       ///< shear correction
};

/// Rectangle of the given width (along b) and height (along n).
/// @source torsion constant of a rectangle: Timoshenko & Goodier, Theory of Elasticity, art. 109, first term of the
/// series
[[nodiscard]] BarSection rectangle_bar(double width, double height, double E, double G, double rho);

/// Solid round bar.
[[nodiscard]] BarSection round_bar(double diameter, double E, double G, double rho);

struct BarMatrices
{
    Eigen::Matrix<double, 18, 18> K, M; ///< nodes in the order end, middle, end; six unknowns each as in element.h
};

/// One beam element whose axis runs `offset` beside its nodes (carried rigidly: u + θ × offset). Stiffness by two Gauss
/// points, which keeps it free of shear locking; mass by three.
/// @param X  nodes (end, middle, end) [m], on a straight line, middle half-way
/// @param n  height direction, not parallel to the bar
[[nodiscard]] BarMatrices bar_matrices(const BarSection& section, const Eigen::Matrix3d& X, const Eigen::Vector3d& n,
                                       const Eigen::Vector3d& offset);

/// Stiffness of a line that resists only the shear angle of direction n along it: k (n·u' + θ·(n × t))², two Gauss
/// points.
/// @param k  [N] per radian
[[nodiscard]] Eigen::MatrixXd edge_shear(double k, const Eigen::Matrix3d& X, const Eigen::Vector3d& n);

} // namespace stillwall::solver
