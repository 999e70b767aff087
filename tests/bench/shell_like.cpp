#include "tests/bench/shell_like.h"

#include <Eigen/Geometry>

#include <array>
#include <cmath>
#include <map>
#include <vector>

namespace stillwall::bench {

namespace {

using Eigen::Vector3d;
using Eigen::Vector3i;

constexpr double E = 3e9, nu = 0.3, rho = 720, t = 0.018; // a board: [Pa], [-], [kg/m³], [m]

struct Grid
{
    std::vector<Vector3d> nodes;
    struct Cell
    {
        std::array<int, 9> node{};
        Vector3d normal;
        double a = 0, b = 0;
    };
    std::vector<Cell> cells;
};

// Cells over the plane where coordinate `axis` is the grid line `at`.
void add_plane(Grid& grid, std::map<std::array<int, 3>, int>& known, const Vector3i& n, const Vector3d& h, int axis,
               int at)
{
    const int u = (axis + 1) % 3, v = (axis + 2) % 3;
    for (int i = 0; i < n[u]; ++i) {
        for (int j = 0; j < n[v]; ++j) {
            Grid::Cell cell;
            cell.normal = Vector3d::Unit(axis);
            cell.a = 2 * h[u];
            cell.b = 2 * h[v];
            for (int k = 0; k < 9; ++k) {
                std::array<int, 3> place{};
                place[axis] = at;
                place[u] = 2 * i + k % 3;
                place[v] = 2 * j + k / 3;
                const auto [it, is_new] = known.try_emplace(place, static_cast<int>(grid.nodes.size()));
                if (is_new) grid.nodes.emplace_back(place[0] * h[0], place[1] * h[1], place[2] * h[2]);
                cell.node[k] = it->second;
            }
            grid.cells.push_back(cell);
        }
    }
}

Grid make_grid(int cells)
{
    const Vector3d size(0.5, 0.3, 0.4);
    Vector3i n;
    Vector3d h;
    for (int i = 0; i < 3; ++i) {
        n[i] = std::max(1, static_cast<int>(std::lround(cells * size[i] / size[0])));
        h[i] = size[i] / (2 * n[i]);
    }
    Grid grid;
    std::map<std::array<int, 3>, int> known;
    for (int axis = 0; axis < 3; ++axis) {
        add_plane(grid, known, n, h, axis, 0);
        add_plane(grid, known, n, h, axis, 2 * n[axis]);
    }
    add_plane(grid, known, n, h, 0, 2 * (n[0] / 3));
    return grid;
}

// Stiffness (12, 12) of a Euler-Bernoulli beam from p to q; `normal` is the direction of the soft bending.
Eigen::Matrix<double, 12, 12> beam(const Vector3d& p, const Vector3d& q, const Vector3d& normal, double width)
{
    const double L = (q - p).norm();
    const double EA = E * t * width, EI_soft = E * t * t * t * width / 12,
                 EI_stiff = E * t * width * width * width / 12;
    const double GJ = E / (2 * (1 + nu)) * width * t * t * t / 3;
    Eigen::Matrix<double, 12, 12> k = Eigen::Matrix<double, 12, 12>::Zero();
    const auto spring = [&](int i, double value) {
        k(i, i) += value;
        k(i + 6, i + 6) += value;
        k(i, i + 6) -= value;
        k(i + 6, i) -= value;
    };
    spring(0, EA / L);
    spring(3, GJ / L);
    const auto bending = [&](int w, int r, double sign, double EI) {
        const Eigen::Vector4d shape(2, sign * L, -2, sign * L); // twice the mean rotation, and the difference below
        const Eigen::Vector4d twist(0, 1, 0, -1);
        const Eigen::Matrix4d b =
            EI / (L * L * L) * (3 * shape * shape.transpose() + L * L * twist * twist.transpose());
        const std::array<int, 4> at{w, r, w + 6, r + 6};
        for (int i = 0; i < 4; ++i) {
            for (int j = 0; j < 4; ++j) k(at[i], at[j]) += b(i, j);
        }
    };
    bending(2, 4, -1, EI_soft);
    bending(1, 5, 1, EI_stiff);
    Eigen::Matrix3d R;
    R.row(0) = (q - p).normalized();
    R.row(2) = normal;
    R.row(1) = R.row(2).cross(R.row(0));
    Eigen::Matrix<double, 12, 12> rotation = Eigen::Matrix<double, 12, 12>::Zero();
    for (int i = 0; i < 4; ++i) rotation.block<3, 3>(3 * i, 3 * i) = R;
    return rotation.transpose() * k * rotation;
}

void add_cell(const Grid& grid, const Grid::Cell& cell, std::vector<Eigen::Triplet<double>>& K,
              std::vector<Eigen::Triplet<double>>& M)
{
    Eigen::Matrix<double, 54, 54> stiffness = Eigen::Matrix<double, 54, 54>::Zero();
    const double width = std::sqrt(cell.a * cell.b) / 8; // 36 beams share the cell
    for (int i = 0; i < 9; ++i) {
        for (int j = i + 1; j < 9; ++j) {
            const auto k = beam(grid.nodes[cell.node[i]], grid.nodes[cell.node[j]], cell.normal, width);
            const std::array<int, 2> at{6 * i, 6 * j};
            for (int r = 0; r < 2; ++r) {
                for (int c = 0; c < 2; ++c) stiffness.block<6, 6>(at[r], at[c]) += k.block<6, 6>(6 * r, 6 * c);
            }
        }
    }
    Eigen::Matrix3d line; // consistent mass of a quadratic line
    line << 4, 2, -1, 2, 16, 2, -1, 2, 4;
    for (int i = 0; i < 9; ++i) {
        for (int j = 0; j < 9; ++j) {
            const double m = rho * t * cell.a * cell.b / 900 * line(i % 3, j % 3) * line(i / 3, j / 3);
            for (int r = 0; r < 6; ++r) {
                M.emplace_back(6 * cell.node[i] + r, 6 * cell.node[j] + r, r < 3 ? m : m * t * t / 12);
                for (int c = 0; c < 6; ++c)
                    K.emplace_back(6 * cell.node[i] + r, 6 * cell.node[j] + c, stiffness(6 * i + r, 6 * j + c));
            }
        }
    }
}

} // namespace

MatrixPair shell_like_box(int cells)
{
    const Grid grid = make_grid(cells);
    std::vector<Eigen::Triplet<double>> K, M;
    for (const Grid::Cell& cell : grid.cells) add_cell(grid, cell, K, M);
    const auto n = static_cast<Eigen::Index>(6 * grid.nodes.size());
    MatrixPair pair{solver::SparseMatrix(n, n), solver::SparseMatrix(n, n)};
    pair.K.setFromTriplets(K.begin(), K.end());
    pair.M.setFromTriplets(M.begin(), M.end());
    return pair;
}

} // namespace stillwall::bench
