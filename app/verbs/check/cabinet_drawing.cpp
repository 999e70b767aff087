#include "app/verbs/check/cabinet_drawing.h"

#include "app/write/numbers.h"
#include "app/write/openings.h"
#include "app/write/svg_plot.h"
#include "mesh/cabinet/fit.h"
#include "mesh/cabinet/opening.h"
#include "mesh/cabinet/polygon_notch.h"
#include "mesh/cabinet/units.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace stillwall::app {
namespace {

/// Directions of the page in the cabinet: right and up on paper, and from the paper to the reader.
struct View
{
    const char* title;
    Vector3d right, up, reader;
    [[nodiscard]] Vector2d project(const Vector3d& p) const { return {p.dot(right), p.dot(up)}; }
};

constexpr int n_arc = 72; ///< chords per full circle

const std::array<View, 3> views{{
    {"front", Vector3d::UnitX(), Vector3d::UnitZ(), -Vector3d::UnitY()},
    {"right side", Vector3d::UnitY(), Vector3d::UnitZ(), Vector3d::UnitX()},
    {"top", Vector3d::UnitX(), Vector3d::UnitY(), Vector3d::UnitZ()},
}};

struct Extent
{
    Vector2d low = Vector2d::Constant(1e9), high = Vector2d::Constant(-1e9);
    void include(const Vector2d& p)
    {
        low = low.cwiseMin(p);
        high = high.cwiseMax(p);
    }
    [[nodiscard]] Vector2d size() const { return high - low; }
};

/// One view on the paper: metres of the cabinet to millimetres of paper, y downwards as SVG has it.
struct Placing
{
    Extent extent;
    Vector2d corner = Vector2d::Zero(); ///< paper position of the view's lower left [mm]
    double scale = 1;                   ///< paper mm per metre
    [[nodiscard]] Vector2d to_paper(const Vector2d& p) const
    {
        return {corner.x() + (p.x() - extent.low.x()) * scale, corner.y() - (p.y() - extent.low.y()) * scale};
    }
};

/// A face of the board as sawn, `height` above its mid-plane, or one of its openings there.
Polygon lifted(const Polygon& in_board, const Board& board, double height, const View& view)
{
    Polygon polygon;
    for (const Vector2d& p : in_board) {
        const Vector3d at = board.frame.to_space(p);
        polygon.push_back(view.project(at + height * board.frame.touching(at).n));
    }
    return polygon;
}

/// The sawn outline of a curved board with points along its long sides.
Polygon sampled(const Board& board)
{
    constexpr int pieces = 32;
    const Bounds2 box = bounds(board.sawn);
    Polygon polygon;
    for (int i = 0; i <= pieces; ++i) polygon.emplace_back(box.low.x() + box.size().x() * i / pieces, box.low.y());
    for (int i = pieces; i >= 0; --i) polygon.emplace_back(box.low.x() + box.size().x() * i / pieces, box.high.y());
    return polygon;
}

std::vector<Vector3d> lifted_corners(const Board& board, double height)
{
    std::vector<Vector3d> corners;
    for (const Vector2d& p : board.frame.is_curved() ? sampled(board) : board.sawn) {
        const Vector3d at = board.frame.to_space(p);
        corners.push_back(at + height * board.frame.touching(at).n);
    }
    return corners;
}

std::string path(const Polygon& polygon, const Placing& placing, std::string_view style)
{
    std::string d;
    for (const Vector2d& p : polygon) {
        const Vector2d q = placing.to_paper(p);
        d += fmt::format("{}{:.2f} {:.2f}", d.empty() ? "M" : "L", q.x(), q.y());
    }
    return fmt::format("<path class=\"{}\" d=\"{}Z\"/>\n", style, d);
}

/// A curved board: from above a strip between two arcs, else its shadow.
std::string curved_in_view(const Board& board, const View& view, const Placing& placing)
{
    const double half = board.thickness() / 2;
    const Polygon edge = sampled(board);
    Polygon points = lifted(edge, board, half, view), inner = lifted(edge, board, -half, view);
    if (std::abs(board.frame.e2.dot(view.reader)) > 0.99) {
        const std::size_t n = edge.size() / 2;
        Polygon strip(points.begin(), points.begin() + static_cast<std::ptrdiff_t>(n));
        strip.insert(strip.end(), inner.rend() - static_cast<std::ptrdiff_t>(n), inner.rend());
        return path(strip, placing, "wall");
    }
    points.insert(points.end(), inner.begin(), inner.end());
    const double facing = board.frame.n.dot(view.reader);
    const char* style = facing > 0.1 ? "seen" : facing < -0.1 ? "hidden" : "wall";
    return path(convex_hull(std::move(points)), placing, style);
}

std::string label(const Vector2d& at, const std::string& text, std::string_view extra = "")
{
    return fmt::format("<text x=\"{:.2f}\" y=\"{:.2f}\" {}>{}</text>\n", at.x(), at.y(), extra, xml_text(text));
}

/// "x 120, z 150": the hole's middle on the outer face, as the file has it.
std::string place_words(const Board& board, const Opening& opening, const View& view)
{
    const Vector3d at = board.frame.to_space(opening.centre) + board.thickness() / 2 * board.frame.n;
    std::string words;
    for (const Vector3d& axis : {view.right, view.up}) {
        Eigen::Index k = 0;
        axis.cwiseAbs().maxCoeff(&k);
        words += fmt::format("{}{} {}", words.empty() ? "" : ", ", "xyz"[k], in_mm(at[k]));
    }
    return words;
}

std::string board_in_view(const Board& board, const View& view, const Placing& placing)
{
    if (board.frame.is_curved()) return curved_in_view(board, view, placing);
    const double half = board.thickness() / 2;
    const double facing = board.frame.n.dot(view.reader);
    const bool is_brace = board.kind == Board::Kind::Brace;
    constexpr double edge_on = 1e-3;
    if (std::abs(facing) < edge_on) {
        Polygon points = lifted(board.sawn, board, half, view);
        const Polygon other = lifted(board.sawn, board, -half, view);
        points.insert(points.end(), other.begin(), other.end());
        return path(convex_hull(std::move(points)), placing, is_brace ? "brace" : "wall");
    }
    // The face turned to the reader; only outer walls are in plain sight.
    const bool is_visible = !is_brace && facing > 0;
    const char* style = is_visible ? "seen" : "hidden";
    const double height = facing > 0 ? half : -half;
    std::string svg = path(lifted(board.sawn, board, height, view), placing, style);
    for (const Opening& opening : board.openings) {
        svg += path(lifted(opening_outline(opening, n_arc), board, height, view), placing, style);
        constexpr double readable = 0.7; // seen more obliquely, names would lie on each other
        if (is_visible && facing > readable) {
            const Vector2d at = placing.to_paper(view.project(board.frame.to_space(opening.centre)));
            svg += label(at, opening.name, "class=\"small\"");
            svg += label(at + Vector2d(0, 3.2), opening_size(opening), "class=\"small\"");
            svg += label(at + Vector2d(0, 6.4), place_words(board, opening, view), "class=\"small\"");
        }
    }
    return svg;
}

/// Layers on faces that are not seen edge-on.
std::string layers_in_view(const Cabinet& cabinet, const View& view, const Placing& placing)
{
    constexpr double flat_enough = 0.1;
    std::string svg;
    for (const FaceLayer& layer : cabinet.layers) {
        const Board& board = cabinet.board(layer.board);
        if (std::abs(board.frame.n.dot(view.reader)) < flat_enough) continue;
        svg += path(lifted(layer.region, board, layer.side * board.thickness() / 2, view), placing, "layer");
    }
    return svg;
}

/// Feet as dots.
std::string feet_in_view(const Cabinet& cabinet, const View& view, const Placing& placing)
{
    std::string svg;
    for (const Support& support : cabinet.supports) {
        const Board& board = cabinet.board(support.board);
        for (const Vector2d& foot : support.points) {
            const Vector2d at =
                placing.to_paper(view.project(board.frame.to_space(foot) + board.thickness() / 2 * board.frame.n));
            svg += fmt::format("<circle class=\"foot\" cx=\"{:.2f}\" cy=\"{:.2f}\" r=\"1\"/>\n", at.x(), at.y());
        }
    }
    return svg;
}

/// A dimension line between two points of the paper, with its figure in mm of the cabinet.
std::string dimension(const Vector2d& from, const Vector2d& to, double length_m)
{
    const Vector2d middle = (from + to) / 2;
    const bool is_upright = std::abs(to.y() - from.y()) > std::abs(to.x() - from.x());
    const std::string turn =
        is_upright ? fmt::format("transform=\"rotate(-90 {:.2f} {:.2f})\"", middle.x() - 1.2, middle.y()) : "";
    const Vector2d at = is_upright ? Vector2d(middle.x() - 1.2, middle.y()) : Vector2d(middle.x(), middle.y() - 1.2);
    return fmt::format("<line class=\"size\" x1=\"{:.2f}\" y1=\"{:.2f}\" x2=\"{:.2f}\" y2=\"{:.2f}\"/>\n", from.x(),
                       from.y(), to.x(), to.y()) +
           label(at, in_mm(length_m), turn);
}

/// Flanges and screws on boards that are seen, bodies and tubes behind them.
std::string drivers_in_view(const Cabinet& cabinet, const View& view, const Placing& placing)
{
    std::string svg;
    for (const Board& board : cabinet.boards) {
        if (board.kind != Board::Kind::Wall || board.frame.n.dot(view.reader) < 0.5) continue;
        for (const Opening& opening : board.openings) {
            if (const auto flange = flange_of(opening))
                svg +=
                    path(lifted(opening_outline(*flange, n_arc), board, board.thickness() / 2, view), placing, "seen");
            for (const Vector2d& screw : screw_places(opening)) {
                Opening pilot = opening;
                pilot.shape = OpeningPlan::Shape::Circle;
                pilot.width = pilot.height = opening.insert.body.screws->pilot;
                pilot.centre = screw;
                svg += path(lifted(opening_outline(pilot, 24), board, board.thickness() / 2, view), placing, "seen");
            }
        }
    }
    for (const std::vector<Vector3d>& body : bodies_inside(cabinet)) {
        Polygon seen;
        for (const Vector3d& p : body) seen.push_back(view.project(p));
        svg += path(convex_hull(std::move(seen)), placing, "body");
    }
    return svg;
}

std::string view_drawing(const Cabinet& cabinet, const View& view, const Placing& placing)
{
    std::string svg = fmt::format("<g id=\"{}\">\n", view.title);
    for (const Board& board : cabinet.boards) svg += board_in_view(board, view, placing);
    svg += layers_in_view(cabinet, view, placing) + feet_in_view(cabinet, view, placing) +
           drivers_in_view(cabinet, view, placing);
    const Vector2d size = placing.extent.size() * placing.scale;
    const Vector2d low = placing.corner;
    svg += dimension(low + Vector2d(0, 7), low + Vector2d(size.x(), 7), placing.extent.size().x());
    svg += dimension(low + Vector2d(-5, 0), low + Vector2d(-5, -size.y()), placing.extent.size().y());
    svg += label(low + Vector2d(size.x() / 2, 13), view.title);
    return svg + "</g>\n";
}

/// What the overall sizes are taken from: boards as sawn, but no higher than the cabinet, because the square
/// ends of a leaning front are trimmed flush after gluing.
Extent extent_in(const CabinetReport& report, const View& view)
{
    Extent extent;
    for (const Board& board : report.cabinet.boards)
        for (const double height : {-board.thickness() / 2, board.thickness() / 2})
            for (Vector3d p : lifted_corners(board, height)) {
                p.z() = std::clamp(p.z(), 0.0, report.outer_size.z());
                extent.include(view.project(p));
            }
    return extent;
}

/// The smallest reduction at which width and height of all views fit on an A3 sheet.
int reduction_for(const Vector2d& needed_m)
{
    constexpr double room_width_mm = 420 - 70, room_height_mm = 297 - 80;
    const std::array<int, 7> reductions{1, 2, 5, 10, 20, 50, 100};
    for (const int n : reductions)
        if (needed_m.x() / units::mm / n <= room_width_mm && needed_m.y() / units::mm / n <= room_height_mm) return n;
    return reductions.back();
}

constexpr const char* style_sheet =
    "<style>path,line{fill:none;stroke:#222;stroke-width:.25}"
    ".seen{stroke-width:.5}.hidden{stroke-dasharray:2 1.2;stroke:#555}.wall{fill:#e4ddd0}"
    ".brace{fill:#e4ddd0;fill-opacity:.6;stroke-dasharray:2 1.2}"
    ".body{stroke-width:.15;stroke:#746}.layer{stroke-dasharray:.5 .9;stroke:#246}.foot{fill:#222}"
    ".size{marker-start:url(#tip);marker-end:url(#tip);stroke-width:.18}"
    "text{font:3.5px sans-serif;text-anchor:middle;fill:#111}.small{font-size:2.6px}.title{text-anchor:start}</style>\n"
    "<defs><marker id=\"tip\" viewBox=\"-6 -2 6 4\" refX=\"0\" markerWidth=\"14\" markerHeight=\"9\" "
    "orient=\"auto-start-reverse\"><path d=\"M-6 -1.2L0 0L-6 1.2Z\" "
    "style=\"fill:#222;stroke:none\"/></marker></defs>\n";

} // namespace

