#include "solver/modes/shape_name.h"

#include "mesh/cabinet/opening.h"
#include "mesh/cabinet/polygon.h"
#include "mesh/core/shell_locator.h"
#include "solver/modes/bending_wave.h"

#include <Eigen/Eigenvalues>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::Vector2d;
using Eigen::VectorXd;

constexpr double alike = 0.7;            ///< of the leading board's energy: named with it
constexpr double least_energy = 1 / 3.0; ///< in the boards named
constexpr double least_product = 0.6;    ///< of Σw² in the first product
constexpr double least_run = 0.25;       ///< of the largest value
constexpr std::size_t most_named = 3;

/// How far the neighbour at a side reaches into the board [m].
double covered(const Cabinet& cabinet, const Board& board, std::size_t side)
{
    const std::optional<int> neighbour = board.edge_on.at(side);
    return neighbour ? cabinet.board(*neighbour).thickness() / 2 : 0;
}

bool is_clear(const Cabinet& cabinet, const Board& board, const Vector2d& p)
{
    if (!contains(board.outline, p)) return false;
    for (std::size_t i = 0; i < board.outline.size(); ++i)
        if (segment_distance(board.outline[i], board.outline[(i + 1) % board.outline.size()], p, p) <
            covered(cabinet, board, i))
            return false;
    return true;
}

/// The rectangle about the clear panel, and its free ends along each axis.
struct Clear
{
    Bounds2 around;
    Vector2d free = Vector2d::Zero();
};

Clear clear_panel(const Cabinet& cabinet, const Board& board)
{
    const Bounds2 whole = bounds(board.outline);
    Clear clear{whole};
    Vector2d from_low = Vector2d::Constant(1e9), from_high = from_low;
    std::array<std::array<bool, 2>, 2> is_free{};
    for (std::size_t i = 0; i < board.outline.size(); ++i) {
        if (is_notch_side(board, i)) continue;
        const Vector2d a = board.outline[i], b = board.outline[(i + 1) % board.outline.size()];
        const Vector2d outward = Vector2d(b.y() - a.y(), a.x() - b.x()).normalized();
        const int axis = std::abs(outward.x()) > std::abs(outward.y()) ? 0 : 1;
        double& inset = outward[axis] < 0 ? from_low[axis] : from_high[axis];
        inset = std::min(inset, covered(cabinet, board, i)); // of several sides the one that leaves most
        if (!board.edge_on[i]) is_free[static_cast<std::size_t>(axis)][outward[axis] < 0 ? 0 : 1] = true;
    }
    for (int axis = 0; axis < 2; ++axis) {
        if (from_low[axis] < whole.size()[axis] / 4) clear.around.low[axis] += from_low[axis];
        if (from_high[axis] < whole.size()[axis] / 4) clear.around.high[axis] -= from_high[axis];
        const auto& ends = is_free[static_cast<std::size_t>(axis)];
        clear.free[axis] = static_cast<double>(ends[0]) + static_cast<double>(ends[1]);
    }
    return clear;
}

/// How much shorter waves get by what is screwed to a board: its mass spread over the board, to the power ¼.
double shortening(const Cabinet& cabinet, const Board& board)
{
    double bare = 0, inserts = 0;
    for (const Ply& ply : board.layup.plies)
        bare += ply.thickness * cabinet.materials.at(static_cast<std::size_t>(ply.material)).rho.value;
    bare *= std::abs(signed_area(board.outline));
    for (const Opening& opening : board.openings) inserts += opening.insert.mass;
    return std::pow(1 + inserts / bare, 0.25);
}

/// Half-waves that fit, not rounded.
double most_half_waves(const Cabinet& cabinet, int board, int axis, double length, double free_ends, double f_Hz)
{
    const Board& b = cabinet.board(board);
    const double along = axis == 0 ? 0 : std::numbers::pi / 2;
    const double half_wave = bending_wavelength(cabinet, b, along, f_Hz) / 2 / shortening(cabinet, b);
    return length / half_wave + 1 + 0.5 * std::min(free_ends, 1.0);
}

int runs(const VectorXd& line)
{
    const double least = least_run * line.cwiseAbs().maxCoeff();
    int n = 0, sign = 0;
    for (const double value : line) {
        if (std::abs(value) < least || value == 0) continue;
        const int now = value > 0 ? 1 : -1;
        n += now != sign;
        sign = now;
    }
    return std::max(n, 1);
}

std::string listed(const std::vector<std::string>& names)
{
    std::string text;
    for (std::size_t i = 0; i < names.size(); ++i)
        text += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
    return text;
}

std::string counts(const HalfWaves& waves)
{
    return fmt::format("{}×{}", waves.along_1, waves.along_2);
}

bool are_facing(const Board& a, const Board& b)
{
    return a.kind == Board::Kind::Wall && b.kind == Board::Kind::Wall && a.frame.n.dot(b.frame.n) < -0.8;
}

} // namespace

double energy_share(const BoardShare& share)
{
    return (share.kinetic + share.strain) / 2;
}

std::vector<int> leading_boards(const Mode& mode)
{
    double most = 0;
    for (const BoardShare& share : mode.boards) most = std::max(most, energy_share(share));
    std::vector<int> leading;
    for (std::size_t b = 0; b < mode.boards.size(); ++b)
        if (energy_share(mode.boards[b]) >= alike * most) leading.push_back(static_cast<int>(b));
    return leading;
}

