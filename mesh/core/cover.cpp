#include "mesh/core/cover.h"

#include "mesh/core/quad9.h"

#include <algorithm>
#include <cmath>

namespace stillwall {
namespace {

/// Borders of the cells at every other one, their middles between.
constexpr std::array<double, 7> stations = {-1, -13.0 / 18, -4.0 / 9, 0, 4.0 / 9, 13.0 / 18, 1};

/// By how much of their range biquadratics can leave the range of the nine values: the sum of the absolute shape
/// functions is at most (5/4)², and ((5/4)² − 1)/2 = 9/32.
constexpr double overshoot = 9.0 / 32;

/// The nine nodes in the board's frame, moved out of the strips.
using Nodes = Eigen::Matrix<double, 2, 9>;

Nodes moved_out(const Cabinet& cabinet, const ShellMesh& mesh, const ShellMesh::Quad& quad)
{
    const Frame& frame = cabinet.board(quad.board).frame;
    Nodes x;
    for (int k = 0; k < 9; ++k) x.col(k) = frame.to_board(mesh.nodes.col(quad.node[static_cast<std::size_t>(k)]));
    const Vector2d middle = x.col(8);
    for (const int j : mesh.zones[static_cast<std::size_t>(quad.zone)].strips) {
        const Junction& junction = cabinet.junctions[static_cast<std::size_t>(j)];
        const double width = junction.passing == quad.board ? junction.strip_passing : junction.strip_ending;
        const Vector2d from = frame.to_board(junction.from), along = (frame.to_board(junction.to) - from).normalized();
        const Vector2d across(-along.y(), along.x());
        x.colwise() += std::copysign(width, across.dot(middle - from)) * across;
    }
    return x;
}

Bounds2 box_round(const Nodes& x)
{
    const Vector2d low = x.rowwise().minCoeff(), high = x.rowwise().maxCoeff();
    return {low - overshoot * (high - low), high + overshoot * (high - low)};
}

bool is_apart(const Bounds2& p, const Bounds2& q)
{
    return (p.low.array() > q.high.array()).any() || (q.low.array() > p.high.array()).any();
}

/// Whether the segment misses the box: separating lines along the axes and along the segment.
bool misses(const Vector2d& a, const Vector2d& b, const Bounds2& box)
{
    if (is_apart({a.cwiseMin(b), a.cwiseMax(b)}, box)) return true;
    const Vector2d normal(a.y() - b.y(), b.x() - a.x());
    const double reach = normal.cwiseAbs().dot(box.size()) / 2;
    return std::abs(normal.dot(box.middle() - a)) > reach;
}

bool is_off_boundary(const Polygon& region, const Bounds2& box)
{
    for (std::size_t k = 0; k < region.size(); ++k)
        if (!misses(region[k], region[(k + 1) % region.size()], box)) return false;
    return true;
}

/// Points of the element at the stations: [column r][row s].
using Lattice = std::array<std::array<Vector2d, 7>, 7>;

Lattice lattice_of(const Nodes& x)
{
    Lattice lattice;
    for (std::size_t i = 0; i < 7; ++i)
        for (std::size_t j = 0; j < 7; ++j) {
            const Eigen::Vector3d nr = quadratics(stations[i]), ns = quadratics(stations[j]);
            lattice[i][j].setZero();
            for (std::size_t k = 0; k < 9; ++k)
                lattice[i][j] += nr[quad9_column[k]] * ns[quad9_row[k]] * x.col(static_cast<Eigen::Index>(k));
        }
    return lattice;
}

double twice_area(const Vector2d& a, const Vector2d& b, const Vector2d& c)
{
    return (b - a).x() * (c - a).y() - (b - a).y() * (c - a).x();
}

/// Area [m²] a polygon shares with an anticlockwise triangle. The polygon is cut along the triangle's sides in turn;
/// where it is not convex its parts stay joined by double lines, which hold no area.
/// @source I. E. Sutherland and G. W. Hodgman, Comm. ACM 17 (1974) 32
double shared_area(Polygon region, const std::array<Vector2d, 3>& triangle)
{
    Polygon kept;
    for (std::size_t k = 0; k < 3; ++k) {
        const Vector2d &a = triangle[k], &b = triangle[(k + 1) % 3];
        kept.clear();
        for (std::size_t i = 0; i < region.size(); ++i) {
            const Vector2d &p = region[i], &q = region[(i + 1) % region.size()];
            const double left_p = twice_area(a, b, p), left_q = twice_area(a, b, q);
            if (left_p >= 0) kept.push_back(p);
            if ((left_p > 0 && left_q < 0) || (left_p < 0 && left_q > 0))
                kept.push_back(p + left_p / (left_p - left_q) * (q - p));
        }
        std::swap(region, kept);
        if (region.size() < 3) return 0;
    }
    return signed_area(region);
}

/// Share of the cell with its middle at lattice point (i, j).
double cell_cover(const Lattice& x, std::size_t i, std::size_t j, const Polygon& region)
{
    const std::array<Vector2d, 8> round = {x[i - 1][j - 1], x[i][j - 1], x[i + 1][j - 1], x[i + 1][j],
                                           x[i + 1][j + 1], x[i][j + 1], x[i - 1][j + 1], x[i - 1][j]};
    Bounds2 box{x[i][j], x[i][j]};
    for (const Vector2d& p : round) box = {box.low.cwiseMin(p), box.high.cwiseMax(p)};
    if (is_off_boundary(region, box)) return contains(region, x[i][j]) ? 1 : 0;
    double whole = 0, covered = 0;
    for (std::size_t k = 0; k < 8; ++k) {
        const std::array<Vector2d, 3> triangle = {x[i][j], round[k], round[(k + 1) % 8]};
        whole += twice_area(triangle[0], triangle[1], triangle[2]) / 2;
        covered += shared_area(region, triangle);
    }
    return std::clamp(covered / whole, 0.0, 1.0);
}

} // namespace

Cover cover_of(const Cabinet& cabinet, const ShellMesh& mesh, const ShellMesh::Quad& quad, const Polygon& region)
{
    Cover cover{};
    if (region.size() < 3) return cover;
    const Nodes x = moved_out(cabinet, mesh, quad);
    const Bounds2 box = box_round(x);
    if (is_apart(box, bounds(region))) return cover;
    if (is_off_boundary(region, box)) {
        cover.fill(contains(region, x.col(8)) ? 1 : 0);
        return cover;
    }
    const Lattice lattice = lattice_of(x);
    for (std::size_t j = 0; j < 3; ++j)
        for (std::size_t i = 0; i < 3; ++i) cover[3 * j + i] = cell_cover(lattice, 2 * i + 1, 2 * j + 1, region);
    return cover;
}

} // namespace stillwall
