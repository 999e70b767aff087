#pragma once
// What makes a family of shell elements: shape functions, quadrature and tying points. The element routines take a
// family as a value, so that a new one needs its own file and the place that picks it for a piece of the mesh.

#include <Eigen/Core>

#include <array>
#include <vector>

namespace stillwall::solver {

struct Shape
{
    Eigen::VectorXd N, N_r, N_s; ///< values and derivatives at (r, s)
};

struct QuadraturePoint
{
    double r = 0, s = 0, weight = 0;
};

/// Covariant strain components; each in-plane one stands for its membrane and its curvature part.
enum class Component
{
    rr,
    ss,
    rs,
    rt,
    st
};

/// A place where a component is sampled.
struct Tie
{
    Component component;
    double r, s;
};

/// How an assumed component follows from samples: value(r, s) = Σ weight_k(r, s) · tie_k.
/// Without ties the component is taken directly at the point.
struct AssumedStrain
{
    std::vector<Tie> ties;
    Eigen::VectorXd (*weights)(double r, double s) = nullptr;
};

struct ElementFamily
{
    std::vector<Eigen::Vector2d> nodes;           ///< natural coordinates of the nodes
    Shape (*shape)(double r, double s) = nullptr; ///< of all nodes, in their order
    std::vector<QuadraturePoint> quadrature;      ///< weights sum to the area in natural coordinates
    std::array<AssumedStrain, 5> assumed;         ///< by component; in-plane ones hold on curved elements only

    [[nodiscard]] const AssumedStrain& of(Component component) const
    {
        return assumed[static_cast<std::size_t>(component)];
    }
};

/// A family's assumed components from the rule of one.
[[nodiscard]] std::array<AssumedStrain, 5> all_components(AssumedStrain (*rule)(Component));

} // namespace stillwall::solver
