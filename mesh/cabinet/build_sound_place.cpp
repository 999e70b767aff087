// Who listens where, and the rigid plane outside.

#include "mesh/cabinet/build_hull.h"
#include "mesh/cabinet/internal/build_sound_steps.h"
#include "mesh/cabinet/internal/build_steps.h"
#include "mesh/cabinet/names.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <limits>

namespace stillwall {
namespace {

constexpr double nearest_listener = 0.01; // [m] nearer the radiated field is not resolved

/// The wood's outer surface: plane faces of the outer hull.
class OuterBody
{
public:
    explicit OuterBody(const Cabinet& cabinet)
        : cabinet_(&cabinet), hull_(make_hull(cabinet.boards, Hull::Surface::Outer))
    {
        for (int b = 0; b <= hull_.bottom(); ++b) {
            Polygon& face = faces_.emplace_back();
            for (const auto& [k, level] : face_corners(hull_, b)) {
                const Vector3d& corner = hull_.corners[static_cast<std::size_t>(k)][static_cast<std::size_t>(level)];
                face.push_back(cabinet.board(b).frame.to_board(corner));
            }
        }
    }

    [[nodiscard]] bool contains(const Vector3d& p) const { return stillwall::contains(hull_, p); }

    /// To the nearest face [m], ≥ 0.
    [[nodiscard]] double distance(const Vector3d& p) const
    {
        double least = std::numeric_limits<double>::infinity();
        for (std::size_t i = 0; i < faces_.size(); ++i) {
            const Board& board = cabinet_->boards[i];
            const Vector2d q = board.frame.to_board(p);
            const double height = board.frame.height_of(p) - board.thickness() / 2;
            const double beside = stillwall::contains(faces_[i], q) ? 0 : distance_to_boundary(faces_[i], q);
            least = std::min(least, std::hypot(height, beside));
        }
        return least;
    }

private:
    const Cabinet* cabinet_;
    Hull hull_;
    std::vector<Polygon> faces_; ///< per wall, in its board's frame
};

/// Directions as seen from a point on a wall.
struct View
{
    Vector3d at = Vector3d::Zero();
    Vector3d out = Vector3d::UnitX(), right = Vector3d::UnitY(), up = Vector3d::UnitZ();

