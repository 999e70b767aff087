#include "tests/viz/box_scene.h"
#include "viz/internal/flat_layout.h"
#include "viz/internal/view.h"

#include <catch2/catch.hpp>

#include <random>

using namespace stillwall;
using namespace stillwall::viz;
using namespace stillwall::viz::test;
using Catch::Matchers::WithinAbs;

namespace {

/// A stand-in for real type: every byte 0.6 of the size wide.
double plain_measure(const std::string& text, const TextStyle& style)
{
    return 0.6 * style.size_px * static_cast<double>(text.size());
}

bool overlap(const Rectangle& a, const Rectangle& b)
{
    return a.left < b.right() && b.left < a.right() && a.bottom < b.top() && b.bottom < a.top();
}

} // namespace

TEST_CASE("flat boards keep one scale, stay inside and do not overlap", "[viz][layout]")
{
    // Reference: the items' own sizes times the scale.
    std::mt19937 random(20240611);
    std::uniform_real_distribution<double> side(0.05, 1.2), text(20, 190);
    const Rectangle area{600, 98, 500, 670};
    const FlatSpacing spacing;
    for (int trial = 0; trial < 200; ++trial) {
        std::vector<FlatItem> items(static_cast<std::size_t>(3 + trial % 16));
        for (FlatItem& item : items) item = {side(random), side(random), text(random)};
        const FlatLayout layout = lay_flat(items, area, spacing);
        REQUIRE(layout.scale > 0);
        REQUIRE(layout.places.size() == items.size());
        for (std::size_t i = 0; i < items.size(); ++i) {
            const Rectangle& place = layout.places[i];
            CAPTURE(trial, i, place.left, place.bottom, place.width, place.height);
            // Tolerance: round-off of pixel sums.
            CHECK_THAT(place.width, WithinAbs(items[i].width * layout.scale, 1e-9));
            CHECK_THAT(place.height, WithinAbs(items[i].height * layout.scale, 1e-9));
            const Rectangle with_caption{place.left, place.bottom, std::max(place.width, items[i].caption_px),
                                         place.height + spacing.caption_px};
            CHECK(with_caption.left >= area.left - 1e-9);
            CHECK(with_caption.right() <= area.right() + 1e-9);
            CHECK(with_caption.bottom >= area.bottom - 1e-9);
            CHECK(with_caption.top() <= area.top() + 1e-9);
            for (std::size_t j = 0; j < i; ++j) {
                const Rectangle other{layout.places[j].left, layout.places[j].bottom,
                                      std::max(layout.places[j].width, items[j].caption_px),
                                      layout.places[j].height + spacing.caption_px};
                CHECK_FALSE(overlap(with_caption, other));
            }
        }
    }
}

TEST_CASE("a single board fills the area", "[viz][layout]")
{
    const FlatLayout layout = lay_flat({{0.5, 0.25, 40}}, {0, 0, 500, 600}, {.gap_px = 10, .caption_px = 20});
    // Reference: 500 px / 0.5 m. Tolerance: the scales tried lie 2 % apart.
    CHECK(layout.scale <= 1000);
    CHECK(layout.scale > 980);
}

TEST_CASE("no room, no layout", "[viz][layout]")
{
    CHECK(lay_flat({{0.5, 0.25, 400}}, {0, 0, 300, 600}, {}).scale == 0);
    CHECK(lay_flat({}, {0, 0, 300, 600}, {}).scale == 0);
}

TEST_CASE("the view holds the whole box and looks from the front, right and above", "[viz][layout]")
{
    // Reference: axes of a view are orthonormal, and upright stays upright.
    const BoxScene box;
    const Rectangle area{30, 98, 300, 640};
    const Eigen::Matrix3d axes = front_right_above();
    const View view = fit_view(axes, seen_extent(axes, box.mesh.nodes, 0.01), area);
    // Tolerance: round-off of a rotation, and of pixel sums.
    CHECK((axes * axes.transpose() - Eigen::Matrix3d::Identity()).norm() < 1e-14);
    CHECK(view.towards_viewer().x() > 0);
    CHECK(view.towards_viewer().y() < 0);
    CHECK(view.towards_viewer().z() > 0);
    for (int i = 0; i < box.mesh.n_nodes(); ++i) {
        const Vector3d p = view.project(box.mesh.nodes.col(i));
        CHECK(p.x() > area.left);
        CHECK(p.x() < area.right());
        CHECK(p.y() > area.bottom);
        CHECK(p.y() < area.top());
    }
    const Vector3d low = view.project({0, 0, 0}), high = view.project({0, 0, BoxScene::height});
    CHECK_THAT(high.x() - low.x(), WithinAbs(0, 1e-9));
    CHECK(high.y() > low.y());
}

TEST_CASE("names lie wholly on the visible part of their board", "[viz][layout]")
{
    const BoxScene box;
    const Surface surface = make_surface(box.scene);
    const Rectangle area{0, 0, 400, 600};
    const View view = fit_view(front_right_above(), seen_extent(front_right_above(), surface.rest, 0), area);
    const BoardRaster raster = raster_boards(surface, view, std::vector<bool>(7, true), area);
    constexpr double width = 60, height = 24;
    for (const int board : {0, 1, 5}) { // front, right, top
        const auto place = place_on_board(raster, board, width, height);
        REQUIRE(place.has_value());
        for (int row = 0; row < raster.rows; ++row)
            for (int column = 0; column < raster.columns; ++column) {
                const double x = (column + 0.5) * raster.cell, y = (row + 0.5) * raster.cell;
                if (std::abs(x - place->x()) > width / 2 || std::abs(y - place->y()) > height / 2) continue;
                CHECK(raster.board[static_cast<std::size_t>(row * raster.columns + column)] == board);
            }
    }
    CHECK_FALSE(place_on_board(raster, 2, width, height).has_value());      // the back is hidden
    CHECK_FALSE(place_on_board(raster, 0, 10 * width, height).has_value()); // longer than the board
}

TEST_CASE("long texts are cut at whole characters", "[viz][layout]")
{
    const TextStyle style{.size_px = 10};
    CHECK(fit_text("shelf", style, 31, plain_measure) == "shelf");
    // The ellipsis counts three bytes in this measure: 18 px.
    CHECK(fit_text("upper shelf", style, 54, plain_measure) == "upper…");
    CHECK(fit_text("Gehäuseboden", style, 48, plain_measure) == "Gehä…");
    CHECK(fit_text("Gehäuseboden", style, 47, plain_measure) == "Geh…"); // never half an umlaut
}
