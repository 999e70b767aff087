// What meets what: plates, walls, bars, drivers, tubes.

#include "mesh/cabinet/fit.h"

#include "mesh/cabinet/internal/build_steps.h"
#include "mesh/cabinet/internal/fit_steps.h"
#include "mesh/cabinet/internal/obstacles.h"
#include "mesh/cabinet/opening.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <functional>

namespace stillwall {
namespace {

using Kind = Obstacle::Kind;

constexpr double step = 1e-3, farthest_hint = 0.3; // [m]

/// "move it by 12 mm in z": the least way along one of the directions after which nothing is met; empty when none is
/// found.
std::string move_hint(const std::vector<Vector3d>& directions, const std::function<bool(const Vector3d&)>& is_free)
{
    for (double way = step; way <= farthest_hint; way += step)
        for (const Vector3d& direction : directions)
            for (const double sign : {1.0, -1.0}) {
                const Vector3d by = sign * way * direction;
                if (!is_free(by)) continue;
                Eigen::Index axis = 0;
                const bool is_along = direction.cwiseAbs().maxCoeff(&axis) > 1 - 1e-9;
                const double told = is_along ? by[axis] : sign * way;
                return "; move it by " + std::string(told > 0 ? "+" : "") + in_mm(told) +
                       (is_along ? std::string(" in ") + "xyz"[axis] : std::string(" across its board"));
            }
    return {};
}

class Clashes
{
public:
    Clashes(const Cabinet& cabinet, double spare) : cabinet_(cabinet), spare_(spare), all_(obstacles(cabinet, spare)) {}

    std::vector<Clash> take()
    {
        for (const Obstacle& o : all_) {
            for (std::size_t b = 0; b < cabinet_.boards.size(); ++b)
                if (static_cast<int>(b) != o.board) board(o, cabinet_.boards[b]);
            for (const Rod& rod : cabinet_.rods) bar(o, "rods." + rod.name, rod.where, rod_body(rod), rod_ways(rod));
            for (const Rib& rib : cabinet_.ribs) bar(o, "ribs." + rib.name, rib.where, rib_body(rib), rib_ways(rib));
        }
        for (std::size_t i = 0; i < all_.size(); ++i)
            for (std::size_t k = i + 1; k < all_.size(); ++k) pair(all_[i], all_[k]);
        add_flange_clashes(cabinet_, spare_, found_);
        return std::move(found_);
    }

private:
    [[nodiscard]] const Opening& opening_of(const Obstacle& o) const
    {
        return cabinet_.board(o.board).openings.at(static_cast<std::size_t>(o.opening));
    }

    void board(const Obstacle& o, const Board& other)
    {
        const Opening& opening = opening_of(o);
        const bool is_brace = other.kind == Board::Kind::Brace;
        // Walls before a tube's end are judged with its end correction in mind (build_sound.h); a hole ends at them.
        if (!is_brace && o.kind != Kind::Driver) return;
        if (opening.insert.rear_tie && opening.insert.rear_tie->board == other.name) return; // meant to touch
        if (!meets_wood(o.body, other)) return;
        const std::string guess = guess_words(cabinet_, o);
        if (is_brace) {
            found_.push_back({"braces." + other.name, words_for(cabinet_, o), "braces." + other.name,
                              "runs into " + words_for(cabinet_, o) + guess, other.where, o.is_certain});
            return;
        }
        const std::string key = "openings." + opening.name;
        found_.push_back({key, "'" + other.name + "'", key + ".driver.depth",
                          "the driver runs into '" + other.name + "'" + guess + room_hint(o, other), opening.where,
                          o.is_certain});
    }

    /// How deep a driver may be before a wall, or how far to move it.
    [[nodiscard]] std::string room_hint(const Obstacle& o, const Board& wall) const
    {
        const Board& own = cabinet_.board(o.board);
        const Vector3d axis = -own.frame.n;
        const auto shortened = [&](double by) {
            ConvexBody body = o.body;
            for (Vector3d& p : body.rear) p -= by * axis;
            return body;
        };
        const double depth = driver_size(own, opening_of(o)).depth;
        constexpr double hair = 1e-6; // [m] a rear that touches is no clash
        for (double by = step; by < depth; by += step)
            if (!meets_wood(shortened(by + hair), wall))
                return "; at most " + in_mm(std::floor((depth - by) / step + 1e-6) * step) +
                       " behind its flange are free";
        return move_hint({own.frame.e1, own.frame.e2},
                         [&](const Vector3d& by) { return !meets_wood(moved(o.body, by), wall); });
    }

