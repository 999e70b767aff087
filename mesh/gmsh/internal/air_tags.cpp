#include "mesh/gmsh/internal/air_tags.h"

#include "mesh/cabinet/build_solids.h"
#include "mesh/cabinet/opening.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace stillwall::mesh {
namespace {

using Face = AirMesh::Face;

constexpr double in_plane = 1e-6; ///< [m] a point this near to a plane lies in it
constexpr double parallel = 1e-6; ///< 1 − |cosine| up to which a face lies along a plane
constexpr double step_behind =
    5e-5; ///< [m] from the face into the solid; well below any thickness, well above a curved side's error

bool is_along(const Vector3d& a, const Vector3d& b)
{
    return 1 - std::abs(a.dot(b)) < parallel;
}

bool is_on(const Polygon& polygon, const Vector2d& q)
{
    return contains(polygon, q) || distance_to_boundary(polygon, q) < in_plane;
}

Face body_face(const AirBody& body)
{
    Face face;
    face.on = Face::On::Body;
    face.board = body.board;
    face.opening = body.opening;
    return face;
}

} // namespace

AirTagger::AirTagger(const Cabinet& cabinet, std::vector<AirBrace> braces, std::vector<AirBody> bodies,
                     std::vector<AirLayer> layers)
    : cabinet_(cabinet), braces_(std::move(braces)), bodies_(std::move(bodies)), layers_(std::move(layers))
{
    inner_ = make_hull(cabinet.boards, Hull::Surface::Inner);
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b)
        if (cabinet.boards[b].kind == Board::Kind::Wall)
            wall_faces_.push_back(bonding_face(cabinet, inner_, static_cast<int>(b), -1));
}

bool AirTagger::is_inside(const Vector3d& p) const
{
    return contains(inner_, p);
}

std::optional<Face> AirTagger::solid_at(const Vector3d& p) const
{
    if (std::optional<Face> brace = brace_edge_at(p)) return brace;
    for (const AirBody& body : bodies_)
        if (is_in(body, cabinet_.board(body.board), p)) return body_face(body);
    if (std::optional<Face> layer = layer_edge_at(p)) return layer;
    return bar_at(p);
}

std::optional<Face> AirTagger::at(const Vector3d& p, const Vector3d& n) const
{
    // Faces before edges: where slabs overlap, an edge may lie hidden in another board's wood.
    std::optional<Face> face = wall_at(p, n);
    if (!face) face = brace_face_at(p, n);
    if (!face) face = layer_face_at(p, n);
    if (!face) face = body_at(p, n);
    if (!face) face = bar_at(p + step_behind * n);
    if (!face) face = layer_edge_at(p + step_behind * n);
    if (!face) face = brace_edge_at(p + step_behind * n);
    return face;
}

Face AirTagger::on_face(int board, int side, const Vector3d& p) const
{
    Face face;
    face.board = board;
    face.side = side;
    const Board& b = cabinet_.board(board);
    const Vector2d q = b.frame.to_board(p);
    for (std::size_t o = 0; o < b.openings.size(); ++o) {
        const Opening& opening = b.openings[o];
        const bool is_hole = b.kind == Board::Kind::Wall || !is_open(opening);
        if (!is_hole || land_to_segment(opening, q, q) > 0) continue;
        face.opening = static_cast<int>(o);
        face.on = opening.insert.kind == InsertPlan::Kind::Port ? Face::On::Mouth : Face::On::Hole;
    }
    return face;
}

std::optional<Face> AirTagger::wall_at(const Vector3d& p, const Vector3d& n) const
{
    for (std::size_t w = 0; w < wall_faces_.size(); ++w) {
        const Board& board = cabinet_.boards[w];
        if (n.dot(board.frame.n) < 0 || !is_along(n, board.frame.n) || std::abs(depth_behind(board, p)) > in_plane)
            continue;
        if (is_on(wall_faces_[w], board.frame.to_board(p))) return on_face(static_cast<int>(w), -1, p);
    }
    return std::nullopt;
}

std::optional<Face> AirTagger::brace_face_at(const Vector3d& p, const Vector3d& n) const
{
    for (const AirBrace& brace : braces_) {
        const Board& board = cabinet_.board(brace.board);
        const int side = n.dot(board.frame.n) < 0 ? 1 : -1;
        const double s = board.frame.height_of(p);
        if (!is_along(n, board.frame.n) || std::abs(s - side * board.thickness() / 2) > in_plane) continue;
        if (is_in(brace, board, p + step_behind * n)) return on_face(brace.board, side, p);
    }
    return std::nullopt;
}

