#pragma once
// Shape functions, quadrature and tying points of the shell elements.

#include "solver/structure/shell/element.h"

namespace stillwall::solver {

struct Shape
{
    Eigen::VectorXd N, N_r, N_s; ///< values and derivatives at (r, s)
};

[[nodiscard]] Shape shape_at(ElementFamily family, double r, double s);

struct QuadraturePoint
{
    double r = 0, s = 0, weight = 0;
};

[[nodiscard]] const std::vector<QuadraturePoint>& quadrature(ElementFamily family);

/// Natural coordinates of the nodes.
[[nodiscard]] const std::vector<Eigen::Vector2d>& node_coordinates(ElementFamily family);

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
struct Assumed
{
    std::vector<Tie> ties;
    Eigen::VectorXd (*weights)(double r, double s) = nullptr;
};

[[nodiscard]] const Assumed& assumed(ElementFamily family, Component component);

} // namespace stillwall::solver
