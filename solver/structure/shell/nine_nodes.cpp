#include "solver/structure/shell/nine_nodes.h"

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

AssumedStrain mitc9(Component component)
{
    AssumedStrain a;
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

} // namespace

const ElementFamily& nine_nodes()
{
    static const ElementFamily family{quad9_nodes, quad9_shape, tensor_rule(gauss_x, gauss_w), all_components(mitc9)};
    return family;
}

} // namespace stillwall::solver
