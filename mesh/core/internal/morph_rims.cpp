// Nodes on the rims of openings. The rim is a core (point, segment or rectangle) grown by a radius, see opening.h: a
// node keeps its share of the core's side or its direction at the core's corner. Where a line fixed elsewhere ends on
// the rim, the node goes to their new crossing; the nodes between such crossings slide along the rim in proportion.

#include "mesh/cabinet/error.h"
#include "mesh/cabinet/opening.h"
#include "mesh/core/internal/morph_holds.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <optional>

namespace stillwall::morphing {
namespace {

/// Half-sizes of the core and the radius [m].
struct Core
{
    double a = 0, b = 0, radius = 0;

    explicit Core(const Opening& o) : radius(opening_core(o).radius)
    {
        a = std::max(0.0, o.width / 2 - radius);
        b = o.shape == OpeningPlan::Shape::Circle ? 0 : std::max(0.0, o.height / 2 - radius);
        if (o.shape == OpeningPlan::Shape::Circle) a = 0;
    }
};

Vector2d turned_left(const Vector2d& p)
{
    return {-p.y(), p.x()};
}

/// Where a rim point goes with its opening [m], and the piece of the new rim it lies on; all in the new board's frame.
struct Spot
{
    Vector2d p = Vector2d::Zero(), normal = Vector2d::Zero();
    Vector2d centre = Vector2d::Zero(); ///< of the arc
    double radius = 0;                  ///< of the arc; 0: a straight piece
    bool is_joint = false;              ///< between two pieces

    /// The point slid by s [m] along the piece, anticlockwise about the opening.
    [[nodiscard]] Vector2d slid(double s) const
    {
        if (radius == 0) return p + s * turned_left(normal);
        const double angle = s / radius;
        return centre + std::cos(angle) * (p - centre) + std::sin(angle) * turned_left(p - centre);
    }

    /// [m] by how much p must slide to come to q.
    [[nodiscard]] double slide_to(const Vector2d& q) const
    {
        if (radius == 0) return turned_left(normal).dot(q - p);
        return radius * std::atan2(turned_left(p - centre).dot(q - centre), (p - centre).dot(q - centre));
    }

    /// Where the line x + t u (u a unit vector) meets the piece, nearest to p.
    [[nodiscard]] std::optional<Vector2d> meet(const Vector2d& x, const Vector2d& u) const
    {
        if (radius == 0) {
            const double slope = normal.dot(u);
            if (std::abs(slope) < 1e-3) return std::nullopt; // runs along the rim
            return Vector2d(x + normal.dot(p - x) / slope * u);
        }
        const double half = u.dot(x - centre), wanted = u.dot(p - x);
        const double square = half * half + radius * radius - (x - centre).squaredNorm();
        if (square <= 0) return std::nullopt;
        const double t0 = -half - std::sqrt(square), t1 = -half + std::sqrt(square);
        return Vector2d(x + (std::abs(t0 - wanted) < std::abs(t1 - wanted) ? t0 : t1) * u);
    }
};

/// @param p  rim point in the old board's frame [m]
Spot spot_of(const Opening& was, const Opening& is, const Vector2d& p)
{
    const Core core(was), new_core(is);
    const Eigen::Rotation2Dd back(-was.rotation), forth(is.rotation);
    const Vector2d q = back * (p - was.centre);
    const Vector2d base(std::clamp(q.x(), -core.a, core.a), std::clamp(q.y(), -core.b, core.b));
    const Vector2d new_base(core.a > 0 ? base.x() * new_core.a / core.a : 0,
                            core.b > 0 ? base.y() * new_core.b / core.b : 0);
    const double growth = core.radius > 0 ? new_core.radius / core.radius : 1;
    const double past_x = std::abs(q.x()) - core.a, past_y = std::abs(q.y()) - core.b;
    const bool is_sharp = core.radius == 0;

    Spot spot;
    spot.p = is.centre + forth * (new_base + growth * (q - base));
    const bool has_x = core.a > 0, has_y = core.b > 0; // the core has sides along x, along y
    spot.is_joint = (has_x && std::abs(past_x) < on_it && past_y > -on_it) ||
                    (has_y && std::abs(past_y) < on_it && past_x > -on_it);
    const bool is_level = has_x && (is_sharp ? past_y >= past_x : past_x <= 0);
    const bool is_upright = !is_level && has_y && (is_sharp || past_y <= 0);
    if (is_level)
        spot.normal = forth * Vector2d(0, std::copysign(1.0, q.y()));
    else if (is_upright)
        spot.normal = forth * Vector2d(std::copysign(1.0, q.x()), 0);
    else {
        spot.centre = is.centre + forth * new_base;
        spot.radius = (spot.p - spot.centre).norm();
        spot.normal = (spot.p - spot.centre) / spot.radius;
    }
    return spot;
}

struct RimNode
{
    Spot spot;
    bool is_fixed = false; ///< the slide is given
    double slide = 0;      ///< [m]
};

/// One opening's rim in one board.
class Rim
{
public:
    Rim(Motion& motion, std::size_t board, std::size_t opening)
        : motion_(motion), was_(motion.from.boards[board]), is_(motion.to.boards[board]),
          old_hole_(was_.openings[opening]), new_hole_(is_.openings[opening])
    {
        std::vector<int> list = motion.mesh.rims[board][opening];
        std::sort(list.begin(), list.end());
        for (const BoardMesh::Side& side : motion.boards[board].sides) {
            if (!std::binary_search(list.begin(), list.end(), side.middle)) continue;
            sides_.push_back(side);
            for (const int node : {side.first, side.last}) nodes_.try_emplace(node);
        }
    }

