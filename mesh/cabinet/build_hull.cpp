#include "mesh/cabinet/build_hull.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numbers>

namespace stillwall {
namespace {

// Corners nearer to a cutting plane than this lie in it [m].
constexpr double in_plane = 1e-7;

// Walls that turn by less than this at their corner are mitred: a lap's feather would be twice as
// long as the board is thick [rad].
constexpr double flattest_lap = 30 * std::numbers::pi / 180;

// A side of the hull, by what bounds it: the upright at corner k, or the lower or upper rim of wall k.
struct HullEdge
{
    enum class Kind
    {
        Upright,
        Lower,
        Upper
    };
    Kind kind = Kind::Upright;
    int k = 0;
    auto operator<=>(const HullEdge&) const = default;
};

// A side of a face as walked anticlockwise seen from outside.
struct Side
{
    HullEdge edge;
    bool is_reversed = false;
};

struct Crossing
{
    HullEdge edge;
    bool is_start = false; // the cut enters the face here
    double along = 0;      // position on the line in which the cutting plane meets the face
};

// A face's share of the cut: from one hull edge to another.
struct Stretch
{
    HullEdge from, to;
    int face = 0;
};

class HullCutter
{
public:
    HullCutter(const Hull& hull, const Frame& frame, bool touching_is_in)
        : hull_(hull), frame_(frame), touching_is_in_(touching_is_in)
    {
    }

    std::vector<EdgedPolygon> loops() const
    {
        std::map<HullEdge, Stretch> by_start;
        const auto take_face = [&](int face, const std::vector<Side>& sides) {
            for (const Stretch& s : stretches(face, sides)) by_start[s.from] = s;
        };
        const int n = hull_.n_walls;
        std::vector<Side> upper, lower;
        for (int k = 0; k < n; ++k) {
            upper.push_back({{HullEdge::Kind::Upper, k}, false});
            lower.push_back({{HullEdge::Kind::Lower, k}, true});
            take_face(k, {{{HullEdge::Kind::Lower, k}, false},
                          {{HullEdge::Kind::Upright, (k + 1) % n}, false},
                          {{HullEdge::Kind::Upper, k}, true},
                          {{HullEdge::Kind::Upright, k}, true}});
        }
        take_face(hull_.top(), upper);
        take_face(hull_.bottom(), lower);

        std::vector<EdgedPolygon> result;
        while (!by_start.empty()) {
            EdgedPolygon loop;
            for (auto it = by_start.begin(); it != by_start.end();) {
                const Stretch s = it->second;
                by_start.erase(it);
                loop.corners.push_back(frame_.to_board(point(s.from)));
                loop.edge_on.push_back(s.face);
                it = by_start.find(s.to);
            }
            loop = tidied(loop);
            if (loop.corners.size() >= 3 && signed_area(loop.corners) > 0) result.push_back(std::move(loop));
        }
        return result;
    }

private:
    const Vector3d& end(const HullEdge& e, int which) const
    {
        const std::size_t k = static_cast<std::size_t>(e.k), k1 = (k + 1) % hull_.corners.size();
        switch (e.kind) {
        case HullEdge::Kind::Upright:
            return hull_.corners[k][static_cast<std::size_t>(which)];
        case HullEdge::Kind::Lower:
            return hull_.corners[which == 0 ? k : k1][0];
        case HullEdge::Kind::Upper:
            break;
        }
        return hull_.corners[which == 0 ? k : k1][1];
    }

    double height(const Vector3d& p) const
    {
        const double h = frame_.height_of(p);
        return std::abs(h) < in_plane ? 0 : h;
    }

    bool is_in(double h) const { return touching_is_in_ ? h >= 0 : h > 0; }

    Vector3d point(const HullEdge& e) const
    {
        const double h0 = height(end(e, 0)), h1 = height(end(e, 1));
        return end(e, 0) + h0 / (h0 - h1) * (end(e, 1) - end(e, 0));
    }

