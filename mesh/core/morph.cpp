#include "mesh/core/morph.h"

#include "mesh/cabinet/error.h"
#include "mesh/core/internal/morph_holds.h"

#include <Eigen/Dense>
#include <Eigen/SparseCholesky>

#include <algorithm>
#include <cmath>
#include <map>

namespace stillwall {
namespace morphing {
namespace {

/// ∫ ∇N_i·∇N_k over the straight-sided quadrilateral through the corners, 2 × 2 Gauss points.
Eigen::Matrix4d laplace_matrix(const Eigen::Matrix<double, 3, 4>& x)
{
    const double corner_r[] = {-1, 1, 1, -1}, corner_s[] = {-1, -1, 1, 1};
    const double g = 1 / std::sqrt(3.0);
    Eigen::Matrix4d K = Eigen::Matrix4d::Zero();
    for (const double r : {-g, g})
        for (const double s : {-g, g}) {
            Eigen::Matrix<double, 4, 2> dN;
            for (int k = 0; k < 4; ++k)
                dN.row(k) << corner_r[k] * (1 + s * corner_s[k]) / 4, corner_s[k] * (1 + r * corner_r[k]) / 4;
            const Eigen::Matrix<double, 3, 2> J = x * dN;
            const Eigen::Matrix2d G = J.transpose() * J; // metric: the boards lie anywhere in space
            K += dN * G.inverse() * dN.transpose() * std::sqrt(G.determinant());
        }
    return K;
}

} // namespace

Eigen::Matrix3Xd relax(const Motion& motion)
{
    const ShellMesh& mesh = motion.mesh;
    Eigen::Matrix3Xd d = Eigen::Matrix3Xd::Zero(3, mesh.n_nodes());
    std::vector<Eigen::Matrix3Xd> free(motion.holds.size(), Eigen::Matrix3Xd(3, 0));
    std::vector<int> first(motion.holds.size(), 0);
    int n = 0;
    for (const BoardMesh& board : motion.boards)
        for (const int node : board.corners) {
            const auto k = static_cast<std::size_t>(node);
            d.col(node) = motion.holds[k].known();
            if (free[k].cols() > 0 || motion.holds[k].count() == 3) continue; // seen on another board; nothing to find
            free[k] = motion.holds[k].free_directions();
            first[k] = n;
            n += static_cast<int>(free[k].cols());
        }
    if (n == 0) return d;

    std::vector<Eigen::Triplet<double>> entries;
    Eigen::VectorXd f = Eigen::VectorXd::Zero(n);
    for (const ShellMesh::Quad& quad : mesh.quads) {
        Eigen::Matrix<double, 3, 4> x;
        for (int k = 0; k < 4; ++k) x.col(k) = mesh.nodes.col(quad.node[static_cast<std::size_t>(k)]);
        const Eigen::Matrix4d K = laplace_matrix(x);
        for (int i = 0; i < 4; ++i) {
            const auto a = static_cast<std::size_t>(quad.node[static_cast<std::size_t>(i)]);
            if (free[a].cols() == 0) continue;
            for (int k = 0; k < 4; ++k) {
                const auto b = static_cast<std::size_t>(quad.node[static_cast<std::size_t>(k)]);
                f.segment(first[a], free[a].cols()) -=
                    K(i, k) * free[a].transpose() * d.col(static_cast<Eigen::Index>(b));
                const Eigen::MatrixXd block = K(i, k) * free[a].transpose() * free[b];
                for (int r = 0; r < block.rows(); ++r)
                    for (int c = 0; c < block.cols(); ++c)
                        entries.emplace_back(first[a] + r, first[b] + c, block(r, c));
            }
        }
    }
    Eigen::SparseMatrix<double> A(n, n);
    A.setFromTriplets(entries.begin(), entries.end());
    const Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> solver(A);
    const Eigen::VectorXd y = solver.solve(f);
    if (solver.info() != Eigen::Success) throw DomainError("morph: the mesh's lines leave a board free to drift");
    for (std::size_t k = 0; k < free.size(); ++k)
        if (free[k].cols() > 0) d.col(static_cast<Eigen::Index>(k)) += free[k] * y.segment(first[k], free[k].cols());
    return d;
}

namespace {

void require(bool is_met, const std::string& what)
{
    if (!is_met) throw DomainError("morph: the cabinets do not correspond: " + what);
}

void check_correspondence(const ShellMesh& mesh, const Cabinet& from, const Cabinet& to)
{
    require(from.boards.size() == to.boards.size(), "numbers of boards differ");
    require(from.junctions.size() == to.junctions.size(), "numbers of joints differ");
    require(from.ribs.size() == to.ribs.size(), "numbers of ribs differ");
    require(from.layers.size() == to.layers.size(), "numbers of layers differ");
    require(mesh.rims.size() == from.boards.size() && mesh.rib_edges.size() == from.ribs.size(),
            "the mesh was made for another cabinet");
    for (std::size_t b = 0; b < from.boards.size(); ++b) {
        const Board &was = from.boards[b], &is = to.boards[b];
        require(was.name == is.name, "board '" + was.name + "' became '" + is.name + "'");
        require(was.outline.size() == is.outline.size() && was.edge_on == is.edge_on,
                "the outline of board '" + was.name + "' has other sides");
        require(was.openings.size() == is.openings.size(), "board '" + was.name + "' has more or fewer openings");
        require(mesh.rims[b].size() == was.openings.size(), "the mesh was made for another cabinet");
        for (std::size_t o = 0; o < was.openings.size(); ++o)
            require(was.openings[o].shape == is.openings[o].shape,
                    "opening '" + was.openings[o].name + "' has another shape");
    }
    for (std::size_t j = 0; j < from.junctions.size(); ++j) {
        const Junction &was = from.junctions[j], &is = to.junctions[j];
        require(was.kind == is.kind && was.passing == is.passing && was.ending == is.ending &&
                    (was.to - was.from).dot(is.to - is.from) > 0,
                "boards '" + from.board(was.passing).name + "' and '" + from.board(was.ending).name +
                    "' meet in another way");
    }
    for (std::size_t r = 0; r < from.ribs.size(); ++r)
        require(from.ribs[r].board == to.ribs[r].board, "rib '" + from.ribs[r].name + "' is on another board");
    for (const ShellMesh::Quad& quad : mesh.quads)
        require(quad.board >= 0 && quad.board < static_cast<int>(from.boards.size()),
                "the mesh was made for another cabinet");
}

/// No part of the element lies on its back. The scaled Jacobian alone takes the element's own middle for up.
bool faces_up(const ShellMesh& mesh, const ShellMesh::Quad& quad, const Vector3d& n)
{
    const auto x = [&](std::size_t k) { return mesh.nodes.col(quad.node[k]); };
    return (x(2) - x(0)).cross(x(3) - x(1)).dot(n) > 0 && scaled_jacobian(mesh, quad) > 0;
}

/// Mid-side nodes off the rims go half with either end, centres so that they keep their place between the sides.
void place_inner_nodes(const Motion& motion, Eigen::Matrix3Xd& d)
{
    for (const ShellMesh::Quad& quad : motion.mesh.quads)
        for (std::size_t c = 0; c < 4; ++c)
            d.col(quad.node[4 + c]) = (d.col(quad.node[c]) + d.col(quad.node[(c + 1) % 4])) / 2;
    for (const auto& [node, displacement] : motion.rim_middles) d.col(node) = displacement;
    for (const ShellMesh::Quad& quad : motion.mesh.quads) {
        Vector3d centre = Vector3d::Zero();
        for (std::size_t c = 0; c < 4; ++c)
            centre += d.col(quad.node[4 + c]) / 2 - d.col(quad.node[c]) / 4; // transfinite
        d.col(quad.node[8]) = centre;
    }
}

} // namespace
} // namespace morphing

ShellMesh morph(const ShellMesh& mesh, const Cabinet& from, const Cabinet& to)
{
    if (from.facets || to.facets)
        throw DomainError("with curved walls no measure is varied by itself; compute the changed cabinet");
    morphing::check_correspondence(mesh, from, to);
    morphing::Motion motion(mesh, from, to);
    morphing::hold_lines(motion);
    morphing::hold_rims(motion);
    morphing::hold_strip_ends(motion);
    Eigen::Matrix3Xd d = morphing::relax(motion);
    morphing::place_inner_nodes(motion, d);

    ShellMesh moved = mesh;
    moved.nodes += d;
    for (const ShellMesh::Quad& quad : moved.quads)
        if (!morphing::faces_up(moved, quad, to.board(quad.board).frame.n))
            throw DomainError("morph: an element of board '" + to.board(quad.board).name +
                              "' would fold over; make the change smaller or mesh anew");
    return moved;
}

} // namespace stillwall
