#include "tests/viz/box_scene.h"
#include "viz/internal/surface.h"

#include <catch2/catch.hpp>

#include <numbers>

using namespace stillwall;
using namespace stillwall::viz;
using namespace stillwall::viz::test;
using Catch::Matchers::WithinAbs;

namespace {

constexpr std::size_t front = 0, right = 1, bottom = 4, top = 5, shelf = 6;

/// A field that nine-node quads represent exactly on every plane board.
Vector3d quadratic(const Vector3d& x)
{
    return {x.y() * x.y() - x.z(), 2 * x.x() * x.z() + x.y(), x.z() * x.z() + x.x() * x.y()};
}

} // namespace

TEST_CASE("edges, hole rims and contact lines are found from the mesh", "[viz][surface]")
{
    const BoxScene box;
    const Surface surface = make_surface(box.scene);
    // Reference: counted on the drawing of the fixture (8 × 10 × 14 quads; round hole of 8 sides, window of 16).
    CHECK(surface.boards[front].rim.size() == 2 * (8 + 14) + 8);
    CHECK(surface.boards[front].corners.size() == 2 * (8 + 14));
    CHECK(surface.boards[front].contacts.size() == 8);
    CHECK(surface.boards[right].contacts.size() == 10);
    CHECK(surface.boards[top].contacts.empty());
    CHECK(surface.boards[shelf].rim.size() == 2 * (8 + 10) + 16);
    CHECK(surface.boards[shelf].corners.empty());
}

TEST_CASE("a rib is found on its board", "[viz][surface]")
{
    BoxScene box;
    const auto& node = box.mesh.quads[3].node;
    box.mesh.rib_edges = {{{node[0], node[4], node[1]}}};
    const Surface surface = make_surface(box.scene);
    for (std::size_t b = 0; b < surface.boards.size(); ++b) {
        const bool is_here =
            static_cast<int>(b) == box.mesh.quads[3].board || b == bottom; // a side on their common edge
        CHECK(surface.boards[b].ribs.size() == (is_here ? 1U : 0U));
    }
}

TEST_CASE("boards are seen from outside, upright", "[viz][surface]")
{
    // Reference: the box's axes and sizes.
    const BoxScene box;
    const Surface surface = make_surface(box.scene);
    // Tolerance: round-off of sums over 100 elements.
    CHECK((surface.boards[front].normal + Vector3d::UnitY()).norm() < 1e-12);
    CHECK((surface.boards[right].normal - Vector3d::UnitX()).norm() < 1e-12);
    CHECK((surface.boards[bottom].normal + Vector3d::UnitZ()).norm() < 1e-12);
    CHECK((surface.boards[front].up - Vector3d::UnitZ()).norm() < 1e-12);
    CHECK((surface.boards[right].right - Vector3d::UnitY()).norm() < 1e-12);
    CHECK((surface.boards[shelf].normal - Vector3d::UnitZ()).norm() < 1e-12);
    CHECK_THAT(surface.boards[right].width, WithinAbs(BoxScene::depth, 1e-12));
    CHECK_THAT(surface.boards[right].height, WithinAbs(BoxScene::height, 1e-12));
}

TEST_CASE("quadratic displacements are drawn without error", "[viz][surface]")
{
    const BoxScene box;
    const Surface surface = make_surface(box.scene);
    Eigen::Matrix3Xd displacement(3, box.mesh.n_nodes());
    for (int i = 0; i < box.mesh.n_nodes(); ++i) displacement.col(i) = quadratic(box.mesh.nodes.col(i));
    constexpr double fraction = 0.05;
    const Shape shape = make_shape(surface, displacement, fraction);

    const double largest = std::sqrt(displacement.colwise().squaredNorm().maxCoeff());
    const double factor = fraction * BoxScene::width / largest;
    const int n = surface.points_per_quad();
    double worst = 0, worst_mirrored = 0; // the drawing may turn the sign
    for (int q = 0; q < static_cast<int>(box.mesh.quads.size()); ++q) {
        // The front's quads around the round hole are curved: there the field is not a polynomial in r and s.
        if (box.mesh.quads[static_cast<std::size_t>(q)].board == static_cast<int>(front)) continue;
        for (int p = q * n; p < (q + 1) * n; ++p) {
            const Vector3d rest = surface.rest.col(p), moved = shape.points.col(p) - rest;
            worst = std::max(worst, (moved - factor * quadratic(rest)).norm());
            worst_mirrored = std::max(worst_mirrored, (moved + factor * quadratic(rest)).norm());
        }
    }
    // Reference: a biquadratic element holds every quadratic polynomial. Tolerance: round-off of lengths below 1 m.
    CHECK(std::min(worst, worst_mirrored) < 1e-14);
}

TEST_CASE("the largest drawn displacement is the asked part of the smallest side", "[viz][surface]")
{
    // Reference: what make_shape was asked for.
    const BoxScene box;
    const Surface surface = make_surface(box.scene);
    const auto displacement = waves_on_boards(box, {{{}, {1, 1, 7e-6}, {}, {}, {}, {}, {}}});
    const Shape shape = make_shape(surface, displacement, 0.06);
    const double moved = (shape.nodes - box.mesh.nodes).colwise().norm().maxCoeff();
    // Tolerance: round-off.
    CHECK_THAT(moved, WithinAbs(0.06 * BoxScene::width, 1e-12));
    CHECK_THAT(shape.value.maxCoeff(), WithinAbs(1, 1e-12));
    CHECK_THAT(shape.peak[right], WithinAbs(1, 1e-12));
    CHECK_THAT(shape.peak[top], WithinAbs(0, 1e-12));
}

TEST_CASE("the drawing does not depend on the mode's sign", "[viz][surface]")
{
    const BoxScene box;
    const Surface surface = make_surface(box.scene);
    const auto displacement = waves_on_boards(box, {{{1, 1, 0.4}, {2, 1, -1}, {}, {1, 2, 0.3}, {}, {}, {1, 1, 0.2}}});
    const Shape plus = make_shape(surface, displacement, 0.06), minus = make_shape(surface, -displacement, 0.06);
    CHECK(plus.points == minus.points);
    CHECK(plus.value == minus.value);
}

TEST_CASE("a mode without motion is drawn at rest", "[viz][surface]")
{
    const BoxScene box;
    const Surface surface = make_surface(box.scene);
    const Shape shape = make_shape(surface, Eigen::Matrix3Xd::Zero(3, box.mesh.n_nodes()), 0.06);
    CHECK(shape.points == surface.rest);
    CHECK(shape.value.isZero(0));
    CHECK(shape.normals.allFinite());
}