    // Walking along n_cut × n_face keeps the body on the left, seen from the frame's +n side.
    Vector3d direction(int face) const
    {
        const auto at = [&](int k, int level) -> const Vector3d& {
            return hull_.corners[static_cast<std::size_t>(k % hull_.n_walls)][static_cast<std::size_t>(level)];
        };
        Vector3d outwards = Vector3d::UnitZ();
        if (face == hull_.bottom())
            outwards = -Vector3d::UnitZ();
        else if (face != hull_.top())
            outwards = (at(face + 1, 0) - at(face, 0)).cross(at(face, 1) - at(face, 0));
        return frame_.n.cross(outwards).normalized();
    }

    std::vector<Stretch> stretches(int face, const std::vector<Side>& sides) const
    {
        const Vector3d along = direction(face);
        std::vector<Crossing> crossings;
        for (const Side& side : sides) {
            const bool first_in = is_in(height(end(side.edge, 0)));
            if (first_in == is_in(height(end(side.edge, 1)))) continue;
            // With the cut's +n side up, an anticlockwise walk goes down at the left end of the cut.
            crossings.push_back({side.edge, first_in != side.is_reversed, along.dot(point(side.edge))});
        }
        std::stable_sort(crossings.begin(), crossings.end(),
                         [](const Crossing& a, const Crossing& b) { return a.along < b.along; });
        std::vector<Stretch> result;
        for (std::size_t i = 0; i + 1 < crossings.size(); i += 2) {
            // At a corner in the plane both crossings fall on one spot, and round-off may have swapped them.
            if (!crossings[i].is_start) {
                const auto start = std::find_if(crossings.begin() + static_cast<std::ptrdiff_t>(i), crossings.end(),
                                                [](const Crossing& c) { return c.is_start; });
                std::iter_swap(crossings.begin() + static_cast<std::ptrdiff_t>(i), start);
            }
            if (crossings[i + 1].is_start) {
                const auto stop = std::find_if(crossings.begin() + static_cast<std::ptrdiff_t>(i + 1), crossings.end(),
                                               [](const Crossing& c) { return !c.is_start; });
                std::iter_swap(crossings.begin() + static_cast<std::ptrdiff_t>(i + 1), stop);
            }
            result.push_back({crossings[i].edge, crossings[i + 1].edge, face});
        }
        return result;
    }

