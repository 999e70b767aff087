#include "solver/modes/shape_name.h"

#include "mesh/cabinet/polygon.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace stillwall::solver {
namespace {

using Eigen::Vector2d;

struct Sample
{
    Vector2d at;
    double w;
};

std::vector<Sample> normal_samples(const Cabinet& cabinet, const ShellMesh& mesh, int board,
                                   const Eigen::Matrix3Xd& displacement)
{
    const Frame& frame = cabinet.board(board).frame;
    std::set<int> nodes;
    for (const auto& quad : mesh.quads)
        if (quad.board == board) nodes.insert(quad.node.begin(), quad.node.end());
    std::vector<Sample> samples;
    for (int node : nodes)
        samples.push_back({frame.to_board(mesh.nodes.col(node)), frame.n.dot(displacement.col(node))});
    return samples;
}

/// Half-waves along one axis in a band through the strongest point: sign changes that reach a tenth of the largest
/// swing.
int half_waves(std::vector<Sample> samples, const Vector2d& through, int axis, double band)
{
    std::erase_if(samples, [&](const Sample& s) { return std::abs(s.at[1 - axis] - through[1 - axis]) > band; });
    std::sort(samples.begin(), samples.end(),
              [axis](const Sample& a, const Sample& b) { return a.at[axis] < b.at[axis]; });
    double largest = 0;
    for (const Sample& s : samples) largest = std::max(largest, std::abs(s.w));
    int waves = 0;
    double sign = 0;
    for (const Sample& s : samples) {
        if (std::abs(s.w) < 0.15 * largest) continue;
        const double now = s.w > 0 ? 1 : -1;
        if (now != sign) ++waves;
        sign = now;
    }
    return std::max(waves, 1);
}

} // namespace

BoardMotion board_motion(const Cabinet& cabinet, const ShellMesh& mesh, int board, const Eigen::Matrix3Xd& displacement)
{
    const auto samples = normal_samples(cabinet, mesh, board, displacement);
    BoardMotion motion;
    if (samples.empty()) return motion;
    double sum = 0, square = 0;
    const Sample* strongest = &samples.front();
    Vector2d low = samples.front().at, high = low;
    for (const Sample& s : samples) {
        sum += s.w;
        square += s.w * s.w;
        if (std::abs(s.w) > std::abs(strongest->w)) strongest = &s;
        low = low.cwiseMin(s.at);
        high = high.cwiseMax(s.at);
    }
    motion.rms = std::sqrt(square / static_cast<double>(samples.size()));
    motion.mean = motion.rms > 0 ? sum / static_cast<double>(samples.size()) / motion.rms : 0;
    const double band = 0.06 * (high - low).maxCoeff();
    motion.waves_1 = half_waves(samples, strongest->at, 0, band);
    motion.waves_2 = half_waves(samples, strongest->at, 1, band);
    return motion;
}

std::string shape_name(const Cabinet& cabinet, const ShellMesh& mesh, const Eigen::Matrix3Xd& displacement)
{
    struct Moved
    {
        std::size_t board;
        BoardMotion motion;
        double volume; ///< mean square of the motion times area: what is seen and heard of a board, whatever is screwed
                       ///< to it
    };
    std::vector<Moved> moved;
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
        const BoardMotion motion = board_motion(cabinet, mesh, static_cast<int>(b), displacement);
        moved.push_back({b, motion, motion.rms * motion.rms * signed_area(cabinet.boards[b].outline)});
    }
    std::stable_sort(moved.begin(), moved.end(), [](const Moved& a, const Moved& b) { return a.volume > b.volume; });
    Moved &a = moved[0], &b = moved[std::min<std::size_t>(1, moved.size() - 1)];
    const std::string waves = fmt::format("{}×{}", a.motion.waves_1, a.motion.waves_2);
    if (&a == &b || b.volume <= 0.7 * a.volume) return cabinet.boards[a.board].name + ' ' + waves;
    // Two boards with like shares are named as a pair, in the cabinet's order.
    if (a.board > b.board) std::swap(a, b);
    const Board &first = cabinet.boards[a.board], &second = cabinet.boards[b.board];
    const std::string pair = first.name + " and " + second.name + ' ';
    const bool is_facing =
        first.kind == Board::Kind::Wall && second.kind == Board::Kind::Wall && first.frame.n.dot(second.frame.n) < -0.8;
    if (!is_facing || std::abs(a.motion.mean) <= 0.3 || std::abs(b.motion.mean) <= 0.3) return pair + waves;
    return pair + (a.motion.mean * b.motion.mean > 0 ? "bulge together, " : "sway the same way, ") + waves;
}

} // namespace stillwall::solver
