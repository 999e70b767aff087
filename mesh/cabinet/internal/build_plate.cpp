#include "mesh/cabinet/internal/build_plate.h"

#include "mesh/cabinet/internal/build_steps.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <array>
#include <cmath>

namespace stillwall {
namespace {

Frame plate_frame(const BracePlan& plan, const std::string& key)
{
    Frame frame;
    switch (plan.plane) {
    case BracePlan::Plane::Horizontal:
        frame.origin.z() = plan.at;
        break;
    case BracePlan::Plane::FrontToBack:
        frame.origin.x() = plan.at;
        frame.n = Vector3d::UnitX();
        frame.e1 = Vector3d::UnitY();
        break;
    case BracePlan::Plane::SideToSide:
        frame.origin.y() = plan.at;
        frame.n = -Vector3d::UnitY();
        break;
    case BracePlan::Plane::Slanted: {
        if (!(plan.normal.norm() > 1e-9) || !plan.normal.allFinite())
            throw InputError(plan.where, key + ".normal", "must be a direction, got a vector without length");
        frame.origin = plan.point;
        frame.n = plan.normal.normalized();
        // Level, and pointing to the right (or to the back) so that the plate's axes do not depend on
        // the sign of the normal more than they must.
        Vector3d level = Vector3d::UnitZ().cross(frame.n);
        if (level.norm() < 1e-9) level = Vector3d::UnitX();
        level.normalize();
        if (level.x() < -1e-12 || (std::abs(level.x()) <= 1e-12 && level.y() < 0)) level = -level;
        frame.e1 = level;
        break;
    }
    }
    frame.e2 = frame.n.cross(frame.e1);
    return frame;
}

double total_area(const std::vector<EdgedPolygon>& parts)
{
    double area = 0;
    for (const EdgedPolygon& part : parts) area += signed_area(part.corners);
    return area;
}

// A plate in line with a wall of a re-entrant outline: the section without that wall is the plate.
std::vector<EdgedPolygon> plate_sections(const Hull& middle, const Frame& frame)
{
    std::vector<EdgedPolygon> a = cut_hull(middle, frame, true), b = cut_hull(middle, frame, false);
    if (b.empty() || a.empty()) return {};
    return total_area(a) <= total_area(b) ? a : b;
}

std::vector<EdgedPolygon> clip_all(const std::vector<EdgedPolygon>& parts, const Cut& cut)
{
    std::vector<EdgedPolygon> result;
    for (const EdgedPolygon& part : parts) {
        for (EdgedPolygon& piece : clip(part, cut.normal, cut.offset, cut.edge_on)) result.push_back(std::move(piece));
    }
    return result;
}

// A limit that falls into a wall's thickness, or within a hair of its inner face, is meant as "up to the
// wall": the part is left uncut there.
std::vector<EdgedPolygon> clip_unless_at_wall(const std::vector<EdgedPolygon>& parts, const Cut& cut,
                                              const Frame& frame, const std::vector<Board>& walls)
{
    std::vector<EdgedPolygon> result;
    for (const EdgedPolygon& part : parts) {
        std::vector<EdgedPolygon> pieces = clip(part, cut.normal, cut.offset, cut.edge_on);
        bool is_new_side_at_wall = !pieces.empty();
        for (const EdgedPolygon& piece : pieces) {
            for (std::size_t i = 0; i < piece.corners.size(); ++i) {
                const Vector2d &a = piece.corners[i], &b = piece.corners[(i + 1) % piece.corners.size()];
                const bool is_new = piece.edge_on[i] == cut.edge_on &&
                                    std::abs(cut.normal.dot(a) - cut.offset) < 1e-7 &&
                                    std::abs(cut.normal.dot(b) - cut.offset) < 1e-7;
                const bool is_at_wall = std::any_of(walls.begin(), walls.end(), [&](const Board& wall) {
                    return is_side_at(frame, a, b, wall, wall.outline);
                });
                if (is_new && !is_at_wall) is_new_side_at_wall = false;
            }
        }
        if (is_new_side_at_wall)
            result.push_back(part);
        else
            std::move(pieces.begin(), pieces.end(), std::back_inserter(result));
    }
    return result;
}

struct Limit
{
    const char* key;
    int axis;
    int side; // −1: from, +1: to
    const std::optional<double>& value;
};

std::array<Limit, 6> limits_of(const BracePlan& plan)
{
    return {{{"from.x", 0, -1, plan.x_from},
             {"to.x", 0, 1, plan.x_to},
             {"from.y", 1, -1, plan.y_from},
             {"to.y", 1, 1, plan.y_to},
             {"from.z", 2, -1, plan.z_from},
             {"to.z", 2, 1, plan.z_to}}};
}

void check_limits(const BracePlan& plan, const std::string& key, const Hull& outer)
{
    Vector3d low = outer.corners[0][0], high = low;
    for (const auto& corner : outer.corners) {
        for (const Vector3d& p : corner) {
            low = low.cwiseMin(p);
            high = high.cwiseMax(p);
        }
    }
    const std::array<Limit, 6> limits = limits_of(plan);
    for (const Limit& limit : limits) {
        if (!limit.value) continue;
        const double v = *limit.value;
        if (v >= low(limit.axis) - least_land && v <= high(limit.axis) + least_land) continue;
        throw InputError(plan.where, key + "." + limit.key,
                         in_mm(v) + " lies outside the cabinet, which runs from " + in_mm(low(limit.axis)) + " to " +
                             in_mm(high(limit.axis)));
    }
    for (std::size_t i = 0; i < limits.size(); i += 2) {
        if (!limits[i].value || !limits[i + 1].value || *limits[i].value < *limits[i + 1].value) continue;
        throw InputError(plan.where, key + "." + limits[i + 1].key,
                         "must lie beyond " + std::string(limits[i].key) + " = " + in_mm(*limits[i].value) + ", got " +
                             in_mm(*limits[i + 1].value));
    }
}

// Cuts by the limits, and the reference point they give.
void apply_limits(Plate& plate)
{
    const std::array<Limit, 6> limits = limits_of(*plate.plan);
    Polygon all;
    for (const EdgedPolygon& part : plate.sections) all.insert(all.end(), part.corners.begin(), part.corners.end());
    Vector3d reference = plate.frame.to_space(bounds(all).middle());
    bool has_reference = false;
    for (const Limit& limit : limits) {
        if (!limit.value) continue;
        const Vector3d axis = limit.side * Vector3d::Unit(limit.axis);
        const Vector2d in_plane(axis.dot(plate.frame.e1), axis.dot(plate.frame.e2));
        if (in_plane.norm() < 1e-6)
            throw InputError(plate.plan->where, plate.key + "." + limit.key,
                             "lies across the plate and cannot limit it");
        const double offset = limit.side * *limit.value - axis.dot(plate.frame.origin);
        plate.cuts.push_back({in_plane.normalized(), offset / in_plane.norm(), free_edge});
        reference(limit.axis) = *limit.value - limit.side * least_land / 2;
        has_reference = true;
    }
    for (std::size_t i = 0; i < limits.size(); i += 2) {
        if (limits[i].value && limits[i + 1].value)
            reference(limits[i].axis) = (*limits[i].value + *limits[i + 1].value) / 2;
    }
    if (has_reference) plate.reference = plate.frame.to_board(reference);
}

} // namespace

bool is_side_at(const Frame& plate, const Vector2d& a, const Vector2d& b, const Board& board, const Polygon& outline)
{
    const double reach = board.thickness() / 2 + least_land;
    for (const Vector2d& end : {a, b}) {
        if (std::abs(board.frame.height_of(plate.to_space(end))) > reach) return false;
    }
    const Vector2d middle = board.frame.to_board(plate.to_space(0.5 * (a + b)));
    return contains(outline, middle) || distance_to_boundary(outline, middle) < least_land;
}

std::vector<EdgedPolygon> cut_parts(const Plate& plate, const std::vector<Board>& walls)
{
    std::vector<EdgedPolygon> parts = plate.sections;
    for (const Cut& cut : plate.cuts) {
        parts = cut.edge_on == free_edge ? clip_unless_at_wall(parts, cut, plate.frame, walls) : clip_all(parts, cut);
    }
    return parts;
}

EdgedPolygon meant_part(const std::vector<EdgedPolygon>& parts, const std::optional<Vector2d>& reference)
{
    const auto distance = [&](const EdgedPolygon& part) {
        if (!reference || contains(part.corners, *reference)) return 0.0;
        const double d = distance_to_boundary(part.corners, *reference);
        return d < least_land ? 0.0 : d;
    };
    return *std::min_element(parts.begin(), parts.end(), [&](const EdgedPolygon& a, const EdgedPolygon& b) {
        const double da = distance(a), db = distance(b);
        return da != db ? da < db : signed_area(a.corners) > signed_area(b.corners);
    });
}

Plate make_plate(const BracePlan& plan, const std::vector<Board>& walls, const Hull& middle, const Hull& outer)
{
    Plate plate;
    plate.plan = &plan;
    plate.key = "braces." + plan.name;
    plate.frame = plate_frame(plan, plate.key);
    plate.sections = plate_sections(middle, plate.frame);
    if (plate.sections.empty()) {
        const bool is_slanted = plan.plane == BracePlan::Plane::Slanted;
        throw InputError(plan.where, plate.key + (is_slanted ? ".through" : ".at"),
                         (is_slanted ? "the plate" : in_mm(plan.at)) +
                             " lies outside the cabinet or within the thickness of its walls");
    }
    check_limits(plan, plate.key, outer);
    apply_limits(plate);
    if (plan.plane == BracePlan::Plane::Slanted) {
        const Vector2d point = Vector2d::Zero();
        const bool is_inside = std::any_of(plate.sections.begin(), plate.sections.end(),
                                           [&](const EdgedPolygon& part) { return contains(part.corners, point); });
        if (!is_inside)
            throw InputError(plan.where, plate.key + ".through",
                             "lies outside the cabinet; give a point of the plate inside");
        plate.reference = point;
    }
    const std::vector<EdgedPolygon> parts = cut_parts(plate, walls);
    if (parts.empty()) throw InputError(plan.where, plate.key, "its limits leave nothing of it inside the cabinet");
    plate.shape = meant_part(parts, plate.reference);
    return plate;
}

} // namespace stillwall
