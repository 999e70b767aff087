#include "viz/internal/composer.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace stillwall::viz {
namespace {

// Lines lie a little in front of their surface, by more than a slanted surface rises within half a line's width.
constexpr double rest_lift_px = 1.0, contact_lift_px = 2.0, rim_lift_px = 3.0;
constexpr double rod_lift_px = -3.0; // behind: a rod must not show through the wall it ends on

constexpr Rgb rod_colour{122, 110, 96};
constexpr double cell_margin = 10, cell_caption = 44; ///< [px] of a small picture
constexpr double longest_name_px = 190;               ///< of a 1200 px picture; longer board names are cut

Rectangle without_top(const Rectangle& area, double strip)
{
    return {area.left, area.bottom, area.width, area.height - strip};
}

/// Brightness of a surface: enough relief to read the shape, so little that colours still match the bar.
double brightness(const Vector3d& normal_in_view)
{
    static const Vector3d light = Vector3d(-0.30, 0.75, 0.59).normalized();
    const Vector3d facing = normal_in_view.z() < 0 ? Vector3d(-normal_in_view) : normal_in_view;
    // From 0 away from the light to 1 towards it, without a terminator: slopes show on every side.
    const double towards_light = 0.5 + 0.5 * facing.dot(light);
    return 0.74 + 0.26 * towards_light;
}

void add_quad_pieces(Drawing& drawing, const Surface& surface, int first_point)
{
    const int row = surface.cuts + 1;
    for (int j = 0; j < surface.cuts; ++j)
        for (int i = 0; i < surface.cuts; ++i) {
            const int at = first_point + j * row + i;
            drawing.add_triangle(at, at + 1, at + row + 1);
            drawing.add_triangle(at, at + row + 1, at + row);
        }
}

struct LineLook
{
    double lift_px = 0;
    double width_px = 1;
    Rgb colour = palette::ink;
};

void add_sides(Drawing& drawing, const Surface& surface, const View& view, const Eigen::Matrix3Xd& points,
               const std::vector<QuadSide>& sides, const LineLook& look)
{
    const Vector3d lift(0, 0, look.lift_px);
    for (const QuadSide& side : sides) {
        Vector3d from = view.project(points.col(surface.side_point(side, 0))) + lift;
        for (int k = 1; k <= surface.cuts; ++k) {
            const Vector3d to = view.project(points.col(surface.side_point(side, k))) + lift;
            drawing.add_line(from, to, look.width_px, look.colour);
            from = to;
        }
    }
}

int nearest_node(const ShellMesh& mesh, const Vector3d& x)
{
    Eigen::Index nearest = 0;
    (mesh.nodes.colwise() - x).colwise().squaredNorm().minCoeff(&nearest);
    return static_cast<int>(nearest);
}

} // namespace

Composer::Composer(const Scene& scene, const PictureOptions& options, TextMeasure measure)
    : scene_(scene), options_(options), measure_(std::move(measure)), surface_(make_surface(scene)),
      unit_(std::min(options.width_px / 1200.0, options.height_px / 900.0)),
      // The largest motion is seldom at the outermost point: two thirds of it are room enough.
      seen_(seen_extent(front_right_above(), surface_.rest, 0.67 * options.deform_fraction * surface_.smallest_side)),
      page_(best_page()), closed_(make_panel(without_top(page_.boxes[0], px(24)), false)),
      open_(make_panel(without_top(page_.boxes[1], px(24)), true))
{
    name_boards(closed_);
    name_boards(open_);
}

/// Shares the width between the boxes (left) and the flat boards (right) so that both come out large.
Composer::Page Composer::best_page() const
{
    std::vector<FlatItem> items;
    const TextStyle name = style(15, palette::ink, true), number = style(15);
    for (std::size_t b = 0; b < surface_.boards.size(); ++b) {
        const double text = measure_(scene_.board_names[b], name) + px(8) + measure_("0.00", number);
        items.push_back({surface_.boards[b].width, surface_.boards[b].height, std::min(text, px(longest_name_px))});
    }
    const double top = options_.height_px - px(104), bottom = px(98), between = px(34);
    const double left = px(30), right = options_.width_px - px(30);
    Page best;
    double best_score = -1;
    for (double share = 0.22; share < 0.64; share += 0.02) {
        const double middle = left + share * (right - left);
        Page page;
        page.boxes = split({left, bottom, middle - left, top - bottom}, px(14));
        page.flat_area = {middle + between, bottom, right - middle - between, top - bottom};
        page.flat = lay_flat(items, without_top(page.flat_area, px(24)), {.gap_px = px(16), .caption_px = px(22)});
        // The box views weigh more: slanted faces need the pixels more than flat ones.
        const double score = page.flat.scale * std::pow(fitting_scale(seen_, without_top(page.boxes[0], px(24))), 1.4);
        if (score <= best_score) continue;
        best_score = score;
        best = page;
    }
    return best;
}

