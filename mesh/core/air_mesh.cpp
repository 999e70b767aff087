#include "mesh/core/air_mesh.h"

#include "mesh/core/tri6.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace stillwall {
namespace {

Eigen::Matrix<double, 3, 10> positions(const AirMesh& mesh, const std::array<int, 10>& tet)
{
    Eigen::Matrix<double, 3, 10> X;
    for (int a = 0; a < 10; ++a) X.col(a) = mesh.nodes.col(tet[static_cast<std::size_t>(a)]);
    return X;
}

/// x,r × x,s at the three mid-edge points, each for a third of the unit triangle (degree 2: exact for the quadratic
/// map).
std::array<Vector3d, 3> area_elements(const AirMesh& mesh, const AirMesh::Face& face)
{
    Eigen::Matrix<double, 3, 6> X;
    for (int a = 0; a < 6; ++a) X.col(a) = mesh.nodes.col(face.node[static_cast<std::size_t>(a)]);
    std::array<Vector3d, 3> elements;
    std::size_t k = 0;
    for (const auto& [r, s] : {std::pair{0.5, 0.0}, std::pair{0.5, 0.5}, std::pair{0.0, 0.5}}) {
        const Eigen::Matrix<double, 3, 2> slopes = X * tri6_gradients(r, s);
        elements[k++] = slopes.col(0).cross(slopes.col(1)) / 6;
    }
    return elements;
}

} // namespace

double volume(const AirMesh& mesh)
{
    double sum = 0;
    for (const auto& tet : mesh.tets) {
        const auto X = positions(mesh, tet);
        for (const TetPoint& q : tet_rule_5()) sum += q.weight * (X * tet10_gradients(q.r)).determinant();
    }
    return sum;
}

Vector3d area_vector(const AirMesh& mesh, const AirMesh::Face& face)
{
    Vector3d sum = Vector3d::Zero();
    for (const Vector3d& dA : area_elements(mesh, face)) sum += dA;
    return sum;
}

double area(const AirMesh& mesh, const AirMesh::Face& face)
{
    double sum = 0;
    for (const Vector3d& dA : area_elements(mesh, face)) sum += dA.norm();
    return sum;
}

double jacobian_ratio(const AirMesh& mesh, const std::array<int, 10>& tet)
{
    const auto X = positions(mesh, tet);
    double least = std::numeric_limits<double>::infinity(), greatest = -least;
    const auto take = [&](const Vector3d& r) {
        const double J = (X * tet10_gradients(r)).determinant();
        least = std::min(least, J);
        greatest = std::max(greatest, J);
    };
    for (const TetPoint& q : tet_rule_5()) take(q.r);
    take(Vector3d::Zero());
    for (int c = 0; c < 3; ++c) take(Vector3d::Unit(c));
    return greatest > 0 ? least / greatest : -1;
}

double shape(const AirMesh& mesh, const std::array<int, 10>& tet)
{
    const auto x = [&](int a) -> Vector3d { return mesh.nodes.col(tet[static_cast<std::size_t>(a)]); };
    const double V = (x(1) - x(0)).cross(x(2) - x(0)).dot(x(3) - x(0)) / 6;
    double squares = 0;
    for (const auto& [i, j] : tet10_edges) squares += (x(j) - x(i)).squaredNorm();
    return 6 * std::sqrt(2.0) * V / std::pow(squares / 6, 1.5);
}

} // namespace stillwall
