#include "solver/air/acoustic.h"

#include <Eigen/Dense>

#include <cmath>
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

AirMatrices assemble_air(const AirMesh& mesh, double c)
{
    std::vector<Eigen::Triplet<double>> H, Q;
    H.reserve(100 * mesh.tets.size());
    Q.reserve(100 * mesh.tets.size());
    Eigen::Matrix<double, 3, 10> X;
    for (const auto& tet : mesh.tets) {
        for (int a = 0; a < 10; ++a) X.col(a) = mesh.nodes.col(tet[static_cast<std::size_t>(a)]);
        const AirElement element = air_element(X, c);
        for (int a = 0; a < 10; ++a) {
            for (int b = 0; b < 10; ++b) {
                const int row = tet[static_cast<std::size_t>(a)], column = tet[static_cast<std::size_t>(b)];
                H.emplace_back(row, column, element.H(a, b));
                Q.emplace_back(row, column, element.Q(a, b));
            }
        }
    }
    const int n = mesh.n_nodes();
    AirMatrices matrices{SparseMatrix(n, n), SparseMatrix(n, n)};
    matrices.H.setFromTriplets(H.begin(), H.end());
    matrices.Q.setFromTriplets(Q.begin(), Q.end());
    return matrices;
}

EigenResult air_modes(const AirMatrices& matrices, double f_max)
{
    EigenOptions options;
    options.f_max = f_max;
    options.nodes_dof = 1;
    return lowest_modes(matrices.H, matrices.Q, options);
}

} // namespace stillwall::solver
