#include "mesh/core/tet10.h"

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
    const Eigen::Vector4d L(1 - r.sum(), r.x(), r.y(), r.z());
    Tet10Values N;
    for (int c = 0; c < 4; ++c) N[c] = L[c] * (2 * L[c] - 1);
    for (std::size_t e = 0; e < 6; ++e) N[4 + static_cast<int>(e)] = 4 * L[tet10_edges[e][0]] * L[tet10_edges[e][1]];
    return N;
}

Tet10Gradients tet10_gradients(const Eigen::Vector3d& r)
{
    const Eigen::Vector4d L(1 - r.sum(), r.x(), r.y(), r.z());
    Eigen::Matrix<double, 4, 3> dL;
    dL << -Eigen::RowVector3d::Ones(), Eigen::Matrix3d::Identity();
    Tet10Gradients dN;
    for (int c = 0; c < 4; ++c) dN.row(c) = (4 * L[c] - 1) * dL.row(c);
    for (std::size_t e = 0; e < 6; ++e) {
        const auto [i, j] = tet10_edges[e];
        dN.row(4 + static_cast<int>(e)) = 4 * (L[i] * dL.row(j) + L[j] * dL.row(i));
    }
    return dN;
}

const std::array<TetPoint, 14>& tet_rule_5()
{
    static const std::array<TetPoint, 14> rule = make_rule();
    return rule;
}

} // namespace stillwall
