// Curved boards out of their facets.

#include "mesh/cabinet/curved.h"
#include "mesh/cabinet/internal/build_steps.h"
#include "mesh/cabinet/internal/curved_walls.h"
#include "mesh/cabinet/polygon.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <map>

namespace stillwall {
namespace {

constexpr double in_plane = 1e-6; ///< [m]

Frame cylinder_frame(const Arc& arc, double bulge, double thickness)
{
    const double sign = std::copysign(1.0, bulge), angle = arc.start + arc.turn / 2;
    const double radius = arc.radius - sign * thickness / 2;
    Frame frame;
    frame.n = sign * Vector3d(std::cos(angle), std::sin(angle), 0);
    frame.e2 = Vector3d::UnitZ();
    frame.e1 = frame.e2.cross(frame.n);
    frame.origin << arc.centre + radius * Vector2d(std::cos(angle), std::sin(angle)), 0;
    frame.curvature = sign / radius;
    return frame;
}

/// Puts boards together and moves what was drawn on facets onto the curve.
class Bending
{
public:
    Bending(const CabinetPlan& plan, const Cabinet& flat, const std::vector<int>& wall) : flat_(flat), bent_(flat)
    {
        index_boards(plan, wall);
        bent_.boards.clear();
        for (std::size_t b = 0; b < first_.size(); ++b) {
            Board board = flat.board(first_[b]);
            if (b < plan.walls.size() && plan.walls[b].bulge != 0) {
                const std::size_t next = (b + 1) % plan.outline.size();
                const Arc arc = arc_over(plan.outline[b], plan.outline[next], plan.walls[b].bulge);
                board.frame = cylinder_frame(arc, plan.walls[b].bulge, board.thickness());
                board.kerfs = plan.walls[b].kerfs;
            }
            bent_.boards.push_back(std::move(board));
        }
        for (std::size_t b = 0; b < first_.size(); ++b)
            if (bent_.boards[b].frame.is_curved())
                roll_out(b);
            else
                move_outline(b);
        for (std::size_t b = 0; b < plan.walls.size(); ++b)
            set_grain(bent_.boards[b], plan.walls[b].grain, plan.walls[b].grain_rule);
        move_junctions();
        move_rods();
        renumber_parts();
    }

    Cabinet take()
    {
        bent_.facets = std::make_shared<FacetedCabinet>(FacetedCabinet{flat_, board_, junction_, first_});
        return std::move(bent_);
    }

private:
    void index_boards(const CabinetPlan& plan, const std::vector<int>& wall)
    {
        const std::size_t n_flat = wall.size(), n = plan.walls.size();
        for (std::size_t b = 0; b < flat_.boards.size(); ++b) {
            board_.push_back(b < n_flat ? wall[b] : static_cast<int>(b - n_flat + n));
            if (static_cast<std::size_t>(board_.back()) == first_.size()) first_.push_back(static_cast<int>(b));
        }
    }

    [[nodiscard]] int bent(int flat) const { return board_[static_cast<std::size_t>(flat)]; }

    [[nodiscard]] Vector3d moved(const Vector3d& x, std::vector<int> boards) const
    {
        std::sort(boards.begin(), boards.end());
        boards.erase(std::unique(boards.begin(), boards.end()), boards.end());
        return on_mid_surfaces(bent_, x, boards);
    }

    /// A corner of a facet's or flat board's mid-surface, where two of its sides meet.
    [[nodiscard]] Vector3d corner(int flat, std::size_t i) const
    {
        const Board& board = flat_.board(flat);
        std::vector<int> on = {bent(flat)};
        const std::size_t n = board.outline.size();
        for (const auto& side : {board.edge_on[(i + n - 1) % n], board.edge_on[i]})
            if (side) on.push_back(bent(*side));
        return moved(board.frame.to_space(board.outline[i]), on);
    }

    void move_outline(std::size_t b)
    {
        Board& board = bent_.boards[b];
        for (std::size_t i = 0; i < board.outline.size(); ++i)
            board.outline[i] = board.frame.to_board(corner(first_[b], i));
        for (auto& side : board.edge_on)
            if (side) side = bent(*side);
    }

    /// Facets' corners: 0, 1 below, 2, 3 above; their sides lie on the bottom, the next wall, the top, the last wall.
    void roll_out(std::size_t b)
    {
        Board& board = bent_.boards[b];
        const auto begin = first_[b];
        const auto n = static_cast<int>(std::count(board_.begin(), board_.end(), static_cast<int>(b)));
        board.outline.clear();
        board.edge_on.clear();
        const auto add = [&](int facet, std::size_t c, std::size_t side) {
            board.outline.push_back(board.frame.to_board(corner(facet, c)));
            board.edge_on.emplace_back(bent(*flat_.board(facet).edge_on[side]));
        };
        for (int f = begin; f < begin + n; ++f) add(f, 0, 0);
        add(begin + n - 1, 1, 1);
        for (int f = begin + n - 1; f >= begin; --f) add(f, 2, 2);
        add(begin, 3, 3);
        // The ends as they are sawn reach past the mid-surface model by what the end facets' do.
        board.sawn.clear();
        for (const auto& [facet, c] : {std::pair{begin, 0}, {begin + n - 1, 1}, {begin + n - 1, 2}, {begin, 3}}) {
            const auto k = static_cast<std::size_t>(c);
            const Board& end = flat_.board(facet);
            board.sawn.push_back(board.frame.to_board(corner(facet, k)) + end.sawn[k] - end.outline[k]);
        }
    }

