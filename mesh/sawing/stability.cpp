#include "mesh/sawing/stability.h"

#include "mesh/cabinet/build.h"
#include "mesh/cabinet/opening.h"
#include "mesh/cabinet/polygon_notch.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall {
namespace {

/// Area and first moment of a polygon.
struct Moment
{
    double area = 0;
    Vector2d sum = Vector2d::Zero();
};

Moment moment_of(const Polygon& polygon)
{
    Moment m;
    for (std::size_t i = 0; i < polygon.size(); ++i) {
        const Vector2d &a = polygon[i], &b = polygon[(i + 1) % polygon.size()];
        const double twice = a.x() * b.y() - a.y() * b.x();
        m.area += twice / 2;
        m.sum += twice / 6 * (a + b);
    }
    return m;
}

Vector2d centre_of(const Board& board)
{
    Moment m = moment_of(board.sawn);
    for (const Opening& opening : board.openings) {
        m.area -= opening_area(opening);
        m.sum -= opening_area(opening) * opening.centre;
    }
    return m.sum / m.area;
}

class WeightSum
{
public:
    void add(double mass, const Vector3d& at)
    {
        mass_ += mass;
        moment_ += mass * at;
    }
    [[nodiscard]] double mass() const { return mass_; }
    [[nodiscard]] Vector3d centre() const { return mass_ > 0 ? Vector3d(moment_ / mass_) : Vector3d::Zero(); }

private:
    double mass_ = 0;
    Vector3d moment_ = Vector3d::Zero();
};

WeightSum weigh(const Cabinet& cabinet, const Bookkeeping& books)
{
    WeightSum sum;
    std::size_t part = 0;
    for (const Board& board : cabinet.boards) {
        sum.add(books.parts[part++].mass, board.frame.to_space(centre_of(board)));
        // `offset` lies behind the mid-plane, inwards.
        for (const Opening& o : board.openings)
            sum.add(o.insert.mass, board.frame.to_space(o.centre) - o.insert.offset * board.frame.n);
    }
    for (const Rod& rod : cabinet.rods) sum.add(books.parts[part++].mass, (rod.from + rod.to) / 2);
    for (const Rib& rib : cabinet.ribs) {
        const Board& board = cabinet.board(rib.board);
        sum.add(books.parts[part++].mass, board.frame.to_space((rib.from + rib.to) / 2) +
                                              rib.side * (board.thickness() + rib.height) / 2 * board.frame.n);
    }
    for (const PointMass& mass : cabinet.masses) sum.add(mass.mass, cabinet.board(mass.board).frame.to_space(mass.at));
    for (const FaceLayer& layer : cabinet.layers) {
        const Board& board = cabinet.board(layer.board);
        const Moment m = moment_of(layer.region);
        sum.add(books.parts[part++].mass,
                board.frame.to_space(m.sum / m.area) +
                    layer.side * (board.thickness() + layer.layup.thickness()) / 2 * board.frame.n);
    }
    return sum;
}

/// A corner below the ground (z = 0), as the square end of a leaning wall has one, is planed off: back up along the
/// board.
Vector3d trimmed(const Board& board, const Vector3d& corner)
{
    const Vector3d up = Vector3d::UnitZ() - board.frame.n.z() * board.frame.n;
    return corner.z() >= 0 || up.z() < 1e-6 ? corner : Vector3d(corner - corner.z() / up.z() * up);
}

/// Points on the ground: feet of the bottom, or the lowest corners of the walls and the bottom.
std::vector<Vector3d> ground_points(const Cabinet& cabinet, bool& on_feet)
{
    std::vector<Vector3d> points;
    for (const Support& support : cabinet.supports) {
        const Board& board = cabinet.board(support.board);
        if (support.is_clamped_edge || board.frame.n.z() > -0.9) continue;
        for (const Vector2d& p : support.points)
            points.push_back(board.frame.to_space(p) + board.thickness() / 2 * board.frame.n);
    }
    on_feet = points.size() >= 3;
    if (on_feet) return points;
    points.clear();
    for (const Board& board : cabinet.boards) {
        if (board.kind != Board::Kind::Wall) continue;
        for (const double side : {-0.5, 0.5})
            for (const Vector2d& p : board.sawn)
                points.push_back(trimmed(board, board.frame.to_space(p) + side * board.thickness() * board.frame.n));
    }
    std::erase_if(points, [](const Vector3d& p) { return p.z() > 1e-4; });
    return points;
}

std::string direction_word(const Vector2d& outwards)
{
    if (std::abs(outwards.y()) >= std::abs(outwards.x())) return outwards.y() < 0 ? "front" : "back";
    return outwards.x() < 0 ? "left" : "right";
}

} // namespace

Stability stability_of(const Cabinet& cabinet)
{
    if (cabinet.facets) return stability_of(cabinet.facets->flat); // a bent board's weight lies off its middle
    const WeightSum sum = weigh(cabinet, bookkeeping(cabinet));
    Stability stability;
    stability.centre = sum.centre();
    stability.mass = sum.mass();
    const std::vector<Vector3d> ground = ground_points(cabinet, stability.on_feet);
    Polygon flat;
    for (const Vector3d& p : ground) flat.push_back(p.head<2>());
    const Polygon hull = convex_hull(std::move(flat));
    if (hull.size() < 3) return stability;
    stability.height = stability.centre.z() - ground.front().z();
    stability.tipping_angle = std::numbers::pi / 2;
    for (std::size_t i = 0; i < hull.size(); ++i) {
        const Vector2d& a = hull[i];
        const Vector2d along = (hull[(i + 1) % hull.size()] - a).normalized(), outwards(along.y(), -along.x());
        const double d = (a - stability.centre.head<2>()).dot(outwards);
        const double angle = d <= 0 ? 0 : std::atan2(d, stability.height);
        if (angle < stability.tipping_angle) {
            stability.tipping_angle = angle;
            stability.towards = direction_word(outwards);
        }
    }
    return stability;
}

} // namespace stillwall