    void hold()
    {
        for (auto& [node, rim_node] : nodes_) fix(node, rim_node);
        spread_slides();
        for (const auto& [node, rim_node] : nodes_)
            if (!rim_node.is_fixed) pin(node, rim_node.spot.slid(rim_node.slide));
        for (const BoardMesh::Side& side : sides_) {
            const double slide = (nodes_.at(side.first).slide + nodes_.at(side.last).slide) / 2;
            const Vector2d p = spot_at(side.middle).slid(slide);
            motion_.rim_middles.emplace_back(side.middle, is_.frame.to_space(p) - motion_.at(side.middle));
        }
    }

private:
    [[nodiscard]] Spot spot_at(int node) const
    {
        return spot_of(old_hole_, new_hole_, was_.frame.to_board(motion_.at(node)));
    }

    void pin(int node, const Vector2d& p)
    {
        motion_.holds[static_cast<std::size_t>(node)].pin(is_.frame.to_space(p) - motion_.at(node));
    }

    /// Nodes whose place does not depend on their neighbours along the rim.
    void fix(int node, RimNode& rim_node)
    {
        const Hold& hold = motion_.holds[static_cast<std::size_t>(node)];
        const bool is_shared = motion_.n_boards[static_cast<std::size_t>(node)] > 1;
        rim_node.spot = spot_at(node);
        Vector2d p = is_.frame.to_board(motion_.at(node) + hold.known());
        if (!is_shared && rim_node.spot.is_joint) {
            p = rim_node.spot.p;
        } else if (hold.count() == 2) {
            const Vector3d u = hold.free_directions().col(0);
            const auto met = rim_node.spot.meet(p, {u.dot(is_.frame.e1), u.dot(is_.frame.e2)});
            if (!met && rim_node.spot.radius > 0)
                throw DomainError("morph: a line that ended on the rim of '" + old_hole_.name + "' in board '" +
                                  was_.name + "' no longer meets it; make the change smaller");
            if (!met && !is_shared) return; // the side of a strip runs along the rim, which goes before
            if (met) p = *met;
        } else if (hold.count() < 2)
            return;
        rim_node.is_fixed = true;
        rim_node.slide = rim_node.spot.slide_to(p);
        if (hold.count() < 3 || !is_shared) pin(node, p);
    }

    /// Between nodes with a given slide it grows in proportion to the length along the rim: the least Σ (Δs)²/length.
    void spread_slides()
    {
        const auto n = static_cast<Eigen::Index>(nodes_.size());
        if (std::none_of(nodes_.begin(), nodes_.end(), [](const auto& entry) { return entry.second.is_fixed; })) return;
        std::map<int, Eigen::Index> row;
        for (const auto& entry : nodes_) row.emplace(entry.first, static_cast<Eigen::Index>(row.size()));
        Eigen::MatrixXd A = Eigen::MatrixXd::Zero(n, n);
        Eigen::VectorXd s = Eigen::VectorXd::Zero(n);
        for (const BoardMesh::Side& side : sides_) {
            const Eigen::Index i = row.at(side.first), k = row.at(side.last);
            const double w = 1 / (motion_.at(side.first) - motion_.at(side.last)).norm();
            A(i, i) += w;
            A(k, k) += w;
            A(i, k) -= w;
            A(k, i) -= w;
        }
        for (const auto& [node, rim_node] : nodes_) {
            if (!rim_node.is_fixed) continue;
            A.row(row.at(node)).setZero();
            A(row.at(node), row.at(node)) = 1;
            s[row.at(node)] = rim_node.slide;
        }
        s = A.partialPivLu().solve(s);
        for (auto& [node, rim_node] : nodes_) rim_node.slide = s[row.at(node)];
    }

    Motion& motion_;
    const Board &was_, &is_;
    const Opening &old_hole_, &new_hole_;
    std::vector<BoardMesh::Side> sides_;
    std::map<int, RimNode> nodes_; ///< corner nodes
};

} // namespace

void hold_rims(Motion& motion)
{
    for (std::size_t b = 0; b < motion.boards.size(); ++b)
        for (std::size_t o = 0; o < motion.from.boards[b].openings.size(); ++o) Rim(motion, b, o).hold();
}

} // namespace stillwall::morphing