    /// Boards of the cabinet on whose mid-surface a point of the facets lies.
    [[nodiscard]] std::vector<int> boards_at(const Vector3d& x) const
    {
        std::vector<int> on;
        for (std::size_t b = 0; b < flat_.boards.size(); ++b) {
            const Board& board = flat_.boards[b];
            if (std::abs(board.frame.height_of(x)) > in_plane) continue;
            const Vector2d p = board.frame.to_board(x);
            if (contains(board.outline, p) || distance_to_boundary(board.outline, p) < in_plane)
                on.push_back(board_[b]);
        }
        return on;
    }

    /// Direction in a board away from a junction's line, as close to `hint` as its tangent allows.
    [[nodiscard]] Vector3d tangent(int board, const Vector3d& at, const Vector3d& hint) const
    {
        const Frame frame = bent_.board(board).frame.touching(at);
        const Vector3d flat = hint - hint.dot(frame.n) * frame.n;
        return flat.normalized();
    }

    /// The true angle: a facet's plane is not the tangent at its end.
    void set_angle(Junction& j, const Junction& drawn) const
    {
        if (!bent_.board(j.passing).frame.is_curved() && !bent_.board(j.ending).frame.is_curved()) return;
        const Vector3d s = (drawn.to - drawn.from).normalized(), middle = (j.from + j.to) / 2;
        const auto inwards = [&](int flat) {
            const Board& board = flat_.board(flat);
            const Vector3d side = board.frame.n.cross(s);
            const Vector3d to_middle =
                board.frame.to_space(interior_point(board.outline)) - (drawn.from + drawn.to) / 2;
            return tangent(bent(flat), middle, side.dot(to_middle) < 0 ? Vector3d(-side) : side);
        };
        const double cosine = std::clamp(inwards(drawn.passing).dot(inwards(drawn.ending)), -1.0, 1.0);
        j.angle = std::acos(j.kind == Junction::Kind::Corner ? cosine : std::abs(cosine));
    }

    void move_junctions()
    {
        bent_.junctions.clear();
        for (const Junction& drawn : flat_.junctions) {
            const bool is_smooth = drawn.strip_passing == 0 && drawn.strip_ending == 0;
            junction_.push_back(is_smooth ? -1 : static_cast<int>(bent_.junctions.size()));
            if (is_smooth) continue;
            Junction j = drawn;
            j.passing = bent(drawn.passing);
            j.ending = bent(drawn.ending);
            j.from = moved(drawn.from, boards_at(drawn.from));
            j.to = moved(drawn.to, boards_at(drawn.to));
            if (j.spring) j.spring->removable = bent(j.spring->removable);
            set_angle(j, drawn);
            check_room(drawn);
            bent_.junctions.push_back(std::move(j));
        }
    }

    /// The strip of an upright joint must lie on one facet.
    void check_room(const Junction& drawn) const
    {
        if (std::abs((drawn.to - drawn.from).normalized().z()) < 0.5) return;
        for (const int b : {drawn.passing, drawn.ending}) {
            const Board& facet = flat_.board(b);
            if (!bent_.board(bent(b)).frame.is_curved()) continue;
            const double strip = b == drawn.passing ? drawn.strip_passing : drawn.strip_ending;
            const double at = facet.frame.to_board(drawn.from).x();
            const Bounds2 box = bounds(facet.outline);
            const auto [less, more] = std::minmax({at - box.low.x(), box.high.x() - at});
            if ((drawn.kind == Junction::Kind::Corner ? more : less) >= strip) continue;
            const int other = b == drawn.passing ? drawn.ending : drawn.passing;
            throw InputError(facet.where, "boards." + facet.name,
                             "meets '" + flat_.board(other).name +
                                 "' so flatly that their joint reaches too far round its curve; a larger radius, "
                                 "thinner boards or a steeper corner are needed");
        }
    }

    void move_rods()
    {
        for (Rod& rod : bent_.rods)
            for (const auto& [board, end] : {std::pair{&rod.board_from, &rod.from}, {&rod.board_to, &rod.to}}) {
                *board = bent(*board);
                const Frame& frame = bent_.board(*board).frame;
                *end = frame.to_space(frame.to_board(*end));
            }
    }

    /// None of these lies on a curved board.
    void renumber_parts()
    {
        for (Rib& rib : bent_.ribs) rib.board = bent(rib.board);
        for (PointMass& mass : bent_.masses) mass.board = bent(mass.board);
        for (FaceLayer& layer : bent_.layers) layer.board = bent(layer.board);
        for (Support& support : bent_.supports) {
            support.board = bent(support.board);
            if (support.neighbour) support.neighbour = bent(*support.neighbour);
        }
    }

    const Cabinet& flat_;
    Cabinet bent_;
    std::vector<int> board_, junction_, first_;
};

} // namespace

Cabinet bent_cabinet(const CabinetPlan& plan, Cabinet flat, const std::vector<int>& wall)
{
    return Bending(plan, flat, wall).take();
}

} // namespace stillwall
