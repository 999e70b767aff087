#include "mesh/gmsh/internal/air_sizes.h"

#include "mesh/cabinet/opening.h"

#include <Eigen/Geometry>

#include <gmsh.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <string>

namespace stillwall::mesh {
namespace {

constexpr double half_turn_and_some = 0.53; ///< share of a full turn; shallower edges hardly matter
constexpr double per_window = 14;           ///< elements across a window, at its edge
constexpr double per_mouth = 6;             ///< elements across a port, at the edge of its inner end
constexpr double least_at_mouth = 1.0 / 12; ///< of the element size: long slots would take too many
constexpr double on_outline = 1e-6;         ///< [m] a point this near to a hole's edge lies on it
constexpr double growth = 0.7;              ///< of the size per length away from the edge
constexpr double probe_radius = 5e-5;       ///< [m] of the circle on which the air is looked for

/// Size at an edge that stands out into the air; nothing at others.
std::optional<double> size_at_edge(const AirTagger& tagger, double element_size, const Vector3d& p,
                                   const Vector3d& along)
{
    const Vector3d u = along.unitOrthogonal(), v = along.cross(u);
    constexpr int n_points = 72;
    int n_air = 0;
    double size = element_size / 6;
    for (int k = 0; k < n_points; ++k) {
        const double angle = 2 * std::numbers::pi * (k + 0.37) / n_points;
        const Vector3d probe = p + probe_radius * (std::cos(angle) * u + std::sin(angle) * v);
        if (!tagger.is_inside(probe)) continue;
        const std::optional<AirMesh::Face> solid = tagger.solid_at(probe);
        if (!solid) {
            ++n_air;
            continue;
        }
        const bool is_brace = solid->on == AirMesh::Face::On::Board;
        if (is_brace && solid->opening >= 0) {
            const Opening& window =
                tagger.cabinet().board(solid->board).openings[static_cast<std::size_t>(solid->opening)];
            size = std::min({size, window.width / per_window, window.height / per_window});
        } else
            size = is_brace ? std::min(size, element_size / 10) : element_size / 2;
    }
    if (n_air < half_turn_and_some * n_points) return std::nullopt;
    return size;
}

/// Whether the opening is a port or a bare hole in a wall, whose mass of air counts.
bool is_port(const Board& board, const Opening& opening)
{
    return opening.insert.kind == InsertPlan::Kind::Port || (is_open(opening) && board.kind == Board::Kind::Wall);
}

/// Size at the edge of a port's inner end, flush or at the end of its body; nothing elsewhere.
std::optional<double> size_at_mouth(const AirTagger& tagger, double element_size, const Vector3d& p,
                                    const Vector3d& along)
{
    for (const Board& board : tagger.cabinet().boards) {
        if (std::abs(along.dot(board.frame.n)) > 0.1 || depth_behind(board, p) < -on_outline) continue;
        const Vector2d q = board.frame.to_board(p);
        for (const Opening& opening : board.openings) {
            // A wide and flat body's end reaches beyond the hole; its own edge rules there.
            if (!is_port(board, opening) || std::abs(land_to_segment(opening, q, q)) > on_outline) continue;
            const double across =
                opening.shape == OpeningPlan::Shape::Circle ? opening.width : std::min(opening.width, opening.height);
            return std::clamp(across / per_mouth, least_at_mouth * element_size, element_size);
        }
    }
    return std::nullopt;
}

Vector3d value(int curve, double t)
{
    std::vector<double> x;
    gmsh::model::getValue(1, curve, {t}, x);
    return {x[0], x[1], x[2]};
}

} // namespace

std::vector<AirEdge> reentrant_edges(const AirTagger& tagger, double element_size)
{
    std::vector<AirEdge> edges;
    gmsh::vectorpair curves;
    gmsh::model::getEntities(curves, 1);
    for (const auto& entity : curves) {
        const int curve = entity.second;
        std::vector<double> low, high, d;
        gmsh::model::getParametrizationBounds(1, curve, low, high);
        if (low.empty() || high.empty()) continue; // a point without length
        const double middle = 0.5 * (low[0] + high[0]);
        gmsh::model::getDerivative(1, curve, {middle}, d);
        const Vector3d along(d[0], d[1], d[2]);
        if (along.norm() < 1e-12) continue;
        const Vector3d at = value(curve, middle), direction = along.normalized();
        auto size = size_at_edge(tagger, element_size, at, direction);
        if (const auto mouth = size_at_mouth(tagger, element_size, at, direction))
            size = size ? std::min(*size, *mouth) : mouth;
        if (!size) continue;
        std::string kind;
        gmsh::model::getType(1, curve, kind);
        const int n = kind == "Line" ? 1 : 8;
        AirEdge edge;
        edge.size = *size;
        for (int k = 0; k < n; ++k)
            edge.pieces.push_back({value(curve, low[0] + (high[0] - low[0]) * k / n),
                                   value(curve, low[0] + (high[0] - low[0]) * (k + 1) / n)});
        edges.push_back(std::move(edge));
    }
    return edges;
}

AirSizes::AirSizes(const std::vector<AirEdge>& edges, double element_size) : element_size_(element_size)
{
    for (const AirEdge& edge : edges)
        for (const auto& [from, to] : edge.pieces) pieces_.push_back({from, to - from, edge.size});
}

double AirSizes::at(const Vector3d& p) const
{
    double size = element_size_;
    for (const Piece& piece : pieces_) {
        const double length = piece.way.squaredNorm();
        const double t = length > 0 ? std::clamp((p - piece.from).dot(piece.way) / length, 0.0, 1.0) : 0;
        size = std::min(size, piece.size + growth * (p - piece.from - t * piece.way).norm());
    }
    return size;
}

} // namespace stillwall::mesh