ShapeNames::ShapeNames(const Cabinet& cabinet, const ShellMesh& mesh, double f_highest) : cabinet_(cabinet), mesh_(mesh)
{
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b)
        grids_.push_back(grid_on(cabinet, mesh, static_cast<int>(b), f_highest));
}

ShapeNames::Grid ShapeNames::grid_on(const Cabinet& cabinet, const ShellMesh& mesh, int board, double f_highest)
{
    const Board& b = cabinet.board(board);
    const Clear clear = clear_panel(cabinet, b);
    const Vector2d size = clear.around.size();
    Grid grid;
    grid.length_1 = size.x(), grid.length_2 = size.y();
    grid.free_1 = clear.free.x(), grid.free_2 = clear.free.y();
    const auto fineness = [&](int axis) { // four places to the half-wave
        const double most = most_half_waves(cabinet, board, axis, size[axis], clear.free[axis], f_highest);
        return static_cast<int>(std::clamp(4 * std::ceil(most) + 4, 12.0, 48.0));
    };
    grid.n_1 = fineness(0), grid.n_2 = fineness(1);
    const BoardLocator locator(cabinet, mesh, board);
    for (int i = 0; i < grid.n_1; ++i)
        for (int j = 0; j < grid.n_2; ++j) {
            const Vector2d at =
                clear.around.low + size.cwiseProduct(Vector2d((i + 0.5) / grid.n_1, (j + 0.5) / grid.n_2));
            if (!is_clear(cabinet, b, at)) continue;
            const auto place = locator.nearest(b.frame.to_space(at));
            if (!place) continue;
            Grid::Sample sample{i,
                                j,
                                mesh.quads.at(static_cast<std::size_t>(place->quad)).node,
                                {},
                                b.frame.touching(b.frame.to_space(at)).n};
            const Quad9Values N = quad9_values(place->r, place->s);
            std::copy(N.begin(), N.end(), sample.weight.begin());
            grid.samples.push_back(sample);
        }
    return grid;
}

ShapeNames::Motion ShapeNames::motion_of(int board, double f_Hz, const Eigen::Matrix3Xd& displacement) const
{
    const Grid& grid = grids_.at(static_cast<std::size_t>(board));
    MatrixXd W = MatrixXd::Zero(grid.n_1, grid.n_2);
    for (const Grid::Sample& sample : grid.samples)
        for (std::size_t a = 0; a < 9; ++a)
            W(sample.row, sample.column) += sample.weight[a] * sample.normal.dot(displacement.col(sample.node[a]));
    const double sum = W.squaredNorm();
    if (!(sum > 0)) return {};
    Motion motion;
    motion.mean = W.sum() / std::sqrt(sum * static_cast<double>(grid.samples.size()));
    const Eigen::SelfAdjointEigenSolver<MatrixXd> products(W * W.transpose());
    if (products.eigenvalues().tail<1>()[0] < least_product * sum) return motion;
    const VectorXd u = products.eigenvectors().rightCols<1>(), v = W.transpose() * u;
    const HalfWaves waves{runs(u), runs(v)};
    const auto fits = [&](int count, int axis, double length, double free_ends) {
        return count <= std::max(1.0, most_half_waves(cabinet_, board, axis, length, free_ends, f_Hz));
    };
    if (fits(waves.along_1, 0, grid.length_1, grid.free_1) && fits(waves.along_2, 1, grid.length_2, grid.free_2))
        motion.waves = waves;
    return motion;
}

std::string ShapeNames::words(const std::vector<int>& boards, const std::vector<Motion>& motions) const
{
    std::vector<std::string> names, single;
    bool are_honest = true, are_equal = true;
    for (std::size_t i = 0; i < boards.size(); ++i) {
        const Motion& motion = motions[i];
        names.push_back(cabinet_.board(boards[i]).name);
        are_honest = are_honest && motion.waves.has_value();
        are_equal = are_equal && motion.waves == motions.front().waves;
        single.push_back(names.back() + ' ' + counts(motion.waves.value_or(HalfWaves{})));
    }
    const std::string group = boards.size() > most_named ? "most boards" : listed(names);
    if (!are_honest || (!are_equal && boards.size() > 2))
        return "mixed, " + (boards.size() > most_named ? group : "mostly " + group);
    if (!are_equal) return listed(single);
    const std::string waves = counts(*motions.front().waves);
    const bool is_pair = boards.size() == 2 && are_facing(cabinet_.board(boards[0]), cabinet_.board(boards[1])) &&
                         std::abs(motions[0].mean) > moves_as_one && std::abs(motions[1].mean) > moves_as_one;
    if (!is_pair) return group + ' ' + waves;
    return group + (motions[0].mean * motions[1].mean > 0 ? " bulge together, " : " sway the same way, ") + waves;
}

std::string ShapeNames::of(const Mode& mode, const Eigen::Matrix3Xd& displacement) const
{
    const std::vector<int> boards = leading_boards(mode);
    std::vector<Motion> motions;
    double energy = 0;
    for (const int board : boards) {
        energy += energy_share(mode.boards[static_cast<std::size_t>(board)]);
        motions.push_back(motion_of(board, mode.f_Hz, displacement));
    }
    if (energy < least_energy)
        for (Motion& motion : motions) motion.waves.reset();
    return words(boards, motions);
}

} // namespace stillwall::solver
