#include "solver/modes/internal/attachments.h"

#include "mesh/core/opening.h"
#include "solver/shell/attach.h"
#include "solver/shell/beam.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <array>
#include <cmath>

namespace stillwall::solver::internal {
namespace {

using Eigen::Index;
using Eigen::Matrix3d;
using Eigen::MatrixXd;
using Eigen::Vector3d;

/// Inertia of an insert the user gave only a mass for: a cylinder of 0.9 of the hole's width and 0.4 of it in depth (a guess
/// at a driver's proportions; common practice, no source).
struct Inertia
{
    double axial, radial;
};

Inertia inertia_of(const InsertPlan& insert, double width)
{
    const double r = 0.45 * width, h = insert.kind == InsertPlan::Kind::Plate ? 0.02 * width : 0.4 * width;
    return {insert.inertia_axial > 0 ? insert.inertia_axial : insert.mass * r * r / 2,
            insert.inertia_radial > 0 ? insert.inertia_radial : insert.mass * (3 * r * r + h * h) / 12};
}

void attach_insert(const Opening& opening, const std::vector<int>& rim, int board_index, const Board& board,
                   Structure& structure)
{
    const InsertPlan& insert = opening.insert;
    const Eigen::Matrix3Xd X = element_nodes(structure.nodes, rim);
    const Vector3d centre = board.frame.to_space(opening.centre) - insert.offset * board.frame.n;
    const MatrixXd T = rim_motion(X, rim_weights(X), centre);
    const std::string name = insert.name.empty() ? opening.name : insert.name;
    if (insert.mass > 0) {
        const Inertia inertia = inertia_of(insert, std::min(opening.width, opening.height));
        Attachment a{Attachment::Kind::Insert, name, board_index, -1, 0, rim, {}, {}};
        a.M = T.transpose() * rigid_mass(insert.mass, inertia.axial, inertia.radial, board.frame.n) * T;
        structure.attachments.push_back(std::move(a));
    }
    structure.taps.push_back({name, board_index, insert.kind == InsertPlan::Kind::Driver, rim,
                              board.frame.n.transpose() * T.topRows<3>(), std::min(opening.width, opening.height),
                              opening_area(opening)});
    if (insert.rim_EI > 0) {
        // The frame as a ring with equal bending and torsion stiffness and no stretch of its own (E = 1 Pa carries I = EI).
        const BarSection ring{1, 1, 1e-12, 1e-6, insert.rim_EI, insert.rim_EI, insert.rim_EI, 1e-6};
        for (std::size_t i = 0; i + 1 < rim.size(); i += 2) {
            const std::vector<int> nodes = {rim[i], rim[i + 1], rim[(i + 2) % rim.size()]};
            const Matrix3d side = element_nodes(structure.nodes, nodes);
            Attachment a{Attachment::Kind::Rim, name, board_index, -1, 0, nodes, {}, {}};
            a.K = bar_matrices(ring, side, board.frame.n, Vector3d::Zero()).K;
            structure.attachments.push_back(std::move(a));
        }
    }
}

BarSection bar_of(double diameter, double width, double height, const Material& m)
{
    const double G = m.is_isotropic ? m.G12.value : (m.G12.value + m.G13.value) / 2;
    return diameter > 0 ? round_bar(diameter, m.E1.value, G, m.rho.value)
                        : rectangle_bar(width, height, m.E1.value, G, m.rho.value);
}

} // namespace

void attach_inserts(const Cabinet& cabinet, const ShellMesh& mesh, Structure& structure)
{
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
        const Board& board = cabinet.boards[b];
        for (std::size_t o = 0; o < board.openings.size(); ++o)
            if (board.openings[o].insert.kind != InsertPlan::Kind::None)
                attach_insert(board.openings[o], mesh.rims.at(b).at(o), static_cast<int>(b), board, structure);
    }
}

void attach_ribs(const Cabinet& cabinet, const ShellMesh& mesh, Structure& structure)
{
    for (std::size_t r = 0; r < cabinet.ribs.size(); ++r) {
        const Rib& rib = cabinet.ribs[r];
        const Board& board = cabinet.board(rib.board);
        const Material& material = cabinet.materials.at(static_cast<std::size_t>(rib.material));
        const BarSection section = bar_of(0, rib.width, rib.height, material);
        const Vector3d offset = rib.side * (board.thickness() + rib.height) / 2 * board.frame.n;
        for (const auto& edge : mesh.rib_edges.at(r)) {
            const std::vector<int> nodes(edge.begin(), edge.end());
            const Matrix3d X = element_nodes(structure.nodes, nodes);
            const BarMatrices m = bar_matrices(section, X, board.frame.n, offset);
            structure.attachments.push_back({Attachment::Kind::Rib, rib.name, rib.board, rib.material,
                                             material.eta.value, nodes, m.K, m.M});
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
            structure.attachments.push_back({Attachment::Kind::Rod, rod.name, rod.board_from, rod.material,
                                             material.eta.value, nodes, m.K, m.M});
        }
        // Ends: springs a thousand times stiffer than the rod between board and rod end, translation and rotation.
        const double length = (rod.to - rod.from).norm();
        const double k_u = 1e3 * section.E * section.area / length;
        const double k_r = 1e3 * section.E * std::max(section.I_b, section.I_n) / length;
        const std::array<std::pair<int, Vector3d>, 2> ends = {{{rod.board_from, rod.from}, {rod.board_to, rod.to}}};
        for (std::size_t k = 0; k < 2; ++k) {
            const BoardPoint point = locate(cabinet, mesh, ends[k].first, ends[k].second);
            const auto& quad = mesh.quads[static_cast<std::size_t>(point.quad)];
            Attachment tie{Attachment::Kind::Tie, rod.name, ends[k].first, -1, 0, {}, {}, {}};
            tie.nodes.assign(quad.node.begin(), quad.node.end());
            tie.nodes.push_back(first + (k == 0 ? 0 : 2 * n_elements));
            MatrixXd gap = MatrixXd::Zero(6, 60);
            for (Index i = 0; i < 9; ++i) gap.block<6, 6>(0, 6 * i).diagonal().setConstant(-point.N[i]);
            gap.rightCols<6>().setIdentity();
            Eigen::VectorXd k_gap(6);
            k_gap << k_u, k_u, k_u, k_r, k_r, k_r;
            tie.K = gap.transpose() * k_gap.asDiagonal() * gap;
            structure.attachments.push_back(std::move(tie));
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
            const auto& quad = mesh.quads[static_cast<std::size_t>(point.quad)];
            Attachment spring{Attachment::Kind::Support, support.name, support.board, -1, support.loss, {}, {}, {}};
            spring.nodes.assign(quad.node.begin(), quad.node.end());
            MatrixXd u = MatrixXd::Zero(3, 54);
            for (Index i = 0; i < 9; ++i) u.block<3, 3>(0, 6 * i).diagonal().setConstant(point.N[i]);
            spring.K = u.transpose() * support.stiffness.asDiagonal() * u;
            structure.attachments.push_back(std::move(spring));
        }
    }
}

} // namespace stillwall::solver::internal