    [[nodiscard]] Vector3d point(double distance, double across, double up_angle) const
    {
        return at + distance * (std::cos(up_angle) * (std::cos(across) * out + std::sin(across) * right) +
                                std::sin(up_angle) * up);
    }
};

/// On a level board right is x, as on a front.
View view_from(const Vector3d& at, const Vector3d& n)
{
    View view;
    view.at = at;
    view.out = n;
    const Vector3d level = Vector3d::UnitZ().cross(n);
    constexpr double flat = 1e-6;
    view.right = level.norm() < flat ? Vector3d::UnitX() : Vector3d(level.normalized());
    view.up = n.cross(view.right);
    return view;
}

/// From the middle of the drivers on the first one's board.
View usual_view(const Cabinet& cabinet, const SoundSetting& setting)
{
    const int board = setting.ways.front().drivers.front().board;
    Vector3d sum = Vector3d::Zero();
    int n = 0;
    for (const Way& way : setting.ways) {
        for (const Way::Driver& driver : way.drivers) {
            if (driver.board != board) continue;
            sum += outer_centre(cabinet, {driver.board, driver.opening});
            ++n;
        }
    }
    return view_from(sum / n, cabinet.board(board).frame.n);
}

View view_before(const Cabinet& cabinet, const ListenerPlan& item, const std::string& key)
{
    const auto index = find_opening(cabinet, item.in_front_of);
    const bool is_driver = index && opening_at(cabinet, *index).insert.kind == InsertPlan::Kind::Driver;
    if (!is_driver || cabinet.board(index->board).kind != Board::Kind::Wall)
        throw InputError(item.where, key + ".in_front_of",
                         "there is no driver '" + item.in_front_of + "' in an outer wall; " +
                             name_hint(item.in_front_of, driver_names(cabinet)));
    return view_from(outer_centre(cabinet, *index), cabinet.board(index->board).frame.n);
}

double height_before(const OuterPlane& plane, const Vector3d& p)
{
    return plane.normal.dot(p - plane.point);
}

bool is_free(const OuterBody& body, const std::optional<OuterPlane>& plane, const Vector3d& p)
{
    return !body.contains(p) && body.distance(p) >= nearest_listener && (!plane || height_before(*plane, p) >= 0);
}

/// 1 m before the view; where the plane is in the way (a driver that faces the floor) 1 m to the front, then to a side.
Vector3d metre_before(const View& view, const OuterBody& body, const SoundSetting& setting, const CabinetPlan& plan)
{
    for (const Vector3d& direction :
         {view.out, Vector3d(-Vector3d::UnitY()), Vector3d(Vector3d::UnitX()), Vector3d(-Vector3d::UnitX())}) {
        const Vector3d p = view.at + direction;
        if (is_free(body, setting.plane, p)) return p;
    }
    throw InputError(sound_place(plan), "sound", "no place 1 m from the drivers is free, where the level could hold");
}

void check_listener(const OuterBody& body, const std::optional<OuterPlane>& plane, const Listener& listener,
                    const SourcePos& where)
{
    const std::string key = "sound.listeners." + listener.name;
    const Vector3d& p = listener.at;
    const std::string place = "at x " + in_mm(p.x()) + ", y " + in_mm(p.y()) + ", z " + in_mm(p.z());
    if (!p.allFinite()) throw InputError(where, key, "its place is not a number");
    if (body.contains(p)) throw InputError(where, key, "listens inside the cabinet, " + place);
    const double distance = body.distance(p);
    if (distance < nearest_listener)
        throw InputError(where, key,
                         "listens " + in_mm(distance) + " from the cabinet, at least " + in_mm(nearest_listener) +
                             " is needed; it stands " + place);
    if (plane && height_before(*plane, p) < 0)
        throw InputError(where, key,
                         "listens " + in_mm(-height_before(*plane, p)) +
                             (plane->name == "floor" ? " below the " : " behind the ") + plane->name + ", " + place);
}

} // namespace

Vector3d outer_centre(const Cabinet& cabinet, const OpeningIndex& index)
{
    const Board& board = cabinet.board(index.board);
    return board.frame.to_space(opening_at(cabinet, index).centre) + board.thickness() / 2 * board.frame.n;
}

void add_plane(const CabinetPlan& plan, const Cabinet& cabinet, SoundSetting& setting)
{
    const SoundPlan& sound = plan.sound;
    if (!sound.floor && !sound.wall) return;
    if (sound.floor && sound.wall)
        throw InputError(sound_place(plan), "sound.wall", "give either floor or wall, one rigid plane can be computed");
    const double gap = sound.floor ? *sound.floor : *sound.wall;
    if (!(gap >= 0 && std::isfinite(gap)))
        throw InputError(sound_place(plan), sound.floor ? "sound.floor" : "sound.wall", "must not be negative");
    constexpr double least_gap = 0.005; // [m] panels nearer to their images, but not on them, are not resolved
    if (gap > 0 && gap < least_gap)
        throw InputError(sound_place(plan), sound.floor ? "sound.floor" : "sound.wall",
                         "must be 0 (the cabinet touches it) or at least 5 mm; a narrower gap is not resolved");
    const Hull outer = make_hull(cabinet.boards, Hull::Surface::Outer);
    OuterPlane plane;
    if (sound.floor)
        plane = {"floor", Vector3d(0, 0, extent(outer, Vector3d::UnitZ()).first - gap), Vector3d::UnitZ()};
    else
        plane = {"wall", Vector3d(0, extent(outer, Vector3d::UnitY()).second + gap, 0), -Vector3d::UnitY()};
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
        const Board& board = cabinet.boards[b];
        if (board.kind != Board::Kind::Wall || board.frame.n.dot(plane.normal) > -1 + 1e-9) continue;
        for (std::size_t o = 0; o < board.openings.size(); ++o) {
            const bool is_shut = board.openings[o].insert.kind == InsertPlan::Kind::Plate;
            const Vector3d centre = outer_centre(cabinet, {static_cast<int>(b), static_cast<int>(o)});
            if (is_shut || height_before(plane, centre) >= least_land) continue;
            throw InputError(sound_place(plan), "sound." + plane.name,
                             "opening '" + board.openings[o].name + "' in '" + board.name + "' stands on the " +
                                 plane.name + " and would be shut; leave a distance");
        }
    }
    setting.plane = plane;
}

void add_listeners(const CabinetPlan& plan, const Cabinet& cabinet, SoundSetting& setting)
{
    const OuterBody body(cabinet);
    const View usual = usual_view(cabinet, setting);
    setting.level_at = metre_before(usual, body, setting, plan);
    if (plan.sound.listeners.empty()) {
        setting.listeners.push_back({"axis 1 m", setting.level_at});
        return;
    }
    for (const ListenerPlan& item : plan.sound.listeners) {
        Listener listener;
        listener.name = item.name;
        if (item.at) {
            listener.at = *item.at;
        } else {
            const View view =
                item.in_front_of.empty() ? usual : view_before(cabinet, item, "sound.listeners." + item.name);
            listener.at = view.point(item.distance, item.across, item.up);
        }
        check_listener(body, setting.plane, listener, item.where);
        setting.listeners.push_back(std::move(listener));
    }
}

} // namespace stillwall
