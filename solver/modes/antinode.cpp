#include "solver/modes/antinode.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>

namespace stillwall::solver {
namespace {

constexpr double same_within = 0.01; // of points that mirror one another round-off must not choose
constexpr double worth_telling = 0.5;
constexpr std::size_t most_boards = 3;

struct Peak
{
    int board = 0, node = -1;
    double motion = 0;
};

std::vector<Peak> peaks_of_boards(const Cabinet& cabinet, const ShellMesh& mesh, const Eigen::Matrix3Xd& displacement)
{
    std::vector<Peak> peaks(cabinet.boards.size());
    for (const ShellMesh::Quad& quad : mesh.quads) {
        Peak& peak = peaks.at(static_cast<std::size_t>(quad.board));
        peak.board = quad.board;
        const Vector3d n = cabinet.board(quad.board).frame.touching(mesh.nodes.col(quad.node[8])).n;
        for (const int node : quad.node) {
            const double motion = displacement.col(node).dot(n);
            if (std::abs(motion) > (1 + same_within) * std::abs(peak.motion)) {
                peak.node = node;
                peak.motion = motion;
            }
        }
    }
    return peaks;
}

/// From the sawn board's lower end along the axis of space that `along` follows most.
Antinode::FromEdge from_lower_end(const Board& board, const Vector3d& along, const Vector3d& at)
{
    constexpr std::array<const char*, 3> edges{"left", "front", "bottom"};
    Eigen::Index axis = 0;
    along.cwiseAbs().maxCoeff(&axis);
    const Vector3d direction = along(axis) < 0 ? Vector3d(-along) : along;
    double lowest = at.dot(direction);
    for (const Vector2d& corner : board.sawn) lowest = std::min(lowest, board.frame.to_space(corner).dot(direction));
    return {edges[static_cast<std::size_t>(axis)], at.dot(direction) - lowest};
}

} // namespace

std::vector<Antinode> antinodes(const Cabinet& cabinet, const ShellMesh& mesh, const Eigen::Matrix3Xd& displacement)
{
    std::vector<Peak> peaks = peaks_of_boards(cabinet, mesh, displacement);
    std::stable_sort(peaks.begin(), peaks.end(), [](const Peak& a, const Peak& b) {
        return std::abs(a.motion) > (1 + same_within) * std::abs(b.motion);
    });
    std::vector<Antinode> found;
    for (const Peak& peak : peaks) {
        const double share = peaks.front().motion != 0 ? peak.motion / std::abs(peaks.front().motion) : 0;
        if (peak.node < 0 || std::abs(share) < worth_telling || found.size() == most_boards) break;
        const Board& board = cabinet.board(peak.board);
        constexpr double lies_flat = 0.9; // the cosine from which a board counts as lying
        const bool is_flat = std::abs(board.frame.n.z()) > lies_flat;
        const Vector3d wanted_up = is_flat ? Vector3d::UnitY() : Vector3d::UnitZ();
        const Vector3d across = wanted_up.cross(board.frame.n).normalized();
        const Vector3d up = board.frame.n.cross(across);
        const Vector3d at = mesh.nodes.col(peak.node);
        found.push_back({.board = peak.board,
                         .at = at,
                         .motion = share,
                         .from = {from_lower_end(board, across, at), from_lower_end(board, up, at)}});
    }
    return found;
}

} // namespace stillwall::solver
