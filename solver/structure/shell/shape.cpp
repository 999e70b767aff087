#include "solver/structure/shell/shape.h"

#include "mesh/core/line3.h"

#include <array>
#include <cmath>

namespace stillwall::solver {
namespace {

using Eigen::Vector2d;
using Eigen::VectorXd;

const double third_root = 1 / std::sqrt(3.0);
const double far_root = std::sqrt(0.6);

const std::vector<Vector2d> quad9_nodes = {{-1, -1}, {1, -1}, {1, 1},  {-1, 1}, {0, -1},
                                           {1, 0},   {0, 1},  {-1, 0}, {0, 0}};
const std::vector<Vector2d> quad4_nodes = {{-1, -1}, {1, -1}, {1, 1}, {-1, 1}};
const std::vector<Vector2d> tri3_nodes = {{0, 0}, {1, 0}, {0, 1}};

Shape quad9_shape(double r, double s)
{
    const Line3 a(r), b(s);
    Shape f{VectorXd(9), VectorXd(9), VectorXd(9)};
    for (int i = 0; i < 9; ++i) {
        const auto& p = quad9_nodes[static_cast<std::size_t>(i)];
        const auto ir = static_cast<std::size_t>(p.x() + 1), is = static_cast<std::size_t>(p.y() + 1);
        f.N[i] = a.L[ir] * b.L[is];
        f.N_r[i] = a.D[ir] * b.L[is];
        f.N_s[i] = a.L[ir] * b.D[is];
    }
    return f;
}

Shape quad4_shape(double r, double s)
{
    Shape f{VectorXd(4), VectorXd(4), VectorXd(4)};
    for (int i = 0; i < 4; ++i) {
        const auto& p = quad4_nodes[static_cast<std::size_t>(i)];
        f.N[i] = (1 + p.x() * r) * (1 + p.y() * s) / 4;
        f.N_r[i] = p.x() * (1 + p.y() * s) / 4;
        f.N_s[i] = p.y() * (1 + p.x() * r) / 4;
    }
    return f;
}

template <std::size_t n>
std::vector<QuadraturePoint> tensor_rule(const std::array<double, n>& x, const std::array<double, n>& w)
{
    std::vector<QuadraturePoint> rule;
    for (std::size_t j = 0; j < n; ++j)
        for (std::size_t i = 0; i < n; ++i) rule.push_back({x[i], x[j], w[i] * w[j]});
    return rule;
}

// MITC9 sampling: two points along the component's own direction, three across; four for the in-plane shear.
std::array<double, 2> pair_weights(double x)
{
    return {(1 - x / third_root) / 2, (1 + x / third_root) / 2};
}

std::array<double, 3> triple_weights(double x)
{
    const double a = far_root;
    return {x * (x - a) / (2 * a * a), 1 - x * x / (a * a), x * (x + a) / (2 * a * a)};
}

VectorXd weights_2_by_3(double two, double three)
{
    const auto a = pair_weights(two);
    const auto b = triple_weights(three);
    VectorXd w(6);
    for (int j = 0; j < 3; ++j)
        for (int i = 0; i < 2; ++i) w[2 * j + i] = a[static_cast<std::size_t>(i)] * b[static_cast<std::size_t>(j)];
    return w;
}

Assumed mitc9(Component component)
{
    Assumed a;
    const std::array<double, 2> two = {-third_root, third_root};
    const std::array<double, 3> three = {-far_root, 0, far_root};
    if (component == Component::rs) {
        for (double s : two)
            for (double r : two) a.ties.push_back({component, r, s});
        a.weights = [](double r, double s) {
            const auto x = pair_weights(r), y = pair_weights(s);
            VectorXd w(4);
            w << x[0] * y[0], x[1] * y[0], x[0] * y[1], x[1] * y[1];
            return w;
        };
        return a;
    }
    const bool along_r = component == Component::rr || component == Component::rt;
    for (double across : three)
        for (double along : two)
            a.ties.push_back(along_r ? Tie{component, along, across} : Tie{component, across, along});
    if (along_r)
        a.weights = [](double r, double s) { return weights_2_by_3(r, s); };
    else
        a.weights = [](double r, double s) { return weights_2_by_3(s, r); };
    return a;
}

Assumed mitc4(Component component)
{
    Assumed a;
    if (component == Component::rt) {
        a.ties = {{component, 0, -1}, {component, 0, 1}};
        a.weights = [](double, double s) { return VectorXd(Vector2d((1 - s) / 2, (1 + s) / 2)); };
    } else if (component == Component::st) {
        a.ties = {{component, -1, 0}, {component, 1, 0}};
        a.weights = [](double r, double) { return VectorXd(Vector2d((1 - r) / 2, (1 + r) / 2)); };
    }
    return a;
}

// MITC3, Lee & Bathe 2004 eqs. (23)-(25): γ_rt = γ1 + c s, γ_st = γ2 − c r, c = γ2 − γ1 − γ_st(3) + γ_rt(3), the
// points being the mid-sides 1 (½, 0), 2 (0, ½), 3 (½, ½).
Assumed mitc3(Component component)
{
    Assumed a;
    if (component != Component::rt && component != Component::st) return a;
    a.ties = {{Component::rt, 0.5, 0}, {Component::st, 0, 0.5}, {Component::st, 0.5, 0.5}, {Component::rt, 0.5, 0.5}};
    if (component == Component::rt)
        a.weights = [](double, double s) { return VectorXd(Eigen::Vector4d(1 - s, s, -s, s)); };
    else
        a.weights = [](double r, double) { return VectorXd(Eigen::Vector4d(r, 1 - r, r, -r)); };
    return a;
}

std::array<Assumed, 5> all_components(Assumed (*make)(Component))
{
    return {make(Component::rr), make(Component::ss), make(Component::rs), make(Component::rt), make(Component::st)};
}

} // namespace

int n_nodes(ElementFamily family)
{
    return static_cast<int>(node_coordinates(family).size());
}

const std::vector<Vector2d>& node_coordinates(ElementFamily family)
{
    switch (family) {
    case ElementFamily::Tri3:
        return tri3_nodes;
    case ElementFamily::Quad4:
        return quad4_nodes;
    default:
        return quad9_nodes;
    }
}

Shape shape_at(ElementFamily family, double r, double s)
{
    if (family == ElementFamily::Quad9) return quad9_shape(r, s);
    if (family == ElementFamily::Quad4) return quad4_shape(r, s);
    return {Eigen::Vector3d(1 - r - s, r, s), Eigen::Vector3d(-1, 1, 0), Eigen::Vector3d(-1, 0, 1)};
}

const std::vector<QuadraturePoint>& quadrature(ElementFamily family)
{
    static const auto nine = tensor_rule(gauss_x, gauss_w);
    static const auto four = tensor_rule<2>({-third_root, third_root}, {1, 1});
    static const std::vector<QuadraturePoint> three = {
        {1.0 / 6, 1.0 / 6, 1.0 / 6}, {2.0 / 3, 1.0 / 6, 1.0 / 6}, {1.0 / 6, 2.0 / 3, 1.0 / 6}};
    switch (family) {
    case ElementFamily::Tri3:
        return three;
    case ElementFamily::Quad4:
        return four;
    default:
        return nine;
    }
}

const Assumed& assumed(ElementFamily family, Component component)
{
    static const auto tri3 = all_components(mitc3), quad4 = all_components(mitc4), quad9 = all_components(mitc9);
    const auto& set = family == ElementFamily::Tri3 ? tri3 : family == ElementFamily::Quad4 ? quad4 : quad9;
    return set[static_cast<std::size_t>(component)];
}

} // namespace stillwall::solver
