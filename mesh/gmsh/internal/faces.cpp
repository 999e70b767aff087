#include "mesh/gmsh/internal/drawing.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace stillwall::mesh {

namespace {

/// All loops of a board's edges with the face on their left.
std::vector<std::vector<HalfEdge>> loops_of(const Drawing& drawing, int board)
{
    std::map<int, std::vector<std::pair<double, HalfEdge>>> leaving; // vertex → (direction, half edge), sorted
    for (const int e : drawing.board_edges[board])
        for (const int side : {0, 1}) {
            const HalfEdge h = 2 * e + side;
            const Vector2d d = drawing.along(board, h, 0.02) - drawing.along(board, h, 0);
            leaving[drawing.start(h)].emplace_back(std::atan2(d.y(), d.x()), h);
        }
    std::map<HalfEdge, HalfEdge> next;
    for (auto& [v, list] : leaving) {
        std::sort(list.begin(), list.end());
        for (std::size_t k = 0; k < list.size(); ++k) // arriving against list[k+1], leave by the next one clockwise
            next[list[(k + 1) % list.size()].second ^ 1] = list[k].second;
    }
    std::vector<std::vector<HalfEdge>> loops;
    std::map<HalfEdge, bool> done;
    for (const auto& [first, unused] : next) {
        if (done[first]) continue;
        std::vector<HalfEdge> loop;
        for (HalfEdge h = first; !done[h]; h = next.at(h)) {
            done[h] = true;
            loop.push_back(h);
        }
        loops.push_back(std::move(loop));
    }
    return loops;
}

/// Takes out edges with the same face on both sides, such as a lone spoke to a hole: without them the hole is a loop
/// of its own. Lines of junctions and ribs stay.
void drop_cuts(Drawing& drawing, int board)
{
    for (bool is_done = false; !is_done;) {
        is_done = true;
        for (const auto& loop : loops_of(drawing, board)) {
            std::map<int, int> walked;
            for (const HalfEdge h : loop) ++walked[h / 2];
            for (const auto& [e, times] : walked) {
                const Edge& edge = drawing.edges[e];
                if (times < 2 || !edge.junctions.empty() || edge.rib) continue;
                std::erase(drawing.board_edges[board], e);
                is_done = false;
            }
        }
    }
}

std::vector<Vector2d> polygon_of(const Drawing& drawing, int board, const std::vector<HalfEdge>& loop)
{
    std::vector<Vector2d> polygon;
    for (const HalfEdge h : loop) {
        const int n = drawing.edges[h / 2].arc ? 8 : 1;
        for (int k = 0; k < n; ++k) polygon.push_back(drawing.along(board, h, static_cast<double>(k) / n));
    }
    return polygon;
}

/// Vertices joined by edges carry the same label.
std::map<int, int> components(const Drawing& drawing, int board)
{
    std::map<int, int> label;
    for (const int e : drawing.board_edges[board])
        for (const int v : drawing.edges[e].v) label[v] = v;
    const auto root = [&](int v) {
        while (label[v] != v) v = label[v] = label[label[v]];
        return v;
    };
    for (const int e : drawing.board_edges[board]) label[root(drawing.edges[e].v[0])] = root(drawing.edges[e].v[1]);
    for (auto& [v, l] : label) l = root(v);
    return label;
}

/// Faces of one board: outer loops, each with the loops of other components that lie inside it.
std::vector<Face> faces_of(const Drawing& drawing, int board)
{
    std::vector<Face> faces;
    std::vector<std::vector<Vector2d>> polygons;
    std::vector<std::vector<HalfEdge>> inner;
    for (auto& loop : loops_of(drawing, board)) {
        if (drawing.loop_area(board, loop) <= 0) {
            inner.push_back(std::move(loop));
            continue;
        }
        polygons.push_back(polygon_of(drawing, board, loop));
        Face face;
        face.board = board;
        face.loops.push_back(std::move(loop));
        faces.push_back(std::move(face));
    }
    const auto label = components(drawing, board);
    const std::size_t n = faces.size();
    for (auto& loop : inner) {
        int home = -1;
        for (std::size_t k = 0; k < n; ++k) {
            const int v = drawing.start(loop.front());
            if (label.at(v) == label.at(drawing.start(faces[k].loops.front().front()))) continue;
            if (!is_inside(polygons[k], drawing.at(board, v))) continue;
            if (home < 0 ||
                drawing.loop_area(board, faces[k].loops.front()) < drawing.loop_area(board, faces[home].loops.front()))
                home = static_cast<int>(k);
        }
        if (home >= 0) faces[home].loops.push_back(std::move(loop)); // else the outside of everything
    }
    return faces;
}

bool is_within(const std::vector<Span>& spans, double t)
{
    return std::any_of(spans.begin(), spans.end(), [t](const Span& s) { return t > s.from && t < s.to; });
}

/// Which strips a face lies in, and whether it is a void.
void classify(Face& face, const Drawing& drawing, const Cabinet& cabinet, const Layout& layout, const Sizes& sizes)
{
    for (const auto& loop : face.loops)
        for (const HalfEdge h : loop) {
            const Edge& e = drawing.edges[h / 2];
            if (e.rim && e.rim->board == face.board && h % 2 == 0) face.is_void = true; // on the left of its rim
        }
    // The middle of a strip face: strips are four-sided or cut by a rim, so the mean of the corners lies inside.
    Vector2d middle = Vector2d::Zero();
    for (const HalfEdge h : face.loops.front()) middle += drawing.along(face.board, h, 0.5);
    middle /= static_cast<double>(face.loops.front().size());
    for (int j = 0; j < static_cast<int>(cabinet.junctions.size()); ++j) {
        const Junction& junction = cabinet.junctions[j];
        if (junction.passing != face.board && junction.ending != face.board) continue;
        const BoardLine line = line_on(cabinet.boards[face.board], junction);
        const double w = strip_on(junction, face.board);
        const Vector2d d = middle - line.from;
        const double t = d.dot(line.along) / line.length;
        if (std::abs(d.dot(line.across)) > w || t * line.length < -w || (t - 1) * line.length > w) continue;
        double reach = 0; // the whole face must lie in the strip, give or take what was merged
        for (const HalfEdge h : face.loops.front())
            reach = std::max(reach, std::abs((drawing.at(face.board, drawing.start(h)) - line.from).dot(line.across)));
        if (ends_at(junction, face.board) && is_within(layout.junctions[j].open[0], t) &&
            reach < overlap_on(junction, face.board) + sizes.apart)
            face.is_void = true;
        const bool is_touched = is_within(layout.junctions[j].active, std::clamp(t, 1e-9, 1 - 1e-9));
        if (is_touched && reach < w + sizes.apart) face.strips.push_back(j);
    }
}

} // namespace

void trace_faces(Drawing& drawing, const Cabinet& cabinet, const Layout& layout, const Sizes& sizes)
{
    for (int b = 0; b < static_cast<int>(cabinet.boards.size()); ++b) {
        cut_crossings(drawing, b);
        tidy_edges(drawing, cabinet.boards[b], b, sizes);
        drop_cuts(drawing, b);
    }
    for (int b = 0; b < static_cast<int>(cabinet.boards.size()); ++b)
        for (Face& face : faces_of(drawing, b)) {
            classify(face, drawing, cabinet, layout, sizes);
            drawing.faces.push_back(std::move(face));
        }
}

} // namespace stillwall::mesh
