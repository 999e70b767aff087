#include "solver/air/internal/cut_tet.h"

#include "mesh/cabinet/error.h"

#include <Eigen/Dense>

#include <cmath>
#include <map>

namespace stillwall::solver::internal {
namespace {

using Corners = std::array<Eigen::Vector3d, 4>;
constexpr std::array<std::array<int, 2>, 6> metric = {{{0, 0}, {1, 1}, {2, 2}, {0, 1}, {1, 2}, {0, 2}}};

/// Four at the corners, four from the octahedron between the mid-edges, cut along the diagonal 4-9 (tet10.h). All of
/// one volume.
std::array<Corners, 8> halved(const Corners& x)
{
    std::array<Eigen::Vector3d, 10> p;
    for (std::size_t c = 0; c < 4; ++c) p[c] = x[c];
    for (std::size_t e = 0; e < 6; ++e)
        p[4 + e] =
            (x[static_cast<std::size_t>(tet10_edges[e][0])] + x[static_cast<std::size_t>(tet10_edges[e][1])]) / 2;
    constexpr std::array<std::array<std::size_t, 4>, 8> split = {{{0, 4, 6, 7},
                                                                  {4, 1, 5, 8},
                                                                  {6, 5, 2, 9},
                                                                  {7, 8, 9, 3},
                                                                  {4, 9, 5, 6},
                                                                  {4, 9, 6, 7},
                                                                  {4, 9, 7, 8},
                                                                  {4, 9, 8, 5}}};
    std::array<Corners, 8> parts;
    for (std::size_t k = 0; k < 8; ++k)
        for (std::size_t c = 0; c < 4; ++c) parts[k][c] = p[split[k][c]];
    return parts;
}

Eigen::Matrix3d edges_of(const Corners& x)
{
    Eigen::Matrix3d J;
    for (std::size_t c = 0; c < 3; ++c) J.col(static_cast<Eigen::Index>(c)) = x[c + 1] - x[0];
    return J;
}

using Vector100d = Eigen::Matrix<double, 100, 1>;

Vector100d stacked(const Matrix10d& A)
{
    return Eigen::Map<const Vector100d>(A.data());
}

} // namespace

const CutTet& CutTet::get()
{
    static const CutTet table;
    return table;
}

CutTet::CutTet() : mass_(Eigen::MatrixXd::Zero(100, n_parts)), stiffness_(Eigen::MatrixXd::Zero(100, 6 * n_parts))
{
    std::map<std::array<int, 3>, int> number;
    const auto lattice_point = [&](const Eigen::Vector3d& r) {
        const std::array<int, 3> key{static_cast<int>(std::lround(4 * r[0])), static_cast<int>(std::lround(4 * r[1])),
                                     static_cast<int>(std::lround(4 * r[2]))};
        const auto [it, is_new] = number.try_emplace(key, static_cast<int>(number.size()));
        if (is_new) lattice_.col(it->second) = tet10_values(r);
        return it->second;
    };
    std::size_t s = 0;
    const Corners whole{Eigen::Vector3d::Zero(), Eigen::Vector3d::UnitX(), Eigen::Vector3d::UnitY(),
                        Eigen::Vector3d::UnitZ()};
    for (const Corners& half : halved(whole)) {
        for (const Corners& part : halved(half)) {
            for (std::size_t c = 0; c < 4; ++c) corners_[s][c] = lattice_point(part[c]);
            middle_[s] = tet10_gradients((part[0] + part[1] + part[2] + part[3]) / 4);
            const Eigen::Matrix3d J = edges_of(part);
            const double size = std::abs(J.determinant());
            const auto column = static_cast<Eigen::Index>(s);
            for (const TetPoint& q : tet_rule_5()) {
                const Eigen::Vector3d r = part[0] + J * q.r;
                const Tet10Values N = tet10_values(r);
                const Tet10Gradients dN = tet10_gradients(r);
                mass_.col(column) += q.weight * size * stacked(N * N.transpose());
                for (std::size_t m = 0; m < 6; ++m) {
                    Matrix10d G = dN.col(metric[m][0]) * dN.col(metric[m][1]).transpose();
                    if (m > 2) G += G.transpose().eval();
                    stiffness_.col(6 * column + static_cast<Eigen::Index>(m)) += q.weight * size * stacked(G);
                }
            }
            ++s;
        }
    }
}

Eigen::Matrix<double, 3, CutTet::n_points> CutTet::points(const Eigen::Matrix<double, 3, 10>& X) const
{
    return X * lattice_;
}

AirElement CutTet::integrate(const Eigen::Matrix<double, 3, 10>& X, const PartShares& share) const
{
    PartShares for_mass;
    Eigen::Matrix<double, 6 * n_parts, 1> for_stiffness;
    for (std::size_t s = 0; s < n_parts; ++s) {
        const auto column = static_cast<Eigen::Index>(s);
        const Eigen::Matrix3d J = X * middle_[s];
        const double det = J.determinant();
        if (!(det > 0)) throw MeshError("an element of the air folds over");
        const Eigen::Matrix3d inverse = J.inverse(), g = inverse * inverse.transpose();
        for_mass[column] = share[column] * det;
        for (std::size_t m = 0; m < 6; ++m)
            for_stiffness[6 * column + static_cast<Eigen::Index>(m)] = for_mass[column] * g(metric[m][0], metric[m][1]);
    }
    AirElement element;
    Eigen::Map<Vector100d>(element.H.data()).noalias() = stiffness_ * for_stiffness;
    Eigen::Map<Vector100d>(element.Q.data()).noalias() = mass_ * for_mass;
    return element;
}

} // namespace stillwall::solver::internal
