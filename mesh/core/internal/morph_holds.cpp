#include "mesh/core/internal/morph_holds.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <map>

namespace stillwall::morphing {

void Hold::add(const Vector3d& q, double v)
{
    // Directions that differ by less than this sine count as one: lines that meet so sharply have no node of their own.
    constexpr double least_sine = 1e-3;
    Vector3d rest = q;
    for (int k = 0; k < n_; ++k) {
        rest -= q.dot(q_.col(k)) * q_.col(k);
        v -= q.dot(q_.col(k)) * v_[k];
    }
    const double sine = rest.norm();
    if (n_ == 3 || sine < least_sine) return;
    q_.col(n_) = rest / sine;
    v_[n_] = v / sine;
    ++n_;
}

void Hold::pin(const Vector3d& d)
{
    n_ = 3;
    q_.setIdentity();
    v_ = d;
}

Vector3d Hold::known() const
{
    return q_.leftCols(n_) * v_.head(n_);
}

Eigen::Matrix3Xd Hold::free_directions() const
{
    Eigen::Matrix3Xd free(3, 3 - n_);
    if (n_ == 0) free = Eigen::Matrix3d::Identity();
    if (n_ == 1) {
        free.col(0) = q_.col(0).unitOrthogonal();
        free.col(1) = q_.col(0).cross(free.col(0));
    }
    if (n_ == 2) free.col(0) = q_.col(0).cross(q_.col(1));
    return free;
}

PlaneLine::PlaneLine(const Frame& frame, const Vector3d& a, const Vector3d& b)
    : from(a), along((b - a).normalized()), across(frame.n.cross(along)), length((b - a).norm())
{
}

bool PlaneLine::carries(const Vector3d& x) const
{
    const double t = along_of(x);
    return std::abs(across_of(x)) < on_it && t > -on_it && t < length + on_it;
}

PlaneLine line_of(const Cabinet& cabinet, int junction, int board)
{
    const Junction& j = cabinet.junctions[static_cast<std::size_t>(junction)];
    return {cabinet.board(board).frame, j.from, j.to};
}

namespace {

std::vector<BoardMesh> split_by_board(const ShellMesh& mesh, std::size_t n_boards)
{
    std::vector<BoardMesh> boards(n_boards);
    std::vector<std::map<int, std::size_t>> known(n_boards); // middle node → side
    for (std::size_t k = 0; k < mesh.quads.size(); ++k) {
        const ShellMesh::Quad& quad = mesh.quads[k];
        const auto b = static_cast<std::size_t>(quad.board);
        for (std::size_t c = 0; c < 4; ++c) {
            boards[b].corners.push_back(quad.node[c]);
            const auto [it, is_new] = known[b].try_emplace(quad.node[4 + c], boards[b].sides.size());
            if (is_new) boards[b].sides.push_back({quad.node[c], quad.node[4 + c], quad.node[(c + 1) % 4], {}});
            boards[b].sides[it->second].quads.push_back(static_cast<int>(k));
        }
    }
    for (BoardMesh& board : boards) {
        std::sort(board.corners.begin(), board.corners.end());
        board.corners.erase(std::unique(board.corners.begin(), board.corners.end()), board.corners.end());
    }
    return boards;
}

/// q'·(x + d − o') = q·(x − o) + shift: a coordinate keeps its value but for the shift.
void keep(Hold& hold, const Vector3d& x, const Vector3d& q, const Vector3d& o, const Vector3d& new_q,
          const Vector3d& new_o, double shift)
{
    hold.add(new_q, q.dot(x - o) + shift - new_q.dot(x - new_o));
}

void keep_across(Hold& hold, const Vector3d& x, const PlaneLine& old_line, const PlaneLine& new_line, double shift)
{
    keep(hold, x, old_line.across, old_line.from, new_line.across, new_line.from, shift);
}

void add_vector(Hold& hold, const Vector3d& d)
{
    for (int k = 0; k < 3; ++k) hold.add(Vector3d::Unit(k), d[k]);
}

/// A node on an end of the line goes to the new end, another on the line stays on it.
void go_with(Hold& hold, const Vector3d& x, const PlaneLine& old_line, const PlaneLine& new_line)
{
    const Vector3d old_to = old_line.from + old_line.length * old_line.along;
    const Vector3d new_to = new_line.from + new_line.length * new_line.along;
    if ((x - old_line.from).norm() < on_it)
        add_vector(hold, new_line.from - old_line.from);
    else if ((x - old_to).norm() < on_it)
        add_vector(hold, new_to - old_to);
    else
        keep_across(hold, x, old_line, new_line, 0);
}

void go_with(Motion& motion, int board, const PlaneLine& old_line, const PlaneLine& new_line)
{
    for (const int node : motion.boards[static_cast<std::size_t>(board)].corners)
        if (old_line.carries(motion.at(node)))
            go_with(motion.holds[static_cast<std::size_t>(node)], motion.at(node), old_line, new_line);
}

/// Calls visit(junction index, board, old line, new line) for both boards of every junction, board by board.
template <class Visit> void for_each_line(const Motion& motion, Visit visit)
{
    for (int b = 0; b < static_cast<int>(motion.from.boards.size()); ++b)
        for (int j = 0; j < static_cast<int>(motion.from.junctions.size()); ++j) {
            const Junction& junction = motion.from.junctions[static_cast<std::size_t>(j)];
            if (junction.passing == b || junction.ending == b)
                visit(j, b, line_of(motion.from, j, b), line_of(motion.to, j, b));
        }
}

double strip_of(const Cabinet& cabinet, int junction, int board)
{
    const Junction& j = cabinet.junctions[static_cast<std::size_t>(junction)];
    return j.passing == board ? j.strip_passing : j.strip_ending;
}

bool is_in_strip(const ShellMesh& mesh, const ShellMesh::Quad& quad, int junction)
{
    const auto& strips = mesh.zones[static_cast<std::size_t>(quad.zone)].strips;
    return std::find(strips.begin(), strips.end(), junction) != strips.end();
}

void hold_planes(Motion& motion)
{
    for (std::size_t b = 0; b < motion.boards.size(); ++b) {
        const Frame &old_frame = motion.from.boards[b].frame, &new_frame = motion.to.boards[b].frame;
        for (const int node : motion.boards[b].corners)
            keep(motion.holds[static_cast<std::size_t>(node)], motion.at(node), old_frame.n, old_frame.origin,
                 new_frame.n, new_frame.origin, 0);
    }
}

void hold_outlines(Motion& motion)
{
    for (std::size_t b = 0; b < motion.boards.size(); ++b) {
        const Board &was = motion.from.boards[b], &is = motion.to.boards[b];
        const std::size_t n = was.outline.size();
        const auto side = [n](const Board& board, std::size_t k) {
            return PlaneLine(board.frame, board.frame.to_space(board.outline[k]),
                             board.frame.to_space(board.outline[(k + 1) % n]));
        };
        for (std::size_t k = 0; k < n; ++k) go_with(motion, static_cast<int>(b), side(was, k), side(is, k));
    }
}

/// Board by board, as the mesher does: on a line two boards share, the first board's limit made the node.
void hold_strip_sides(Motion& motion)
{
    for_each_line(motion, [&](int j, int b, const PlaneLine& old_line, const PlaneLine& new_line) {
        const double w = strip_of(motion.from, j, b), change = strip_of(motion.to, j, b) - w;
        for (const ShellMesh::Quad& quad : motion.mesh.quads) {
            if (quad.board != b || !is_in_strip(motion.mesh, quad, j)) continue;
            for (std::size_t c = 0; c < 4; ++c) {
                const Vector3d x = motion.at(quad.node[c]);
                const double y = old_line.across_of(x);
                if (std::abs(std::abs(y) - w) < on_it)
                    keep_across(motion.holds[static_cast<std::size_t>(quad.node[c])], x, old_line, new_line,
                                y < 0 ? -change : change);
            }
        }
    });
}

void hold_ribs(Motion& motion)
{
    for (std::size_t r = 0; r < motion.from.ribs.size(); ++r) {
        const auto line = [r](const Cabinet& cabinet) {
            const Rib& rib = cabinet.ribs[r];
            const Frame& frame = cabinet.board(rib.board).frame;
            return PlaneLine(frame, frame.to_space(rib.from), frame.to_space(rib.to));
        };
        for (const auto& edge : motion.mesh.rib_edges[r])
            for (const int node : {edge[0], edge[2]})
                go_with(motion.holds[static_cast<std::size_t>(node)], motion.at(node), line(motion.from),
                        line(motion.to));
    }
}

/// In front of an opening of the board it ends on, a board's free edge lies at that board's inner face.
void hold_notches(Motion& motion)
{
    for_each_line(motion, [&](int j, int b, const PlaneLine& old_line, const PlaneLine& new_line) {
        const Junction &was = motion.from.junctions[static_cast<std::size_t>(j)],
                       &is = motion.to.junctions[static_cast<std::size_t>(j)];
        if (was.ending != b || was.kind == Junction::Kind::Cross) return;
        for (const BoardMesh::Side& side : motion.boards[static_cast<std::size_t>(b)].sides) {
            if (side.quads.size() > 1) continue;
            for (const int node : {side.first, side.last}) {
                const double y = old_line.across_of(motion.at(node)), t = old_line.along_of(motion.at(node));
                const double change = is.overlap_ending - was.overlap_ending;
                if (std::abs(std::abs(y) - was.overlap_ending) < on_it && t > 0 && t < old_line.length)
                    keep_across(motion.holds[static_cast<std::size_t>(node)], motion.at(node), old_line, new_line,
                                y < 0 ? -change : change);
            }
        }
    });
}

} // namespace

Motion::Motion(const ShellMesh& the_mesh, const Cabinet& old_cabinet, const Cabinet& new_cabinet)
    : mesh(the_mesh), from(old_cabinet), to(new_cabinet), boards(split_by_board(the_mesh, old_cabinet.boards.size())),
      holds(static_cast<std::size_t>(the_mesh.n_nodes())), n_boards(static_cast<std::size_t>(the_mesh.n_nodes()))
{
    for (const BoardMesh& board : boards)
        for (const int node : board.corners) ++n_boards[static_cast<std::size_t>(node)];
}

void hold_lines(Motion& motion)
{
    hold_planes(motion);
    for_each_line(motion, [&](int, int b, const PlaneLine& old_line, const PlaneLine& new_line) {
        go_with(motion, b, old_line, new_line);
    });
    hold_outlines(motion);
    hold_strip_sides(motion);
    hold_ribs(motion);
}

void hold_strip_ends(Motion& motion)
{
    hold_notches(motion);
    for_each_line(motion, [&](int j, int b, const PlaneLine& old_line, const PlaneLine& new_line) {
        const Junction &was = motion.from.junctions[static_cast<std::size_t>(j)],
                       &is = motion.to.junctions[static_cast<std::size_t>(j)];
        const double old_widths[] = {strip_of(motion.from, j, b), was.overlap_ending};
        const double new_widths[] = {strip_of(motion.to, j, b), is.overlap_ending};
        const int n_widths = was.ending == b ? 2 : 1;
        for (const BoardMesh::Side& side : motion.boards[static_cast<std::size_t>(b)].sides) {
            int n_inside = 0;
            for (const int q : side.quads)
                n_inside += is_in_strip(motion.mesh, motion.mesh.quads[static_cast<std::size_t>(q)], j);
            if (n_inside == 2 || (n_inside == 0 && side.quads.size() == 2)) continue;
            for (const auto& [base, top] : {std::pair{side.first, side.last}, std::pair{side.last, side.first}}) {
                const Hold& base_hold = motion.holds[static_cast<std::size_t>(base)];
                if (!old_line.carries(motion.at(base)) || base_hold.count() < 3) continue;
                const double y = std::abs(old_line.across_of(motion.at(top)));
                for (int k = 0; k < n_widths; ++k) {
                    if (std::abs(y - old_widths[k]) > on_it) continue;
                    const double off = old_line.along.dot(motion.at(top) - motion.at(base)); // the slope stays
                    const double on_base = new_line.along.dot(motion.at(base) + base_hold.known() - motion.at(top));
                    motion.holds[static_cast<std::size_t>(top)].add(new_line.along,
                                                                    on_base + off * new_widths[k] / old_widths[k]);
                }
            }
        }
    });
}

} // namespace stillwall::morphing