    const Hull& hull_;
    const Frame& frame_;
    bool touching_is_in_;
};

} // namespace

Vector3d meet(const Plane& a, const Plane& b, const Plane& c)
{
    Eigen::Matrix3d normals;
    normals << a.n.transpose(), b.n.transpose(), c.n.transpose();
    return normals.partialPivLu().solve(Vector3d(a.d, b.d, c.d));
}

Plane plane_of(const Board& board, double offset)
{
    return {board.frame.n, board.frame.n.dot(board.frame.origin) + offset};
}

int count_outline_walls(const std::vector<Board>& boards)
{
    const auto n =
        std::count_if(boards.begin(), boards.end(), [](const Board& b) { return b.kind == Board::Kind::Wall; });
    return static_cast<int>(n) - 2;
}

Hull make_hull(const std::vector<Board>& boards, Hull::Surface surface)
{
    Hull hull;
    hull.n_walls = count_outline_walls(boards);
    const auto plane = [&](int b) {
        const Board& board = boards[static_cast<std::size_t>(b)];
        return plane_of(board, static_cast<int>(surface) * board.thickness() / 2);
    };
    for (int k = 0; k < hull.n_walls; ++k) {
        const Plane before = plane((k + hull.n_walls - 1) % hull.n_walls), after = plane(k);
        hull.corners.push_back({meet(before, after, plane(hull.bottom())), meet(before, after, plane(hull.top()))});
    }
    return hull;
}

std::vector<std::array<int, 2>> face_corners(const Hull& hull, int face)
{
    const int n = hull.n_walls;
    if (face < n) return {{face, 0}, {(face + 1) % n, 0}, {(face + 1) % n, 1}, {face, 1}};
    std::vector<std::array<int, 2>> corners;
    for (int k = 0; k < n; ++k)
        if (face == hull.top())
            corners.push_back({k, 1});
        else
            corners.push_back({n - 1 - k, 0});
    return corners;
}

Interval extent(const Hull& hull, const Vector3d& n)
{
    constexpr double infinity = std::numeric_limits<double>::infinity();
    Interval reach{infinity, -infinity};
    for (const auto& corner : hull.corners)
        for (const Vector3d& p : corner) reach = {std::min(reach.first, n.dot(p)), std::max(reach.second, n.dot(p))};
    return reach;
}

bool contains(const Hull& hull, const Vector3d& p)
{
    const double bottom = hull.corners[0][0].z(), top = hull.corners[0][1].z();
    if (p.z() < bottom || p.z() > top) return false;
    Polygon section;
    for (const auto& corner : hull.corners)
        section.push_back((corner[0] + (p.z() - bottom) / (top - bottom) * (corner[1] - corner[0])).head<2>());
    return contains(section, p.head<2>());
}

double hull_volume(const Hull& hull)
{
    Polygon low, middle, high;
    for (const auto& corner : hull.corners) {
        low.push_back(corner[0].head<2>());
        high.push_back(corner[1].head<2>());
        middle.push_back(0.5 * (low.back() + high.back()));
    }
    const double height = hull.corners[0][1].z() - hull.corners[0][0].z();
    return height / 6 * (signed_area(low) + 4 * signed_area(middle) + signed_area(high));
}

std::vector<EdgedPolygon> cut_hull(const Hull& hull, const Frame& frame, bool touching_is_in)
{
    return HullCutter(hull, frame, touching_is_in).loops();
}

Polygon face_at(const Board& board, double s, const std::vector<Plane>& ends)
{
    const Plane own = plane_of(board, s);
    Polygon corners;
    for (std::size_t i = 0; i < ends.size(); ++i) {
        const Plane& before = ends[(i + ends.size() - 1) % ends.size()];
        corners.push_back(board.frame.to_board(meet(own, before, ends[i])));
    }
    return corners;
}

bool is_reentrant(const std::vector<Board>& boards, int k)
{
    const int n = count_outline_walls(boards);
    const Vector3d& before = boards[static_cast<std::size_t>((k + n - 1) % n)].frame.n;
    const Vector3d& after = boards[static_cast<std::size_t>(k)].frame.n;
    return before.cross(after).z() < 0;
}

bool is_mitred(const std::vector<Board>& boards, int k)
{
    const int n = count_outline_walls(boards);
    const Vector3d& before = boards[static_cast<std::size_t>((k + n - 1) % n)].frame.n;
    const Vector3d& after = boards[static_cast<std::size_t>(k)].frame.n;
    return before.dot(after) > std::cos(flattest_lap);
}

Plane sawn_end(const std::vector<Board>& boards, int board, int other, bool covers)
{
    const int n = count_outline_walls(boards);
    const Board &own = boards[static_cast<std::size_t>(board)], &far = boards[static_cast<std::size_t>(other)];
    bool is_inwards = false;
    if (board < n && other < n) {
        const int k = (board + 1) % n == other ? other : board;
        if (is_mitred(boards, k)) {
            // Through the lines in which the outer and the inner faces meet: equal parts of both thicknesses.
            const Plane a = plane_of(own, own.thickness() / 2), b = plane_of(far, far.thickness() / 2);
            const Vector3d normal = a.n / own.thickness() - b.n / far.thickness();
            return {normal.normalized(), (a.d / own.thickness() - b.d / far.thickness()) / normal.norm()};
        }
        is_inwards = is_reentrant(boards, k);
    }
    // At a re-entrant corner the outside lies between the boards: the covering board runs on to the
    // other's inner face, the covered one stops at the outer face.
    return plane_of(far, covers != is_inwards ? far.thickness() / 2 : -far.thickness() / 2);
}

} // namespace stillwall
