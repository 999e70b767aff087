// How much of a mesh a region covers.

#include "mesh/core/cover.h"

#include "mesh/gmsh/mesher.h"
#include "tests/mesh/mesher_cabinets.h"

#include <Eigen/Geometry>
#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <random>

using namespace stillwall;
using namespace stillwall::mesh_tests;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

constexpr double gauss_weight[3] = {5.0 / 9, 8.0 / 9, 5.0 / 9};
constexpr double gauss[3] = {-0.7745966692414834, 0, 0.7745966692414834};

std::array<double, 3> values(double x)
{
    return {x * (x - 1) / 2, 1 - x * x, x * (x + 1) / 2};
}

std::array<double, 3> slopes(double x)
{
    return {x - 0.5, -2 * x, x + 0.5};
}

/// Node at column r, row s of the element.
constexpr int node_at[3][3] = {{0, 7, 3}, {4, 8, 6}, {1, 5, 2}};

/// Area [m²] that belongs to integration point (i, j).
double cell_area(const ShellMesh& mesh, const ShellMesh::Quad& quad, int i, int j)
{
    Vector3d xr = Vector3d::Zero(), xs = Vector3d::Zero();
    for (int p = 0; p < 3; ++p)
        for (int q = 0; q < 3; ++q) {
            const Vector3d x = mesh.nodes.col(quad.node[node_at[p][q]]);
            xr += slopes(gauss[i])[p] * values(gauss[j])[q] * x;
            xs += values(gauss[i])[p] * slopes(gauss[j])[q] * x;
        }
    return gauss_weight[i] * gauss_weight[j] * xr.cross(xs).norm();
}

/// Area [m²] of a board's elements that the region covers, as integration points see it.
double covered_area(const Cabinet& cabinet, const ShellMesh& mesh, int board, const Polygon& region)
{
    double sum = 0;
    for (const auto& quad : mesh.quads) {
        if (quad.board != board) continue;
        const Cover cover = cover_of(cabinet, mesh, quad, region);
        for (int j = 0; j < 3; ++j)
            for (int i = 0; i < 3; ++i) sum += cover[3 * j + i] * cell_area(mesh, quad, i, j);
    }
    return sum;
}

double board_area(const ShellMesh& mesh, int board)
{
    double sum = 0;
    for (const auto& quad : mesh.quads)
        if (quad.board == board) sum += area(mesh, quad);
    return sum;
}

Polygon rectangle(const Vector2d& low, const Vector2d& high)
{
    return {low, {high.x(), low.y()}, high, {low.x(), high.y()}};
}

/// The board's outline drawn in by a distance; for upright rectangles.
Bounds2 inner_bounds(const Board& board, double inset)
{
    Bounds2 b = bounds(board.outline);
    b.low.array() += inset;
    b.high.array() -= inset;
    return b;
}

/// A plain box 240 × 300 × 380 mm of 18 mm board: overlap 9 mm, strips 13.5 mm.
struct Box
{
    Cabinet cabinet = build_cabinet(box(0.24, 0.30, 0.38, 0.018));
    ShellMesh mesh = mesh::mesh_shell(cabinet, {0.04});
    int left = cabinet.board_index("left").value();
};

/// A mesh of one square element (0, 0)-(1, 1) without strips.
struct OneElement
{
    Cabinet cabinet;
    ShellMesh mesh;
    OneElement()
    {
        cabinet.boards.resize(1);
        mesh.nodes.resize(3, 9);
        const double x[9] = {0, 1, 1, 0, 0.5, 1, 0.5, 0, 0.5}, y[9] = {0, 0, 1, 1, 0, 0.5, 1, 0.5, 0.5};
        for (int k = 0; k < 9; ++k) mesh.nodes.col(k) << x[k], y[k], 0;
        mesh.quads.push_back({{0, 1, 2, 3, 4, 5, 6, 7, 8}, 0, 0});
        mesh.zones.push_back({0, {}});
    }
};

} // namespace

