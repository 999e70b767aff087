#include "solver/air/acoustic.h"

#include "solver/air/internal/tet_sum.h"

#include <Eigen/Dense>

#include <vector>

namespace stillwall::solver {

AirElement air_element(const Eigen::Matrix<double, 3, 10>& X, double c)
{
    struct Point
    {
        Tet10Values N;
        Tet10Gradients dN;
        double weight;
    };
    static const std::vector<Point> points = [] {
        std::vector<Point> all;
        for (const TetPoint& q : tet_rule_5()) all.push_back({tet10_values(q.r), tet10_gradients(q.r), q.weight});
        return all;
    }();
    AirElement element{Matrix10d::Zero(), Matrix10d::Zero()};
    for (const Point& q : points) {
        const Eigen::Matrix3d J = X * q.dN; // ∂x/∂r
        const double det = J.determinant();
        if (!(det > 0)) throw MeshError("an element of the air folds over");
        const Tet10Gradients grad = q.dN * J.inverse();
        element.H.noalias() += (q.weight * det) * grad * grad.transpose();
        element.Q.noalias() += (q.weight * det / (c * c)) * q.N * q.N.transpose();
    }
    return element;
}

EigenResult air_modes(const AirMatrices& matrices, double f_max)
{
    EigenOptions options;
    options.f_max = f_max;
    options.nodes_dof = 1;
    return lowest_modes(matrices.H, matrices.Q, options);
}

} // namespace stillwall::solver