std::string cabinet_svg(const CabinetReport& report)
{
    constexpr double margin = 20, gap = 25; // [mm] of paper
    std::array<Placing, 3> placings;
    for (std::size_t i = 0; i < views.size(); ++i) placings[i].extent = extent_in(report, views[i]);
    auto& [front, side, top] = placings;

    const Vector2d needed(front.extent.size().x() + side.extent.size().x(),
                          front.extent.size().y() + top.extent.size().y());
    const int reduction = reduction_for(needed);
    for (Placing& placing : placings) placing.scale = 1 / (units::mm * reduction);
    const Vector2d drawn = needed / (units::mm * reduction);
    constexpr double legend = 125; // [mm] the longest line of it, at three quarters of its letters' height a letter
    const double width = std::max(drawn.x() + 2 * margin + gap, legend), height = drawn.y() + 2 * margin + gap + 20;
    front.corner = {margin, height - margin};
    side.corner = {margin + front.extent.size().x() * front.scale + gap, height - margin};
    top.corner = {margin, height - margin - front.extent.size().y() * front.scale - gap};

    std::string svg = fmt::format("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0:.1f}mm\" height=\"{1:.1f}mm\" "
                                  "viewBox=\"0 0 {0:.1f} {1:.1f}\">\n"
                                  "<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n",
                                  width, height);
    svg += style_sheet;
    for (std::size_t i = 0; i < views.size(); ++i) svg += view_drawing(report.cabinet, views[i], placings[i]);
    svg += label({margin - 10, 10}, fmt::format("{}, scale 1:{}, sizes in mm", report.cabinet.name, reduction),
                 "class=\"title\"");
    svg += label({margin - 10, 15}, "shaded: boards seen edge-on; dashed: braces and hidden edges;",
                 "class=\"title small\"");
    svg += label({margin - 10, 19}, "dotted: damping layers; dots: feet; fine: drivers' bodies and tubes",
                 "class=\"title small\"");
    return svg + "</svg>\n";
}

} // namespace stillwall::app
