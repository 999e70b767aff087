#pragma once
// The cabinet as vertices, edges and faces: every face lies on one board, edges and vertices are shared by all
// boards that meet there.

#include "mesh/gmsh/internal/layout.h"

#include <map>
#include <optional>
#include <tuple>

namespace stillwall::mesh {

/// The circle an edge follows, on one board.
struct Arc
{
    int board = 0;
    Vector2d centre = Vector2d::Zero();
};

struct Edge
{
    /// Of an opening of a board; runs anticlockwise about it.
    struct Rim
    {
        int board = 0, opening = 0;
    };
    int v[2] = {-1, -1};        ///< an arc runs anticlockwise about its board's n from v[0] to v[1]
    std::optional<int> arc;     ///< index into Drawing::arcs; nothing: straight
    std::optional<Rim> rim;     ///< whose rim it is
    std::optional<int> rib;     ///< rib glued along the edge
    std::vector<int> junctions; ///< junctions whose line the edge lies on
};

/// An edge walked in one direction: 2·edge forwards, 2·edge + 1 backwards.
using HalfEdge = int;

struct Face
{
    int board = 0;
    /// The face lies on the left of every half edge; the first loop is the outer one.
    std::vector<std::vector<HalfEdge>> loops;
    std::vector<int> strips; ///< junctions in whose strip it lies
    bool is_void = false;    ///< an opening, or the shelf's strip in front of one
};

struct Drawing
{
    std::vector<Vector3d> vertices;
    std::vector<Arc> arcs;
    std::vector<Edge> edges;
    std::vector<std::vector<int>> board_edges; ///< [board]
    std::vector<Face> faces;
    std::vector<Frame> frames; ///< of the boards

    [[nodiscard]] int start(HalfEdge h) const { return edges[h / 2].v[h % 2]; }
    [[nodiscard]] int end(HalfEdge h) const { return edges[h / 2].v[1 - h % 2]; }
    [[nodiscard]] Vector2d at(int board, int vertex) const { return frames[board].to_board(vertices[vertex]); }
    /// Point of an edge at a fraction of its length from v[0].
    [[nodiscard]] Vector3d along(int edge, double t) const;
    /// The same for a half edge, in a board's frame.
    [[nodiscard]] Vector2d along(int board, HalfEdge h, double t) const
    {
        return frames[board].to_board(along(h / 2, h % 2 == 0 ? t : 1 - t));
    }
    [[nodiscard]] double length(int edge) const;
    /// Direction of a half edge at its start (t = 0) or end (t = 1).
    [[nodiscard]] Vector2d direction(int board, HalfEdge h, double t) const;
    /// Signed area inside a loop, positive when it runs anticlockwise.
    [[nodiscard]] double loop_area(int board, const std::vector<HalfEdge>& loop) const;
    [[nodiscard]] double face_area(const Face& face) const;
    /// A point just inside the face.
    [[nodiscard]] Vector2d inner_point(const Face& face) const;

    /// Puts a vertex into an edge; all faces follow. Returns the new edge, from the vertex to the old v[1].
    int split_edge(int edge, int vertex);
    /// Adds an edge between two vertices of a board, or returns the one that is there.
    int add_edge(int board, int v0, int v1, std::optional<int> arc = {});

    std::map<std::tuple<int, int, std::optional<int>>, int> edge_index; ///< (smaller vertex, larger vertex, arc) → edge
};

/// Vertices and edges: crossings found, near-coincident points merged, no faces yet.
[[nodiscard]] Drawing draw_edges(const Cabinet& cabinet, const Layout& layout, const Sizes& sizes);

/// Puts a vertex where two edges of a board cross without one, as happens when points are moved onto others: without it
/// what is traced are no faces.
void cut_crossings(Drawing& drawing, int board);

/// Takes out or extends what ends in mid-board, and bridges narrow necks of wood beside re-entrant corners.
void tidy_edges(Drawing& drawing, const Board& board, int index, const Sizes& sizes);

/// Tidies the edges, then finds the faces and which of them are voids.
void trace_faces(Drawing& drawing, const Cabinet& cabinet, const Layout& layout, const Sizes& sizes);

/// Cuts strip faces across until each has four edges, so that every strip is one row of elements.
void square_strips(Drawing& drawing, const Sizes& sizes);

} // namespace stillwall::mesh