TextStyle Composer::style(int size_at_1200, const Rgb& colour, bool is_bold) const
{
    return {.size_px = static_cast<int>(std::lround(px(size_at_1200))), .is_bold = is_bold, .colour = colour};
}

/// Two equal areas, beside or above each other, whichever shows the box larger.
std::array<Rectangle, 2> Composer::split(const Rectangle& area, double gap) const
{
    const double half_width = (area.width - gap) / 2, half_height = (area.height - gap) / 2;
    const std::array<Rectangle, 2> beside{{{area.left, area.bottom, half_width, area.height},
                                           {area.left + half_width + gap, area.bottom, half_width, area.height}}};
    const std::array<Rectangle, 2> stacked{{{area.left, area.bottom + half_height + gap, area.width, half_height},
                                            {area.left, area.bottom, area.width, half_height}}};
    return fitting_scale(seen_, beside[0]) > fitting_scale(seen_, stacked[0]) ? beside : stacked;
}

Composer::Panel Composer::make_panel(const Rectangle& area, bool is_open) const
{
    Panel panel;
    panel.area = area;
    panel.view = fit_view(front_right_above(), seen_, area);
    for (const BoardShape& board : surface_.boards) {
        const bool faces_viewer = board.normal.dot(panel.view.towards_viewer()) > 0.02;
        panel.is_drawn.push_back(!is_open || board.is_brace || !faces_viewer);
    }
    return panel;
}

void Composer::name_boards(Panel& panel) const
{
    const BoardRaster raster = raster_boards(surface_, panel.view, panel.is_drawn, panel.area);
    TextStyle look = style(15);
    look.has_backing = true;
    for (std::size_t b = 0; b < surface_.boards.size(); ++b) {
        const BoardShape& board = surface_.boards[b];
        const double slant = std::abs(board.normal.dot(panel.view.towards_viewer()));
        const double whole = board.width * board.height * slant * std::pow(panel.view.scale / raster.cell, 2);
        // A name on the scrap of a board that is seen through a hole would be taken for the hole's.
        if (static_cast<double>(std::count(raster.board.begin(), raster.board.end(), static_cast<int>(b))) <
            0.25 * whole)
            continue;
        const double width = measure_(scene_.board_names[b], look) + px(10);
        if (const auto place = place_on_board(raster, static_cast<int>(b), width, px(24)))
            panel.names.push_back({scene_.board_names[b], place->x(), place->y(), Text::Align::Centre, look});
    }
}

void Composer::draw_panel(Drawing& drawing, const Panel& panel, const Shape& shape, double line_px) const
{
    const Surface& surface = surface_;
    const int n = surface.points_per_quad();
    for (std::size_t b = 0; b < surface.boards.size(); ++b) {
        const BoardShape& board = surface.boards[b];
        if (!board.is_brace)
            add_sides(drawing, surface, panel.view, surface.rest, board.corners,
                      {rest_lift_px, 0.6 * line_px, palette::rest_line});
        if (!panel.is_drawn[b]) continue;
        for (const int q : board.quads) {
            const int first = static_cast<int>(drawing.points.size() / 3);
            for (int p = q * n; p < (q + 1) * n; ++p)
                drawing.add_point(
                    panel.view.project(shape.points.col(p)),
                    shaded(diverging_colour(shape.value(p)), brightness(panel.view.axes * shape.normals.col(p))));
            add_quad_pieces(drawing, surface, first);
        }
        add_sides(drawing, surface, panel.view, shape.points, board.contacts,
                  {contact_lift_px, 0.7 * line_px, palette::contact_line});
        add_sides(drawing, surface, panel.view, shape.points, board.ribs, {contact_lift_px, 2.5 * line_px, rod_colour});
        add_sides(drawing, surface, panel.view, shape.points, board.rim, {rim_lift_px, line_px, palette::ink});
    }
    for (const auto& rod : scene_.rods) {
        const Vector3d lift(0, 0, rod_lift_px);
        const Vector3d from = shape.nodes.col(nearest_node(*surface.mesh, rod[0]));
        const Vector3d to = shape.nodes.col(nearest_node(*surface.mesh, rod[1]));
        drawing.add_line(panel.view.project(from) + lift, panel.view.project(to) + lift, 3 * line_px, rod_colour);
    }
    drawing.texts.insert(drawing.texts.end(), panel.names.begin(), panel.names.end());
}

