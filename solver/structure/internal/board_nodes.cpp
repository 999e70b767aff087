#include "solver/structure/internal/board_nodes.h"

#include <array>

namespace stillwall::solver::internal {

using Eigen::Vector3d;

std::vector<std::array<int, 3>> sides_on_line(const Cabinet& cabinet, const ShellMesh& mesh, const Junction& junction)
{
    constexpr double straight = 1e-6, facet_rise = 2.5e-3; // [m] off the line
    const Vector3d from = junction.from, s = (junction.to - from).normalized();
    const double length = (junction.to - from).norm();
    const bool is_chord =
        cabinet.board(junction.passing).frame.is_curved() || cabinet.board(junction.ending).frame.is_curved();
    const double reach = is_chord ? facet_rise : straight;
    const auto is_on = [&](int node) {
        const Vector3d d = mesh.nodes.col(node) - from;
        const double along = d.dot(s);
        return (d - along * s).norm() < reach && along > -1e-6 && along < length + 1e-6;
    };
    std::vector<std::array<int, 3>> sides;
    for (const auto& quad : mesh.quads) {
        if (quad.board != junction.ending) continue;
        for (std::size_t k = 0; k < 4; ++k) {
            const std::array<int, 3> side = {quad.node[k], quad.node[k + 4], quad.node[(k + 1) % 4]};
            if (is_on(side[0]) && is_on(side[1]) && is_on(side[2])) sides.push_back(side);
        }
    }
    return sides;
}

BoardNodes::BoardNodes(const Cabinet& cabinet, const ShellMesh& mesh) : mesh_(mesh)
{
    std::set<std::pair<int, int>> soft, glued;
    for (const Junction& junction : cabinet.junctions) {
        const bool holds_ending = !junction.spring && junction.kind != Junction::Kind::Cross;
        for (const auto& side : sides_on_line(cabinet, mesh, junction))
            for (int node : side) {
                for (int board : {junction.passing, junction.ending})
                    if (!junction.spring)
                        glued.insert({board, node});
                    else if (junction.spring->removable == board)
                        soft.insert({board, node});
                if (holds_ending) held_together_.insert({junction.ending, node});
            }
    }
    for (const auto& entry : soft)
        if (!glued.contains(entry)) loose_[entry] = add(entry.second);
    for (std::size_t b = 0; b < mesh.rims.size(); ++b)
        for (const auto& rim : mesh.rims[b])
            for (int node : rim) held_together_.insert({static_cast<int>(b), node});
}

int BoardNodes::add(int node)
{
    added_.push_back(node);
    return mesh_.n_nodes() + static_cast<int>(added_.size()) - 1;
}

Eigen::Matrix3Xd BoardNodes::places() const
{
    Eigen::Matrix3Xd X(3, mesh_.nodes.cols() + static_cast<Eigen::Index>(added_.size()));
    X.leftCols(mesh_.nodes.cols()) = mesh_.nodes;
    for (std::size_t i = 0; i < added_.size(); ++i)
        X.col(mesh_.nodes.cols() + static_cast<Eigen::Index>(i)) = mesh_.nodes.col(added_[i]);
    return X;
}

int BoardNodes::base(int board, int node) const
{
    const auto found = loose_.find({board, node});
    return found == loose_.end() ? node : found->second;
}

std::vector<int> BoardNodes::base(int board, const std::vector<int>& nodes) const
{
    std::vector<int> result;
    for (int node : nodes) result.push_back(base(board, node));
    return result;
}

int BoardNodes::leaf(int board, const PlyOrigin& key, int node)
{
    // Edges and screws hold the board's own leaves together; a sheet bonded on a face ends free.
    if (key.layer < 0 && held_together_.contains({board, node})) return base(board, node);
    const auto [found, is_new] = leaf_.try_emplace({board, key, node}, -1);
    if (is_new) found->second = add(node);
    return found->second;
}

} // namespace stillwall::solver::internal
