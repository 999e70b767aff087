#include "mesh/gmsh/internal/air_shapes.h"

#include "mesh/cabinet/build_solids.h"
#include "mesh/cabinet/opening.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>

namespace stillwall::mesh {
namespace {

double cross2(const Vector2d& a, const Vector2d& b)
{
    return a.x() * b.y() - a.y() * b.x();
}

/// How far side i of a brace is moved outwards [m], and the plane that ends it where a square edge will not do.
struct SideEnd
{
    double move = 0;
    std::vector<Plane> cut;
};

SideEnd end_of(const Cabinet& cabinet, int brace, std::size_t i)
{
    const Board& own = cabinet.board(brace);
    const std::optional<int> other_index = own.edge_on[i];
    if (!other_index) return {};
    const Board& other = cabinet.board(*other_index);
    const double cosine = std::abs(own.frame.n.dot(other.frame.n)), sine = std::sqrt(1 - cosine * cosine);
    // Over the own thickness the side must pass the other board's near face; it starts from its mid-plane.
    const double needed = (own.thickness() * cosine - other.thickness()) / 2 / sine;
    const double margin = other.thickness() / 4;
    if (other.kind == Board::Kind::Wall) return {std::max(0.0, needed + margin), {}};
    const bool runs_to_far_face = covers(cabinet, brace, *other_index);
    if (cosine < 1e-9) return {runs_to_far_face ? other.thickness() / 2 : 0.0, {}};
    if (!runs_to_far_face && needed < -margin) return {};
    const Vector3d inside = own.frame.to_space(interior_point(own.outline));
    const double side = other.frame.height_of(inside) > 0 ? 1 : -1;
    const Plane end = plane_of(other, runs_to_far_face ? -side * other.thickness() / 2 : 0);
    const double far = (own.thickness() * cosine + other.thickness()) / 2 / sine;
    return {far + margin, {{-side * end.n, -side * end.d}}};
}

/// The outline with side i moved outwards by move[i].
Polygon moved_out(const Polygon& outline, const std::vector<double>& move)
{
    Polygon region;
    const std::size_t n = outline.size();
    for (std::size_t i = 0; i < n; ++i) {
        const std::size_t before = (i + n - 1) % n;
        const Vector2d u = (outline[i] - outline[before]).normalized(),
                       v = (outline[(i + 1) % n] - outline[i]).normalized();
        const Vector2d a = outline[i] + move[before] * Vector2d(u.y(), -u.x());
        const Vector2d b = outline[i] + move[i] * Vector2d(v.y(), -v.x());
        if (std::abs(cross2(u, v)) > 0.05)
            region.push_back(a + cross2(b - a, v) / cross2(u, v) * u);
        else { // nearly in one line: a step
            region.push_back(a);
            if ((b - a).norm() > 1e-9) region.push_back(b);
        }
    }
    return region;
}

} // namespace

std::vector<AirBrace> air_braces(const Cabinet& cabinet)
{
    std::vector<AirBrace> braces;
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
        const Board& board = cabinet.boards[b];
        if (board.kind != Board::Kind::Brace) continue;
        AirBrace brace;
        brace.board = static_cast<int>(b);
        std::vector<double> move;
        for (std::size_t i = 0; i < board.outline.size(); ++i) {
            const SideEnd end = end_of(cabinet, brace.board, i);
            move.push_back(end.move);
            brace.cuts.insert(brace.cuts.end(), end.cut.begin(), end.cut.end());
        }
        brace.region = moved_out(board.outline, move);
        braces.push_back(std::move(brace));
    }
    return braces;
}

std::vector<AirLayer> air_layers(const Cabinet& cabinet)
{
    constexpr double deepest = 4e-3; // [m] into a neighbour; closes the wedge beside one that leans
    const Hull inner = make_hull(cabinet.boards, Hull::Surface::Inner);
    std::vector<AirLayer> layers;
    for (std::size_t k = 0; k < cabinet.layers.size(); ++k) {
        const FaceLayer& item = cabinet.layers[k];
        const Board& board = cabinet.board(item.board);
        if (board.kind == Board::Kind::Wall && item.side > 0) continue; // outside
        AirLayer layer;
        layer.layer = static_cast<int>(k);
        layer.board = item.board;
        layer.low = board.thickness() / 2;
        layer.high = layer.low + item.layup.thickness();
        const Polygon face = bonding_face(cabinet, inner, item.board, item.side);
        std::vector<double> move;
        for (std::size_t i = 0; i < item.region.size(); ++i) {
            const Vector2d middle = 0.5 * (item.region[i] + item.region[(i + 1) % item.region.size()]);
            const bool is_at_neighbour = distance_to_boundary(face, middle) < 1e-6;
            move.push_back(is_at_neighbour ? std::min(item.layup.thickness(), deepest) : 0);
        }
        layer.region = moved_out(item.region, move);
        layers.push_back(std::move(layer));
    }
    return layers;
}

bool is_in(const AirLayer& layer, const Cabinet& cabinet, const Vector3d& p)
{
    const Board& board = cabinet.board(layer.board);
    const double s = cabinet.layers[static_cast<std::size_t>(layer.layer)].side * board.frame.height_of(p);
    if (s < layer.low || s > layer.high) return false;
    const Vector2d q = board.frame.to_board(p);
    return contains(layer.region, q) && !is_in_window(board, q);
}

bool is_in(const AirBrace& brace, const Board& board, const Vector3d& p)
{
    if (std::abs(board.frame.height_of(p)) > board.thickness() / 2) return false;
    for (const Plane& cut : brace.cuts)
        if (cut.height_of(p) > 0) return false;
    const Vector2d q = board.frame.to_board(p);
    if (!contains(brace.region, q)) return false;
    return !is_in_window(board, q);
}

Opening scaled(const Opening& opening, double factor)
{
    Opening result = opening;
    result.width *= factor;
    result.height *= factor;
    result.corner_radius *= factor;
    return result;
}

double depth_behind(const Board& board, const Vector3d& p)
{
    return -board.frame.height_of(p) - board.thickness() / 2;
}

bool is_in(const AirBody& body, const Board& board, const Vector3d& p)
{
    const double z = depth_behind(board, p);
    if (z > body.depth || z < -board.thickness() / 2) return false;
    const double scale = body.scale_base + (body.scale_end - body.scale_base) * z / body.depth;
    const Opening section = scaled(board.openings[static_cast<std::size_t>(body.opening)], scale);
    const Vector2d q = board.frame.to_board(p);
    return land_to_segment(section, q, q) <= 0;
}

std::array<Vector3d, 2> section_axes(const Rod& rod)
{
    const Vector3d along = (rod.to - rod.from).normalized();
    const Vector3d up = std::abs(along.z()) < 0.9 ? Vector3d::UnitZ() : Vector3d::UnitX();
    const Vector3d height = (up - up.dot(along) * along).normalized();
    return {height, height.cross(along)};
}

} // namespace stillwall::mesh