void Composer::draw_flat_board(Drawing& drawing, const Shape& shape, std::size_t b) const
{
    const BoardShape& board = surface_.boards[b];
    const Rectangle& place = page_.flat.places[b];
    View view;
    view.axes.row(0) = board.right.transpose();
    view.axes.row(1) = board.up.transpose();
    view.axes.row(2) = board.normal.transpose();
    view.scale = page_.flat.scale;
    view.shift = Vector3d(place.left, place.bottom, 0) - view.scale * (view.axes * board.low);

    const int n = surface_.points_per_quad();
    for (const int q : board.quads) {
        const int first = static_cast<int>(drawing.points.size() / 3);
        for (int p = q * n; p < (q + 1) * n; ++p)
            drawing.add_point(view.project(surface_.rest.col(p)), diverging_colour(shape.value(p)));
        add_quad_pieces(drawing, surface_, first);
    }
    add_sides(drawing, surface_, view, surface_.rest, board.contacts,
              {contact_lift_px, px(1.3), palette::contact_line});
    add_sides(drawing, surface_, view, surface_.rest, board.ribs, {contact_lift_px, px(4), rod_colour});
    add_sides(drawing, surface_, view, surface_.rest, board.rim, {rim_lift_px, px(1.6), palette::ink});
}

void Composer::draw_flat(Drawing& drawing, const Shape& shape) const
{
    const TextStyle name = style(15, palette::ink, true), number = style(15);
    for (std::size_t b = 0; b < page_.flat.places.size(); ++b) {
        draw_flat_board(drawing, shape, b);
        const std::string value = fmt::format("{:.2f}", shape.peak[b]);
        const double widest =
            std::max(px(longest_name_px), page_.flat.places[b].width) - px(8) - measure_(value, number);
        const std::string text = fit_text(scene_.board_names[b], name, widest, measure_);
        const double x = page_.flat.places[b].left, y = page_.flat.places[b].top() + px(12);
        drawing.texts.push_back({text, x, y, Text::Align::Left, name});
        drawing.texts.push_back({value, x + measure_(text, name) + px(8), y, Text::Align::Left, number});
    }
}

/// The colour bar with its ends named, and beside it how to read the picture.
void Composer::draw_scale(Drawing& drawing, const Rectangle& area) const
{
    const Rectangle bar{area.left, area.top() - px(18), px(330), px(16)};
    constexpr int n_steps = 128;
    for (int i = 0; i < n_steps; ++i) {
        const Rectangle step{bar.left + bar.width * i / n_steps, bar.bottom, bar.width / n_steps, bar.height};
        drawing.add_rectangle(step, 0, diverging_colour(2 * (i + 0.5) / n_steps - 1));
    }
    const auto line = [&](double x0, double y0, double x1, double y1) {
        drawing.add_line({x0, y0, 1}, {x1, y1, 1}, px(1.2), palette::ink);
    };
    line(bar.left, bar.bottom, bar.right(), bar.bottom);
    line(bar.left, bar.top(), bar.right(), bar.top());
    for (const double x : {bar.left, bar.centre_x(), bar.right()}) line(x, bar.bottom - px(5), x, bar.top());

    const TextStyle look = style(15), note = style(14, palette::quiet_ink);
    const double y = bar.bottom - px(17);
    drawing.texts.push_back({"−1  inward", bar.left, y, Text::Align::Left, look});
    drawing.texts.push_back({"0", bar.centre_x(), y, Text::Align::Centre, look});
    drawing.texts.push_back({"outward  +1", bar.right(), y, Text::Align::Right, look});

    const std::array<std::string, 3> notes{
        "Colour: displacement across the board, as a part of the largest one anywhere.",
        "Half a cycle later all signs are reversed. On braces + is towards the right, the front or the top.",
        fmt::format(
            "Shape exaggerated: the largest displacement is drawn as {:.3g} % of the smallest side. Grey: at rest.",
            100 * options_.deform_fraction)};
    double note_y = area.top() - px(9);
    for (const std::string& text : notes) {
        drawing.texts.push_back({text, bar.right() + px(40), note_y, Text::Align::Left, note});
        note_y -= px(20);
    }
}