TEST_CASE("cover: cells in the order of the integration points, of the size of their weights", "[mesh][cover]")
{
    const OneElement one;
    // Reference: by hand. r, s from −1 to 1 are x, y from 0 to 1: cells end at (1 ∓ 4/9)/2 = 5/18, 13/18, whose sizes
    // 5/18, 8/18, 5/18 are the Gauss weights halved. A region over x < 5/18 covers the first column, cells 0, 3 and 6.
    const Cover column = cover_of(one.cabinet, one.mesh, one.mesh.quads[0], rectangle({-1, -1}, {5.0 / 18, 2}));
    for (std::size_t k = 0; k < 9; ++k) CHECK_THAT(column[k], WithinAbs(k % 3 == 0, 1e-12)); // round-off on the border
    const Cover row = cover_of(one.cabinet, one.mesh, one.mesh.quads[0], rectangle({-1, 13.0 / 18}, {2, 2}));
    for (std::size_t k = 0; k < 9; ++k) CHECK_THAT(row[k], WithinAbs(k >= 6, 1e-12));
    // Half of the middle column, from x = 5/18 to 9/18. Tolerance: round-off.
    const Cover half = cover_of(one.cabinet, one.mesh, one.mesh.quads[0], rectangle({-1, -1}, {0.5, 2}));
    for (std::size_t k = 0; k < 9; ++k) CHECK_THAT(half[k], WithinAbs(std::array{1.0, 0.5, 0.0}[k % 3], 1e-12));
    // A triangle with corners (0, 0), (1, 0), (1, 1): the middle cell and the two corner cells on the diagonal are
    // halved.
    const Cover corner = cover_of(one.cabinet, one.mesh, one.mesh.quads[0], {{0, 0}, {1, 0}, {1, 1}});
    const Cover wanted = {0.5, 1, 1, 0, 0.5, 1, 0, 0, 0.5};
    for (std::size_t k = 0; k < 9; ++k) CHECK_THAT(corner[k], WithinAbs(wanted[k], 1e-12));
    // No region, no cover.
    CHECK(cover_of(one.cabinet, one.mesh, one.mesh.quads[0], {}) == Cover{});
}

TEST_CASE("cover: shares follow a small shift of the region", "[mesh][cover]")
{
    const OneElement one;
    const auto middle = [&](double x) {
        return cover_of(one.cabinet, one.mesh, one.mesh.quads[0], rectangle({-1, -1}, {x, 2}))[4];
    };
    // Reference: the middle cell is 8/18 wide, so d(share)/dx = 18/8. Tolerance: round-off over the step.
    CHECK_THAT((middle(0.5 + 1e-6) - middle(0.5 - 1e-6)) / 2e-6, WithinRel(18.0 / 8, 1e-8));
}

TEST_CASE("cover: the area of rectangles clear of the strips", "[mesh][cover]")
{
    const Box b;
    std::mt19937 random(7);
    const auto unit = [&] { return static_cast<double>(random()) / 4294967296.0; };
    // Within a strip's width of a strip the region counts in the strip as well; stay clear of that.
    const Bounds2 free = inner_bounds(b.cabinet.boards[b.left], 2 * 0.0135);
    int n_done = 0;
    for (int k = 0; k < 100; ++k) {
        const Vector2d share(0.05 + 0.7 * unit(), 0.05 + 0.7 * unit()), place(unit(), unit());
        const Vector2d half = share.cwiseProduct(free.size()) / 2;
        // Turned about its middle by up to 90° it stays within its half diagonal.
        const Vector2d middle =
            free.middle() + (2 * place.array() - 1).matrix().cwiseProduct((free.size() / 2 - half).cwiseMax(0)) * 0.3;
        const double angle = k % 2 == 0 ? 0 : 1.57 * unit(), c = std::cos(angle), s = std::sin(angle);
        Polygon region;
        for (const Vector2d& p : rectangle(-half, half))
            region.push_back(middle + Vector2d(c * p.x() - s * p.y(), s * p.x() + c * p.y()));
        if (std::any_of(region.begin(), region.end(), [&](const Vector2d& p) {
                return (p - free.low).minCoeff() < 0 || (free.high - p).minCoeff() < 0;
            }))
            continue;
        ++n_done;
        CAPTURE(half, middle, angle);
        // Reference: width times height. Tolerance: round-off, all elements of this mesh are rectangles.
        CHECK_THAT(covered_area(b.cabinet, b.mesh, b.left, region), WithinRel(signed_area(region), 1e-10));
    }
    CHECK(n_done > 50);
}

