#pragma once
// Straight pieces and circular arcs in a board's plane, and the rims of openings made of them.

#include "mesh/cabinet/cabinet.h"

#include <numbers>
#include <optional>
#include <vector>

namespace stillwall::mesh {

inline constexpr double pi = std::numbers::pi;

/// What a curve is drawn for. The order is the rank: a vertex of a lower rank gives way.
enum class Role
{
    Outline,
    Junction,
    Rim,
    Rib,
    Notch,
    Limit,
    Cap,
    Spoke
};

/// A straight piece from a to b, or an arc that runs anticlockwise from a to b.
struct Curve
{
    Role role = Role::Outline;
    int owner = -1;   ///< outline side, junction, opening or rib
    double width = 0; ///< [m] of the strip, limits and caps only
    Vector2d a = Vector2d::Zero(), b = Vector2d::Zero();
    bool is_arc = false;
    Vector2d centre = Vector2d::Zero();
    double radius = 0, start = 0, sweep = 0; ///< sweep in (0, 2π]

    [[nodiscard]] bool is_closed() const { return is_arc && sweep > 2 * pi - 1e-9; }
    [[nodiscard]] bool is_primary() const { return role == Role::Outline || role == Role::Junction; }
    [[nodiscard]] double length() const { return is_arc ? radius * sweep : (b - a).norm(); }
    [[nodiscard]] Vector2d at(double t) const; ///< t from 0 to 1
    /// Parameter of the nearest point, in [0, 1].
    [[nodiscard]] double project(const Vector2d& p) const;
};

[[nodiscard]] Curve straight(Role role, int owner, const Vector2d& a, const Vector2d& b);

/// Common points of two curves that are not parallel; ends count as touching within `slack` [m].
[[nodiscard]] std::vector<Vector2d> crossings(const Curve& p, const Curve& q, double slack);

[[nodiscard]] inline double cross(const Vector2d& p, const Vector2d& q)
{
    return p.x() * q.y() - p.y() * q.x();
}

/// Rim of an opening, anticlockwise.
[[nodiscard]] std::vector<Curve> rim_of(const Opening& opening, int index);

/// [m] from the rim, negative inside the opening. A convex function, since every shape is convex.
[[nodiscard]] double signed_distance(const Opening& opening, const Vector2d& p);

/// Point of the rim nearest to p.
[[nodiscard]] Vector2d nearest_on_rim(const Opening& opening, const Vector2d& p);

/// The part of a line that an opening takes out, as fractions of the line.
struct Cut
{
    double from = 0, to = 1;
    bool has_spoke_from = false, has_spoke_to = false; ///< the end stands off the rim and needs a spoke to it
};

/// Cuts the line a–b at an opening. Where the line meets the rim within `max_lean` [rad] of the rim's normal it
/// runs up to the rim; where it grazes or passes within `gap` [m] it stops short and a spoke leads to the rim.
[[nodiscard]] std::optional<Cut> cut_by(const Opening& opening, const Vector2d& a, const Vector2d& b, double gap,
                                        double max_lean);

/// True when p lies inside the polygon.
[[nodiscard]] bool is_inside(const std::vector<Vector2d>& polygon, const Vector2d& p);

} // namespace stillwall::mesh
