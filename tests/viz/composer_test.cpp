#include "tests/viz/box_scene.h"
#include "viz/internal/composer.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <utility>

using namespace stillwall;
using namespace stillwall::viz;
using namespace stillwall::viz::test;

namespace {

double wide_measure(const std::string& text, const TextStyle& style)
{
    return 0.56 * style.size_px * static_cast<double>(text.size());
}

Rectangle bounds(const Text& text)
{
    const double width = wide_measure(text.text, text.style), height = 1.15 * text.style.size_px;
    const double left = text.align == Text::Align::Left     ? text.x
                        : text.align == Text::Align::Centre ? text.x - width / 2
                                                            : text.x - width;
    return {left, text.y - height / 2, width, height};
}

void check_texts(const Drawing& drawing, double width, double height)
{
    for (std::size_t i = 0; i < drawing.texts.size(); ++i) {
        const Rectangle a = bounds(drawing.texts[i]);
        CAPTURE(drawing.texts[i].text, a.left, a.bottom, a.right(), a.top());
        CHECK(a.left >= 0);
        CHECK(a.bottom >= 0);
        CHECK(a.right() <= width);
        CHECK(a.top() <= height);
        for (std::size_t j = 0; j < i; ++j) {
            const Rectangle b = bounds(drawing.texts[j]);
            CAPTURE(drawing.texts[j].text);
            CHECK_FALSE((a.left < b.right() && b.left < a.right() && a.bottom < b.top() && b.bottom < a.top()));
        }
    }
}

int count(const Drawing& drawing, const std::string& text)
{
    return static_cast<int>(
        std::count_if(drawing.texts.begin(), drawing.texts.end(), [&](const Text& t) { return t.text == text; }));
}

} // namespace

TEST_CASE("texts of a picture do not overlap and stay on the page", "[viz][composer]")
{
    BoxScene box;
    const ModeFrame frame{"mode 12   1412 Hz ± 6 %", "right, left: breathe, Q 48",
                          waves_on_boards(box, {{{1, 1, 0.5}, {1, 2, 1}, {}, {}, {}, {}, {1, 1, 0.3}}})};
    SECTION("short names") {}
    SECTION("long names")
    {
        for (std::string& name : box.scene.board_names) name = "the rather long name of the " + name + " board";
    }
    for (const auto& [width, height] : {std::pair{1200, 900}, std::pair{800, 600}, std::pair{2400, 1000}}) {
        PictureOptions options;
        options.width_px = width;
        options.height_px = height;
        const Composer composer(box.scene, options, wide_measure);
        check_texts(composer.picture(frame), width, height);
    }
}

TEST_CASE("every board is named flat, and where it is seen", "[viz][composer]")
{
    const BoxScene box;
    const ModeFrame frame{"mode", "", waves_on_boards(box, {{{1, 1, 1}, {}, {}, {}, {}, {}, {}}})};
    const Drawing drawing = Composer(box.scene, {}, wide_measure).picture(frame);
    // Reference: the flat drawing names all; front, right, top are seen closed; back, left, bottom, shelf opened.
    for (const std::string& name : box.scene.board_names) CHECK(count(drawing, name) == 2);
    CHECK(count(drawing, "1.00") == 1);
    CHECK(count(drawing, "0.00") == 6);
}

TEST_CASE("small pictures stay within their cell", "[viz][composer]")
{
    const BoxScene box;
    const ModeFrame frame{"mode 12   1412 Hz ± 6 % and far more than fits into a small picture", "right, left, Q 48",
                          waves_on_boards(box, {{{1, 1, 0.5}, {1, 2, 1}, {}, {}, {}, {}, {1, 1, 0.3}}})};
    const Composer composer(box.scene, {}, wide_measure);
    const int height = composer.sheet_cell_height(300);
    const Drawing cell = composer.sheet_cell(frame, 300, height);
    check_texts(cell, 300, height);
    for (std::size_t i = 0; i < cell.points.size(); i += 3) {
        CHECK(cell.points[i] >= 0);
        CHECK(cell.points[i] <= 300);
        CHECK(cell.points[i + 1] >= 0);
        CHECK(cell.points[i + 1] <= static_cast<float>(height));
    }
}