    [[nodiscard]] ConvexBody rod_body(const Rod& rod) const
    {
        const Vector3d axis = (rod.to - rod.from).normalized();
        const Vector3d aid = std::abs(axis.z()) < 0.9 ? Vector3d::UnitZ() : Vector3d::UnitX();
        const double w = rod.width / 2, h = rod.height / 2;
        return bar_body(rod.from, rod.to, axis.cross(aid).normalized(),
                        rod.diameter ? round_section(*rod.diameter / 2, 16)
                                     : Polygon{{-w, -h}, {w, -h}, {w, h}, {-w, h}});
    }
    /// Ways along which both its ends stay on their boards.
    [[nodiscard]] std::vector<Vector3d> rod_ways(const Rod& rod) const
    {
        std::vector<Vector3d> ways;
        for (const int axis : {0, 1, 2}) {
            const Vector3d way = Vector3d::Unit(axis);
            const auto is_along = [&](int b) { return std::abs(cabinet_.board(b).frame.n[axis]) < 1e-6; };
            if (is_along(rod.board_from) && is_along(rod.board_to)) ways.push_back(way);
        }
        return ways;
    }

    [[nodiscard]] ConvexBody rib_body(const Rib& rib) const
    {
        const Board& board = cabinet_.board(rib.board);
        const Vector3d from = board.frame.to_space(rib.from), to = board.frame.to_space(rib.to);
        const Vector3d across = board.frame.n.cross((to - from).normalized());
        const double w = rib.width / 2, foot = rib.side * board.thickness() / 2, end = foot + rib.side * rib.height;
        ConvexBody body; // the second axis of bar_body would be −n
        for (const auto& [a, h] : {std::pair{-w, foot}, {w, foot}, {w, end}, {-w, end}}) {
            const Vector3d off = a * across + h * board.frame.n;
            body.front.push_back(from + off);
            body.rear.push_back(to + off);
        }
        return body;
    }
    [[nodiscard]] std::vector<Vector3d> rib_ways(const Rib& rib) const
    {
        const Board& board = cabinet_.board(rib.board);
        const Vector2d along = (rib.to - rib.from).normalized();
        return {board.frame.to_space(rib.from + Vector2d(-along.y(), along.x())) - board.frame.to_space(rib.from)};
    }

    void bar(const Obstacle& o, const std::string& key, const SourcePos& where, const ConvexBody& body,
             const std::vector<Vector3d>& ways)
    {
        if (!share_room(body, o.body)) return;
        const auto is_free = [&](const Vector3d& by) {
            const ConvexBody there = moved(body, by);
            return std::none_of(all_.begin(), all_.end(),
                                [&](const Obstacle& other) { return share_room(there, other.body); });
        };
        found_.push_back({key, words_for(cabinet_, o), key,
                          "runs into " + words_for(cabinet_, o) + guess_words(cabinet_, o) + move_hint(ways, is_free),
                          where, o.is_certain});
    }

    void pair(const Obstacle& a, const Obstacle& b)
    {
        const bool is_same = a.board == b.board && a.opening == b.opening;
        if (is_same || a.kind == Kind::Hole || b.kind == Kind::Hole || !share_room(a.body, b.body)) return;
        const Board& own = cabinet_.board(a.board);
        const Opening& opening = opening_of(a);
        const std::string key = "openings." + opening.name;
        found_.push_back({key, words_for(cabinet_, b), key,
                          words_for(cabinet_, a) + " runs into " + words_for(cabinet_, b) + guess_words(cabinet_, a) +
                              guess_words(cabinet_, b) +
                              move_hint({own.frame.e1, own.frame.e2},
                                        [&](const Vector3d& by) { return !share_room(moved(a.body, by), b.body); }),
                          opening.where, a.is_certain && b.is_certain});
    }

    const Cabinet& cabinet_;
    double spare_;
    std::vector<Obstacle> all_;
    std::vector<Clash> found_;
};

} // namespace

std::vector<Clash> clashes(const Cabinet& cabinet, double spare)
{
    return Clashes(cabinet.facets ? cabinet.facets->flat : cabinet, spare).take();
}

} // namespace stillwall
