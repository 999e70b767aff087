#include "mesh/core/tet10.h"

#include "mesh/core/tri6.h"

#include <utility>

namespace stillwall {
namespace {

std::array<TetPoint, 14> make_rule()
{
    std::array<TetPoint, 14> rule;
    std::size_t k = 0;
    // Orbits of four: three barycentric coordinates equal a, the fourth 1 − 3a.
    for (const auto& [a, weight] : {std::pair{0.3108859192633006, 0.1126879257180159 / 6},
                                    std::pair{0.0927352503108912, 0.0734930431163620 / 6}}) {
        rule[k++] = {{a, a, a}, weight};
        for (int c = 0; c < 3; ++c) {
            Eigen::Vector3d r(a, a, a);
            r[c] = 1 - 3 * a;
            rule[k++] = {r, weight};
        }
    }
    // Orbit of six: two coordinates a, two 1/2 − a.
    const double a = 0.0455037041256497, b = 0.5 - a, weight = 0.0425460207770812 / 6;
    for (int c = 0; c < 3; ++c) {
        Eigen::Vector3d r(a, a, a);
        r[c] = b;
        rule[k++] = {r, weight}; // the coordinate of corner 0 is b too
        r = {b, b, b};
        r[c] = a;
        rule[k++] = {r, weight};
    }
    return rule;
}

} // namespace

Tet10Values tet10_values(const Eigen::Vector3d& r)
{
    return quadratic_values<4>(Eigen::Vector4d(1 - r.sum(), r.x(), r.y(), r.z()), tet10_edges);
}

Tet10Gradients tet10_gradients(const Eigen::Vector3d& r)
{
    return quadratic_gradients<4>(Eigen::Vector4d(1 - r.sum(), r.x(), r.y(), r.z()), tet10_edges);
}

const std::array<TetPoint, 14>& tet_rule_5()
{
    static const std::array<TetPoint, 14> rule = make_rule();
    return rule;
}

} // namespace stillwall
