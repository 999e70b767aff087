#include "mesh/gmsh/internal/spokes.h"

#include <cmath>

namespace stillwall::mesh {

namespace {

class NeckSearch
{
public:
    NeckSearch(std::vector<Curve>& curves, const Board& board, const Sizes& sizes)
        : curves_(curves), board_(board), sizes_(sizes), n_(curves.size())
    {
    }

    void run()
    {
        for (std::size_t r = 0; r < n_; ++r) {
            if (curves_[r].role != Role::Rim) continue;
            for (std::size_t k = 0; k < n_; ++k) {
                const Role role = curves_[k].role;
                if (role == Role::Cap || role == Role::Spoke || role == Role::Rim || role == Role::Notch) continue;
                if (curves_[r].is_arc) from_arc(curves_[r], curves_[k]);
            }
        }
        for (std::size_t p = 0; p < board_.openings.size(); ++p)
            for (std::size_t q = p + 1; q < board_.openings.size(); ++q)
                between(board_.openings[p], board_.openings[q]);
    }

private:
    void from_arc(const Curve arc, const Curve line)
    {
        const Vector2d foot = foot_on(line, arc.centre);
        const Vector2d out = foot - arc.centre;
        if (out.norm() < arc.radius) return;
        const Vector2d p = arc.centre + arc.radius * out.normalized();
        if ((arc.at(arc.project(p)) - p).norm() > 1e-6) return; // the arc turns elsewhere
        add(p, foot, line, 0.9 * sizes_.element);
    }

    void between(const Opening& first, const Opening& second)
    {
        Vector2d p = nearest_on_rim(first, second.centre), q = nearest_on_rim(second, p);
        for (int k = 0; k < 50; ++k) { // alternating projections onto two convex shapes
            p = nearest_on_rim(first, q);
            q = nearest_on_rim(second, p);
        }
        if ((q - p).norm() < 0.9 * sizes_.element && is_clear(p, q)) curves_.push_back(straight(Role::Spoke, -1, p, q));
    }

    void add(const Vector2d& p, const Vector2d& foot, const Curve& line, double reach)
    {
        const double past = (line.at(line.project(foot)) - foot).norm();
        if (past > 1e-6 || (foot - p).norm() > reach || (foot - p).norm() < sizes_.merge || !is_clear(p, foot)) return;
        curves_.push_back(straight(Role::Spoke, -1, p, foot));
    }

    [[nodiscard]] bool is_clear(const Vector2d& p, const Vector2d& q) const
    {
        const Curve spoke = straight(Role::Spoke, -1, p, q);
        for (const Curve& c : curves_) {
            for (const Vector2d& x : crossings(spoke, c, sizes_.merge))
                if ((x - p).norm() > sizes_.merge && (x - q).norm() > sizes_.merge) return false;
            // a spoke laid there before
            if (c.role == Role::Spoke &&
                std::min((c.at(c.project(p)) - p).norm(), (c.at(c.project(q)) - q).norm()) < sizes_.gap)
                return false;
        }
        return true;
    }

    [[nodiscard]] static Vector2d foot_on(const Curve& line, const Vector2d& p)
    {
        const Vector2d u = (line.b - line.a).normalized();
        return line.a + (p - line.a).dot(u) * u;
    }

    std::vector<Curve>& curves_;
    const Board& board_;
    const Sizes& sizes_;
    std::size_t n_; ///< curves present at the start
};

} // namespace

void add_neck_spokes(std::vector<Curve>& curves, const Board& board, const Sizes& sizes)
{
    NeckSearch(curves, board, sizes).run();
}

} // namespace stillwall::mesh