std::optional<Face> AirTagger::layer_face_at(const Vector3d& p, const Vector3d& n) const
{
    for (const AirLayer& layer : layers_) {
        const Board& board = cabinet_.board(layer.board);
        const int side = cabinet_.layers[static_cast<std::size_t>(layer.layer)].side < 0 ? -1 : 1;
        if (side * n.dot(board.frame.n) > 0 || !is_along(n, board.frame.n)) continue;
        if (std::abs(side * board.frame.height_of(p) - layer.high) > in_plane) continue;
        const Vector3d behind = p + step_behind * n;
        if (!is_in(layer, cabinet_, behind) && !is_lifted(layer, behind)) continue;
        Face face = on_face(layer.board, side, p);
        if (face.on != Face::On::Board) return face; // a hole, lifted to the layer's face
        face.on = Face::On::Layer;
        face.item = layer.layer;
        return face;
    }
    return std::nullopt;
}

bool AirTagger::is_lifted(const AirLayer& layer, const Vector3d& p) const
{
    const Board& board = cabinet_.board(layer.board);
    const double depth = depth_behind(board, p);
    if (board.kind != Board::Kind::Wall || depth < 0 || depth > layer.high - board.thickness() / 2) return false;
    const Vector2d q = board.frame.to_board(p);
    for (std::size_t o = 0; o < board.openings.size(); ++o) {
        const auto is_covered = [&](const AirBody& body) {
            return body.board == layer.board && body.opening == static_cast<int>(o);
        };
        if (contains(layer.region, board.openings[o].centre) && land_to_segment(board.openings[o], q, q) <= 0 &&
            std::none_of(bodies_.begin(), bodies_.end(), is_covered))
            return true;
    }
    return false;
}

std::optional<Face> AirTagger::layer_edge_at(const Vector3d& behind) const
{
    for (const AirLayer& layer : layers_) {
        if (!is_in(layer, cabinet_, behind) && !is_lifted(layer, behind)) continue;
        Face face;
        face.on = Face::On::Layer;
        face.board = layer.board;
        face.item = layer.layer;
        return face;
    }
    return std::nullopt;
}

std::optional<Face> AirTagger::body_at(const Vector3d& p, const Vector3d& n) const
{
    for (const AirBody& body : bodies_) {
        const Board& board = cabinet_.board(body.board);
        if (!is_in(body, board, p + step_behind * n)) continue;
        const bool is_end_face = is_along(n, board.frame.n) && std::abs(depth_behind(board, p) - body.depth) < in_plane;
        const Opening& opening = board.openings[static_cast<std::size_t>(body.opening)];
        Face face = body_face(body);
        if (is_end_face && opening.insert.kind == InsertPlan::Kind::Port) face.on = Face::On::Mouth;
        return face;
    }
    return std::nullopt;
}

std::optional<Face> AirTagger::bar_at(const Vector3d& behind) const
{
    Face face;
    for (std::size_t r = 0; r < cabinet_.rods.size(); ++r) {
        const Rod& rod = cabinet_.rods[r];
        const Vector3d axis = rod.to - rod.from, along = axis.normalized(), from = behind - rod.from;
        const double t = along.dot(from);
        if (t < 0 || t > axis.norm()) continue;
        const auto [height, width] = section_axes(rod);
        const bool is_in_section =
            rod.diameter ? (from - t * along).norm() < *rod.diameter / 2
                         : std::abs(from.dot(height)) < rod.height / 2 && std::abs(from.dot(width)) < rod.width / 2;
        if (!is_in_section) continue;
        face.on = Face::On::Rod;
        face.item = static_cast<int>(r);
        return face;
    }
    for (std::size_t r = 0; r < cabinet_.ribs.size(); ++r) {
        const Rib& rib = cabinet_.ribs[r];
        const Frame& frame = cabinet_.board(rib.board).frame;
        const double s = rib.side * frame.height_of(behind);
        if (s < 0 || s > cabinet_.board(rib.board).thickness() / 2 + rib.height) continue;
        const Vector2d q = frame.to_board(behind) - rib.from, along = (rib.to - rib.from).normalized();
        const double t = q.dot(along);
        if (t < 0 || t > (rib.to - rib.from).norm() || (q - t * along).norm() > rib.width / 2) continue;
        face.on = Face::On::Rib;
        face.board = rib.board;
        face.item = static_cast<int>(r);
        return face;
    }
    return std::nullopt;
}

std::optional<Face> AirTagger::brace_edge_at(const Vector3d& behind) const
{
    for (const AirBrace& brace : braces_) {
        const Board& board = cabinet_.board(brace.board);
        if (!is_in(brace, board, behind)) continue;
        Face face;
        face.board = brace.board;
        const Vector2d q = board.frame.to_board(behind);
        double nearest = 2 * step_behind;
        for (std::size_t o = 0; o < board.openings.size(); ++o) {
            const double land = land_to_segment(board.openings[o], q, q);
            if (!is_open(board.openings[o]) || land > nearest) continue;
            nearest = land;
            face.opening = static_cast<int>(o);
        }
        return face;
    }
    return std::nullopt;
}

} // namespace stillwall::mesh
