#include "mesh/gmsh/internal/outer_facets.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>

namespace stillwall::mesh {
namespace {

using Line = std::vector<Vector3d>;
constexpr double least_on_wall = 0.12, least_on_cone = 0.25; ///< goodness of regular facets; below it Gmsh is asked
constexpr double least_sine = 0.02; ///< of a corner: one of about 180° makes a quadrilateral useless

/// Points of the outer loop from one of its corners to the next.
std::vector<int> piece(const OuterRegion& region, std::size_t c)
{
    const std::vector<int>& loop = region.loops[0];
    const auto n = static_cast<int>(loop.size());
    const int from = region.corner[c], to = c < 3 ? region.corner[c + 1] : region.corner[0] + n;
    std::vector<int> result;
    for (int k = from; k <= to; ++k) result.push_back(loop[static_cast<std::size_t>(k % n)]);
    return result;
}

/// A point on a line, its sides counting alike; t from 0 to 1.
Vector3d along(const Line& line, double t)
{
    const double place = t * static_cast<double>(line.size() - 1);
    const auto k = std::min(static_cast<std::size_t>(place), line.size() - 2);
    return line[k] + (place - static_cast<double>(k)) * (line[k + 1] - line[k]);
}

/// Facets between two rows from left to right, the lower one first.
void stitch(const std::vector<int>& low, const std::vector<int>& high, std::vector<Facet>& facets)
{
    const std::size_t n = low.size() - 1, m = high.size() - 1;
    for (std::size_t i = 0, k = 0; i < n || k < m;) {
        const double lead =
            static_cast<double>(i + 1) / static_cast<double>(n) - static_cast<double>(k + 1) / static_cast<double>(m);
        if (i < n && k < m && std::abs(lead) < 0.5 / static_cast<double>(std::max(n, m)) + 1e-9) {
            facets.push_back({low[i], low[i + 1], high[k + 1], high[k]});
            ++i, ++k;
        } else if (k == m || (i < n && lead < 0)) {
            facets.push_back({low[i], low[i + 1], high[k], -1});
            ++i;
        } else {
            facets.push_back({low[i], high[k + 1], high[k], -1});
            ++k;
        }
    }
}

/// Rows between the four pieces, blended as by Coons; left and right have equally many sides.
std::vector<Facet> rows(const std::array<std::vector<int>, 4>& pieces, std::vector<Vector3d>& vertices)
{
    std::array<Line, 4> line; // lower, right, upper, left; upper from left to right, left upwards
    for (std::size_t c = 0; c < 4; ++c) {
        for (const int v : pieces[c]) line[c].push_back(vertices[static_cast<std::size_t>(v)]);
        if (c >= 2) std::reverse(line[c].begin(), line[c].end());
    }
    std::vector<int> low = pieces[0], high(pieces[2].rbegin(), pieces[2].rend());
    const std::size_t n_rows = pieces[1].size() - 1;
    const auto a = static_cast<double>(low.size() - 1), c = static_cast<double>(high.size() - 1);
    std::vector<Facet> facets;
    for (std::size_t j = 1; j <= n_rows; ++j) {
        std::vector<int> row = high;
        const double v = static_cast<double>(j) / static_cast<double>(n_rows);
        if (j < n_rows) {
            const auto n = static_cast<int>(std::lround(a + (c - a) * v));
            row = {pieces[3][n_rows - j]};
            for (int k = 1; k < n; ++k) {
                const double u = static_cast<double>(k) / n;
                row.push_back(static_cast<int>(vertices.size()));
                vertices.emplace_back((1 - v) * along(line[0], u) + v * along(line[2], u) + (1 - u) * line[3][j] +
                                      u * line[1][j] - (1 - u) * ((1 - v) * line[0].front() + v * line[2].front()) -
                                      u * ((1 - v) * line[0].back() + v * line[2].back()));
            }
            row.push_back(pieces[1][j]);
        }
        stitch(low, row, facets);
        low = std::move(row);
    }
    return facets;
}

std::vector<Facet> grid(const OuterRegion& region, std::vector<Vector3d>& vertices)
{
    std::array<std::vector<int>, 4> pieces;
    for (std::size_t c = 0; c < 4; ++c) pieces[c] = piece(region, c);
    if (pieces[1].size() != pieces[3].size()) std::rotate(pieces.begin(), pieces.begin() + 1, pieces.end());
    if (pieces[1].size() != pieces[3].size()) return {};
    return rows(pieces, vertices);
}

std::vector<Facet> rounds(const OuterRegion& region, std::vector<Vector3d>& vertices)
{
    std::vector<int> outer = region.loops[0];
    const std::vector<int> inner(region.loops[1].rbegin(), region.loops[1].rend());
    const std::size_t n = outer.size();
    double width = 0, side = 0;
    for (std::size_t k = 0; k < n; ++k) {
        const auto at = [&](const std::vector<int>& ring, std::size_t i) {
            return vertices[static_cast<std::size_t>(ring[i % n])];
        };
        width += (at(outer, k) - at(inner, k)).norm();
        side += 0.5 * ((at(outer, k + 1) - at(outer, k)).norm() + (at(inner, k + 1) - at(inner, k)).norm());
    }
    const int n_rounds = std::max(1, static_cast<int>(std::lround(width / side)));
    std::vector<Facet> facets;
    for (int j = 1; j <= n_rounds; ++j) {
        std::vector<int> next = inner;
        for (std::size_t k = 0; k < n && j < n_rounds; ++k) {
            const Vector3d from = vertices[static_cast<std::size_t>(outer[k])],
                           to = vertices[static_cast<std::size_t>(inner[k])];
            next[k] = static_cast<int>(vertices.size());
            vertices.emplace_back(from + (to - from) / (n_rounds - j + 1)); // the rest in equal steps
        }
        for (std::size_t k = 0; k < n; ++k)
            facets.push_back({outer[k], outer[(k + 1) % n], next[(k + 1) % n], next[k]});
        outer = std::move(next);
    }
    return facets;
}

/// Unit normal of the outer loop.
Vector3d normal_of(const OuterRegion& region, const std::vector<Vector3d>& vertices)
{
    const std::vector<int>& loop = region.loops[0];
    const Vector3d& start = vertices[static_cast<std::size_t>(loop[0])];
    Vector3d sum = Vector3d::Zero();
    for (std::size_t k = 1; k + 1 < loop.size(); ++k)
        sum += (vertices[static_cast<std::size_t>(loop[k])] - start)
                   .cross(vertices[static_cast<std::size_t>(loop[k + 1])] - start);
    return sum.normalized();
}

} // namespace

double goodness(const Facet& facet, const std::vector<Vector3d>& vertices, const Vector3d& normal)
{
    const std::size_t n = facet[3] < 0 ? 3 : 4;
    const auto at = [&](std::size_t c) -> const Vector3d& { return vertices[static_cast<std::size_t>(facet[c % n])]; };
    double corners = 0, longest = 0, sharpest = 1;
    for (std::size_t c = 0; c < n; ++c) {
        const Vector3d side = at(c + 1) - at(c), next = at(c + 2) - at(c + 1);
        const double corner = normal.dot(side.cross(next));
        sharpest = std::min(sharpest, corner / (side.norm() * next.norm() + 1e-30));
        longest = std::max(longest, side.norm());
        corners += corner;
    }
    if (sharpest < least_sine) return 0;
    // The corners' parallelograms add up to six times a triangle and four times a quadrilateral.
    return (n == 3 ? 4 / std::sqrt(3.0) * corners / 6 : corners / 4) / (longest * longest);
}

std::optional<std::vector<Facet>> regular_facets(const OuterRegion& region, std::vector<Vector3d>& vertices)
{
    const std::size_t before = vertices.size();
    std::vector<Facet> facets;
    if (region.is_ring) facets = rounds(region, vertices);
    if (region.loops.size() == 1 && region.corner[0] >= 0) facets = grid(region, vertices);
    const Vector3d normal = normal_of(region, vertices);
    const bool is_good = std::all_of(facets.begin(), facets.end(), [&](const Facet& f) {
        return goodness(f, vertices, normal) > (region.is_ring       ? 0
                                                : region.opening < 0 ? least_on_wall
                                                                     : least_on_cone);
    });
    if (is_good && !facets.empty()) return facets;
    vertices.resize(before);
    return std::nullopt;
}

} // namespace stillwall::mesh
