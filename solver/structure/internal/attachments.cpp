#include "solver/structure/internal/attachments.h"

#include "solver/structure/internal/points.h"
#include "solver/structure/shell/beam.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

namespace stillwall::solver::internal {
namespace {

using Eigen::Matrix3d;
using Eigen::MatrixXd;
using Eigen::Vector3d;

BarSection bar_of(std::optional<double> diameter, double width, double height, const Material& m)
{
    const double G = m.is_isotropic ? m.G12.value : (m.G12.value + m.G13.value) / 2;
    return diameter ? round_bar(*diameter, m.E1.value, G, m.rho.value)
                    : rectangle_bar(width, height, m.E1.value, G, m.rho.value);
}

} // namespace

void attach_ribs(const Cabinet& cabinet, const ShellMesh& mesh, const BoardNodes& board_nodes, Structure& structure)
{
    for (std::size_t r = 0; r < cabinet.ribs.size(); ++r) {
        const Rib& rib = cabinet.ribs[r];
        const Board& board = cabinet.board(rib.board);
        const Material& material = cabinet.materials.at(static_cast<std::size_t>(rib.material));
        const BarSection section = bar_of({}, rib.width, rib.height, material);
        const Vector3d offset = rib.side * (board.thickness() + rib.height) / 2 * board.frame.n;
        for (const auto& edge : mesh.rib_edges.at(r)) {
            const std::vector<int> nodes = board_nodes.base(rib.board, {edge.begin(), edge.end()});
            const Matrix3d X = element_nodes(structure.nodes, nodes);
            const BarMatrices m = bar_matrices(section, X, board.frame.n, offset);
            structure.attachments.push_back(
                {Attachment::Kind::Rib, rib.name, rib.board, rib.material, material.eta.value, nodes, m.K, m.M});
        }
    }
}

void attach_rods(const Cabinet& cabinet, const ShellMesh& mesh, Structure& structure)
{
    constexpr int n_elements = 4;
    for (const Rod& rod : cabinet.rods) {
        const Material& material = cabinet.materials.at(static_cast<std::size_t>(rod.material));
        const BarSection section = bar_of(rod.diameter, rod.width, rod.height, material);
        const auto first = static_cast<int>(structure.nodes.cols());
        structure.nodes.conservativeResize(3, first + 2 * n_elements + 1);
        for (int i = 0; i <= 2 * n_elements; ++i)
            structure.nodes.col(first + i) = rod.from + (rod.to - rod.from) * i / (2.0 * n_elements);
        const Vector3d along = (rod.to - rod.from).normalized();
        const Vector3d n = std::abs(along.z()) < 0.9 ? Vector3d::UnitZ() : Vector3d::UnitX();
        for (int e = 0; e < n_elements; ++e) {
            const std::vector<int> nodes = {first + 2 * e, first + 2 * e + 1, first + 2 * e + 2};
            const Matrix3d X = element_nodes(structure.nodes, nodes);
            const BarMatrices m = bar_matrices(section, X, n, Vector3d::Zero());
            structure.attachments.push_back(
                {Attachment::Kind::Rod, rod.name, rod.board_from, rod.material, material.eta.value, nodes, m.K, m.M});
        }
        // Ends: springs a thousand times stiffer than the rod between board and rod end, translation and rotation.
        const double length = (rod.to - rod.from).norm();
        const double k_u = 1e3 * section.E * section.area / length;
        const double k_r = 1e3 * section.E * std::max(section.I_b, section.I_n) / length;
        const std::array<std::pair<int, Vector3d>, 2> ends = {{{rod.board_from, rod.from}, {rod.board_to, rod.to}}};
        for (std::size_t k = 0; k < 2; ++k) {
            const BoardPoint point = locate(cabinet, mesh, ends[k].first, ends[k].second);
            Attachment tie{
                Attachment::Kind::Tie, rod.name, ends[k].first, rod.material, material.eta.value, {}, {}, {}};
            tie.nodes = nodes_at(structure, point);
            tie.nodes.push_back(first + (k == 0 ? 0 : 2 * n_elements));
            MatrixXd gap(6, 60);
            gap << -motion_at(point), MatrixXd::Identity(6, 6);
            Eigen::VectorXd k_gap(6);
            k_gap << k_u, k_u, k_u, k_r, k_r, k_r;
            tie.K = gap.transpose() * k_gap.asDiagonal() * gap;
            structure.attachments.push_back(std::move(tie));
        }
    }
}

void attach_masses(const Cabinet& cabinet, const ShellMesh& mesh, Structure& structure)
{
    const std::array<double, 3> place{-std::sqrt(0.6), 0, std::sqrt(0.6)}, weight{5.0 / 18, 8.0 / 18, 5.0 / 18};
    for (const PointMass& item : cabinet.masses) {
        const Board& board = cabinet.board(item.board);
        const bool is_point = item.width <= 0 && item.height <= 0;
        for (std::size_t k = is_point ? 4 : 0; k < (is_point ? 5 : 9); ++k) {
            const Vector2d p = item.at + Vector2d(item.width / 2 * place[k % 3], item.height / 2 * place[k / 3]);
            const BoardPoint point = locate(cabinet, mesh, item.board, board.frame.to_space(p));
            Attachment a{Attachment::Kind::Insert, item.name, item.board, -1, 0, {}, {}, {}};
            a.nodes = nodes_at(structure, point);
            const Eigen::MatrixXd u = motion_at(point).topRows<3>();
            a.M = item.mass * (is_point ? 1 : weight[k % 3] * weight[k / 3]) * u.transpose() * u;
            structure.attachments.push_back(std::move(a));
        }
    }
}

void attach_supports(const Cabinet& cabinet, const ShellMesh& mesh, Structure& structure)
{
    for (const Support& support : cabinet.supports) {
        if (support.is_clamped_edge) continue; // held in build_structure
        const Board& board = cabinet.board(support.board);
        for (const auto& p : support.points) {
            const BoardPoint point = locate(cabinet, mesh, support.board, board.frame.to_space(p));
            Attachment spring{
                Attachment::Kind::Support, support.name, support.board, -1, support.loss.value, {}, {}, {},
                support.stiffness_range,   support.loss};
            spring.nodes = nodes_at(structure, point);
            const MatrixXd u = motion_at(point).topRows<3>();
            spring.K = u.transpose() * support.stiffness.asDiagonal() * u;
            structure.attachments.push_back(std::move(spring));
        }
    }
}

} // namespace stillwall::solver::internal