TEST_CASE("cover: an L, and elements of any shape around a hole", "[mesh][cover]")
{
    const Cabinet cabinet = build_cabinet(box_with_shelf());
    const ShellMesh mesh = mesh::mesh_shell(cabinet, {0.04});
    const int front = cabinet.board_index("front").value();
    const Opening& hole = cabinet.boards[front].openings[0];
    const Vector2d c = hole.centre;
    const double r = hole.width / 2;
    // An L with its re-entrant corner at the hole's middle: beside the hole it covers only the sickle below it.
    const double d = 0.06; // [m] half-width; the L's upper corners lie in the hole, d √2 < r
    const Polygon ell = {c + Vector2d(-d, -r), c + Vector2d(d, -r), c + Vector2d(d, 0), c,
                         c + Vector2d(0, -d),  c + Vector2d(-d, -d)};
    // Reference: between the hole and the tangent under it, ∫ (r − √(r² − x²)) dx over [−d, d]. Tolerance: beside the
    // rim J at the integration points is not quite its mean over the cells.
    const double sickle = 2 * d * r - (d * std::sqrt(r * r - d * d) + r * r * std::asin(d / r));
    CHECK_THAT(covered_area(cabinet, mesh, front, ell), WithinRel(sickle, 0.01));
}

TEST_CASE("cover: exactly nothing and exactly all away from the border", "[mesh][cover]")
{
    const Box b;
    const Vector2d middle = inner_bounds(b.cabinet.boards[b.left], 0).middle();
    const Polygon region = rectangle(middle - Vector2d(0.09, 0.09), middle + Vector2d(0.09, 0.09));
    int n_all = 0, n_none = 0, n_part = 0;
    for (const auto& quad : b.mesh.quads) {
        if (quad.board != b.left || !b.mesh.zones[quad.zone].strips.empty()) continue;
        double nearest = 1, farthest = 0; // of the element's nodes from the middle, as squares go
        for (const int node : quad.node) {
            const double off =
                (b.cabinet.boards[b.left].frame.to_board(b.mesh.nodes.col(node)) - middle).cwiseAbs().maxCoeff();
            nearest = std::min(nearest, off);
            farthest = std::max(farthest, off);
        }
        const Cover cover = cover_of(b.cabinet, b.mesh, quad, region);
        if (farthest < 0.09 - 1e-9) {
            ++n_all;
            for (const double share : cover) CHECK(share == 1);
        } else if (nearest > 0.09 + 1e-9) {
            ++n_none;
            for (const double share : cover) CHECK(share == 0);
        } else
            ++n_part;
    }
    CHECK(n_all > 4);
    CHECK(n_none > 4);
    CHECK(n_part > 4);
}

TEST_CASE("cover: strips follow the board beside them", "[mesh][cover]")
{
    const Box b;
    const Board& board = b.cabinet.boards[b.left];
    const Bounds2 whole = inner_bounds(board, 0), clear = inner_bounds(board, 0.009);
    // A layer over the clear face, which ends 9 mm from the lines: everything counts as covered, strips and corners
    // too.
    CHECK_THAT(covered_area(b.cabinet, b.mesh, b.left, rectangle(clear.low, clear.high)),
               WithinRel(board_area(b.mesh, b.left), 1e-10));
    // A layer only over the strips, 13.5 mm round the edge less its inside, covers none: beyond the strips there is
    // nothing.
    const Polygon narrow = rectangle(whole.low, {whole.high.x(), whole.low.y() + 0.0135});
    CHECK_THAT(covered_area(b.cabinet, b.mesh, b.left, narrow), WithinAbs(0, 1e-12)); // it touches: round-off [m²]
    // A layer over the left half reaches half way along the strips at top and bottom and takes the left strip with its
    // corners.
    const double x = whole.middle().x();
    CHECK_THAT(covered_area(b.cabinet, b.mesh, b.left, rectangle(clear.low, {x, clear.high.y()})),
               WithinRel(board_area(b.mesh, b.left) / 2, 1e-10));
    // A layer that ends half a strip's width short of the strips, 20.25 mm from the lines: the strip points further
    // than half its width from the line are looked up inside the layer.
    const Polygon inset = rectangle(whole.low + Vector2d(0.02025, 0.02025), whole.high - Vector2d(0.02025, 0.02025));
    double strips = 0, corners = 0;
    for (const auto& quad : b.mesh.quads) {
        const std::size_t n = b.mesh.zones[quad.zone].strips.size();
        if (quad.board != b.left || n == 0) continue;
        const Cover cover = cover_of(b.cabinet, b.mesh, quad, inset);
        for (int j = 0; j < 3; ++j)
            for (int i = 0; i < 3; ++i) (n == 1 ? strips : corners) += cover[3 * j + i] * cell_area(b.mesh, quad, i, j);
    }
    // Reference: half of each 13.5 mm strip as long as the layer; a quarter of each corner. Tolerance: round-off.
    CHECK_THAT(strips, WithinRel(0.0135 / 2 * 2 * (whole.size().sum() - 4 * 0.02025), 1e-9));
    CHECK_THAT(corners, WithinRel(4 * 0.0135 * 0.0135 / 4, 1e-9));
}