Drawing Composer::picture(const ModeFrame& frame) const
{
    const double width = options_.width_px, height = options_.height_px;
    const Shape shape = make_shape(surface_, frame.displacement, options_.deform_fraction);
    Drawing drawing;
    const TextStyle title = style(28, palette::ink, true), subtitle = style(18),
                    caption = style(14, palette::quiet_ink);
    const double text_width = width - px(60);
    drawing.texts.push_back({fit_text(frame.title, title, text_width, measure_), px(30), height - px(36), {}, title});
    drawing.texts.push_back(
        {fit_text(frame.subtitle, subtitle, text_width, measure_), px(30), height - px(70), {}, subtitle});
    drawing.add_rectangle({px(30), height - px(92), text_width, px(1)}, 0, palette::rule);
    drawing.add_rectangle({px(30), px(86), text_width, px(1)}, 0, palette::rule);

    draw_panel(drawing, closed_, shape, px(1.6));
    draw_panel(drawing, open_, shape, px(1.6));
    const auto caption_of = [&](const Rectangle& area, const char* text) {
        const std::string fitting = fit_text(text, caption, area.width, measure_);
        drawing.texts.push_back({fitting, area.left, area.top() - px(8), Text::Align::Left, caption});
    };
    caption_of(page_.boxes[0], "Closed, from the front right");
    caption_of(page_.boxes[1], "Opened: near walls taken away");
    caption_of(page_.flat_area, "Boards laid flat, from outside; number: peak value");
    draw_flat(drawing, shape);
    draw_scale(drawing, {px(30), px(12), text_width, px(64)});
    return drawing;
}

int Composer::sheet_cell_height(int width_px) const
{
    // As tall as two boxes side by side are, within what makes a decent cell.
    const Vector3d size = seen_.high - seen_.low;
    const double box_height = (width_px - 3 * cell_margin) / 2 * size.y() / size.x();
    return static_cast<int>(cell_caption + 2 * cell_margin + std::clamp(box_height, 140.0, 220.0));
}

Drawing Composer::sheet_cell(const ModeFrame& frame, int width_px, int height_px) const
{
    const Shape shape = make_shape(surface_, frame.displacement, options_.deform_fraction);
    Drawing drawing;
    constexpr double margin = cell_margin;
    const auto parts = split({margin, margin, width_px - 2 * margin, height_px - cell_caption - 2 * margin}, margin);
    draw_panel(drawing, make_panel(parts[0], false), shape, 1.1);
    draw_panel(drawing, make_panel(parts[1], true), shape, 1.1);
    const TextStyle title{.size_px = 15, .is_bold = true}, subtitle{.size_px = 13, .colour = palette::quiet_ink};
    const double text_width = width_px - 2 * margin;
    drawing.texts.push_back({fit_text(frame.title, title, text_width, measure_), margin, height_px - 15.0, {}, title});
    drawing.texts.push_back(
        {fit_text(frame.subtitle, subtitle, text_width, measure_), margin, height_px - 35.0, {}, subtitle});
    drawing.add_rectangle({margin, height_px - 1.0, text_width, 1}, 0, palette::rule);
    return drawing;
}

Drawing Composer::sheet_legend(int width_px, int height_px) const
{
    Drawing drawing;
    draw_scale(drawing, {10, 0, width_px - 20.0, height_px - 10.0});
    return drawing;
}

} // namespace stillwall::viz
