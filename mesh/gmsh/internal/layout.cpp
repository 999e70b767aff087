#include "mesh/gmsh/internal/layout.h"

#include "mesh/gmsh/internal/spokes.h"

#include <algorithm>
#include <cmath>

namespace stillwall::mesh {

namespace {

constexpr double junction_lean = 70 * pi / 180; ///< [rad] a junction's line may meet a rim this obliquely
constexpr double limit_lean = 58 * pi / 180;    ///< [rad] the same for strip limits, which may stop short

/// Stretches of [0, 1] outside all of `taken`.
std::vector<Span> rest_of(std::vector<Span> taken)
{
    std::sort(taken.begin(), taken.end(), [](const Span& p, const Span& q) { return p.from < q.from; });
    std::vector<Span> rest;
    double at = 0;
    for (const Span& s : taken) {
        if (s.from > at) rest.push_back({at, std::min(s.from, 1.0)});
        at = std::max(at, s.to);
        if (at >= 1) break;
    }
    if (at < 1) rest.push_back({at, 1});
    return rest;
}

void add_spokes(std::vector<Curve>& curves, const Opening& opening, const Cut& cut, const Vector2d& a,
                const Vector2d& b)
{
    for (const auto& [wanted, t] : {std::pair{cut.has_spoke_from, cut.from}, std::pair{cut.has_spoke_to, cut.to}}) {
        const Vector2d p = a + t * (b - a);
        if (wanted) curves.push_back(straight(Role::Spoke, -1, p, nearest_on_rim(opening, p)));
    }
}

/// Adds the line a–b less what the board's openings and `also_taken` cut out, with spokes where it stops short.
void add_line(std::vector<Curve>& curves, const Board& board, const Curve& line, double gap, double max_lean,
              std::vector<Span> taken = {})
{
    for (const Opening& opening : board.openings) {
        const auto cut = cut_by(opening, line.a, line.b, gap, max_lean);
        if (!cut) continue;
        taken.push_back({cut->from, cut->to});
        add_spokes(curves, opening, *cut, line.a, line.b);
    }
    for (const Span& s : rest_of(std::move(taken))) {
        Curve piece = line;
        piece.a = line.at(s.from);
        piece.b = line.at(s.to);
        if (piece.length() > 1e-6) curves.push_back(piece);
    }
}

/// Fractions of a junction's line at which other junctions of one of its boards meet it.
std::vector<double> meetings(const Cabinet& cabinet, const Junction& junction, int board, const Sizes& sizes)
{
    std::vector<double> list;
    const BoardLine line = line_on(cabinet.boards[board], junction);
    const Curve own = straight(Role::Junction, -1, line.at(0), line.at(1));
    for (const Junction& other : cabinet.junctions) {
        if (&other == &junction || (other.passing != board && other.ending != board)) continue;
        const BoardLine their = line_on(cabinet.boards[board], other);
        for (const Vector2d& x : crossings(own, straight(Role::Junction, -1, their.at(0), their.at(1)), sizes.merge))
            list.push_back((x - line.from).dot(line.along) / line.length);
    }
    return list;
}

JunctionSpans spans_of(const Cabinet& cabinet, const Junction& junction, const Sizes& sizes)
{
    JunctionSpans spans;
    std::vector<Span> taken;
    for (const int side : {0, 1}) {
        const Board& board = cabinet.boards[side == 0 ? junction.passing : junction.ending];
        const BoardLine line = line_on(board, junction);
        const auto others = meetings(cabinet, junction, side == 0 ? junction.passing : junction.ending, sizes);
        const auto snapped = [&](double t) { // onto a line of another board that passes close by
            for (const double other : others)
                if (std::abs(other - t) * line.length < sizes.apart) return other;
            return t;
        };
        for (const Opening& opening : board.openings)
            if (const auto cut = cut_by(opening, line.at(0), line.at(1), 2 * sizes.merge, junction_lean)) {
                spans.open[side].push_back({snapped(cut->from), snapped(cut->to)});
                taken.push_back(spans.open[side].back());
            }
    }
    spans.active = rest_of(std::move(taken));
    return spans;
}

/// Draws the curves of one board, junction by junction.
class BoardDraft
{
public:
    BoardDraft(const Cabinet& cabinet, int board, const Sizes& sizes, const std::vector<JunctionSpans>& spans)
        : cabinet_(cabinet), board_(cabinet.boards[board]), index_(board), sizes_(sizes), spans_(spans)
    {
    }

    std::vector<Curve> draw()
    {
        const int n = static_cast<int>(board_.outline.size());
        for (int k = 0; k < n; ++k)
            curves_.push_back(straight(Role::Outline, k, board_.outline[k], board_.outline[(k + 1) % n]));
        for (int k = 0; k < static_cast<int>(board_.openings.size()); ++k)
            for (const Curve& c : rim_of(board_.openings[k], k)) curves_.push_back(c);
        for (int j = 0; j < static_cast<int>(cabinet_.junctions.size()); ++j)
            if (is_mine(j)) add_junction(j);
        for (int k = 0; k < static_cast<int>(cabinet_.ribs.size()); ++k) {
            const Rib& rib = cabinet_.ribs[k];
            if (rib.board != index_) continue;
            add_line(curves_, board_, straight(Role::Rib, k, rib.from, rib.to), 2 * sizes_.merge, junction_lean);
        }
        n_fixed_ = curves_.size();
        for (int j = 0; j < static_cast<int>(cabinet_.junctions.size()); ++j)
            if (is_mine(j)) add_strip(j);
        if (sizes_.drops_sharp_limits) drop_sharp_limits();
        return std::move(curves_);
    }

private:
    void drop_sharp_limits()
    {
        const auto is_sharp = [&](const Curve& limit, const Curve& other) {
            if (other.is_arc || other.role == Role::Cap || other.role == Role::Spoke || other.role == Role::Notch)
                return false;
            const double sine = std::abs(cross((limit.b - limit.a).normalized(), (other.b - other.a).normalized()));
            return sine < 0.45 && !crossings(limit, other, sizes_.merge).empty();
        };
        for (std::size_t k = curves_.size(); k-- > n_fixed_;) {
            if (curves_[k].role != Role::Limit) continue;
            const Curve limit = curves_[k];
            if (std::any_of(curves_.begin(), curves_.end(), [&](const Curve& c) { return is_sharp(limit, c); }))
                curves_.erase(curves_.begin() + static_cast<std::ptrdiff_t>(k));
        }
    }

    [[nodiscard]] bool is_mine(int j) const
    {
        return cabinet_.junctions[j].passing == index_ || cabinet_.junctions[j].ending == index_;
    }

    void add_junction(int j)
    {
        const BoardLine line = line_on(board_, cabinet_.junctions[j]);
        for (const Span& s : spans_[j].active)
            curves_.push_back(straight(Role::Junction, j, line.at(s.from), line.at(s.to)));
        for (const Opening& opening : board_.openings)
            if (const auto cut = cut_by(opening, line.at(0), line.at(1), 2 * sizes_.merge, junction_lean))
                add_spokes(curves_, opening, *cut, line.at(0), line.at(1));
    }

    void add_strip(int j)
    {
        const Junction& junction = cabinet_.junctions[j];
        const double w = strip_on(junction, index_);
        if (w < sizes_.apart) return;
        const BoardLine line = line_on(board_, junction);
        for (const double side : {-1.0, 1.0}) {
            const Vector2d shift = side * w * line.across;
            if (!is_inside(board_.outline, line.at(0.5) + shift)) continue;
            add_limit(j, line, shift);
        }
    }

    void add_limit(int j, const BoardLine& line, const Vector2d& shift)
    {
        const Junction& junction = cabinet_.junctions[j];
        const double w = shift.norm();
        const auto head_bend = bend_at(j, line, 0, shift), tail_bend = bend_at(j, line, 1, shift);
        const auto head = head_bend ? head_bend : run_out(line, 0, shift),
                   tail = tail_bend ? tail_bend : run_out(line, 1, shift);
        Curve limit = straight(Role::Limit, j, line.at(0) + shift + head.value_or(0) * line.along,
                               line.at(1) + shift + tail.value_or(0) * line.along);
        limit.width = w;
        const int other = junction.passing == index_ ? 1 : 0;
        std::vector<Span> taken;
        for (const Span& s : spans_[j].open[other]) {
            add_cap(j, line, s.from, shift);
            add_cap(j, line, s.to, shift);
            if (ends_at(junction, index_)) add_notch(j, line, s, shift / w);
            const double before = head.value_or(0), span = limit.length();
            taken.push_back({(s.from * line.length - before) / span, (s.to * line.length - before) / span});
        }
        if (!head || head_bend) add_cap(j, line, 0, shift + head_bend.value_or(0) * line.along);
        if (!tail || tail_bend) add_cap(j, line, 1, shift + tail_bend.value_or(0) * line.along);
        for (const Opening& opening : board_.openings)
            if (const auto cut = limit_cut(j, line, shift, limit, opening)) taken.push_back(*cut);
        move_onto_near_parallel(limit);
        for (const Span& s : rest_of(std::move(taken))) {
            Curve piece = limit;
            piece.a = limit.at(s.from);
            piece.b = limit.at(s.to);
            if (piece.length() > sizes_.merge) curves_.push_back(piece);
        }
    }

    /// The stretch of a limit that an opening of its own board takes out. Where the limit would graze the rim the
    /// strip stops short, squarely.
    std::optional<Span> limit_cut(int j, const BoardLine& line, const Vector2d& shift, const Curve& limit,
                                  const Opening& opening)
    {
        const auto cut = cut_by(opening, limit.a, limit.b, sizes_.gap, limit_lean);
        if (!cut) return std::nullopt;
        const auto own = cut_by(opening, line.at(0), line.at(1), 2 * sizes_.merge, junction_lean);
        const double before = (limit.a - line.from - shift).dot(line.along);
        const auto on_line = [&](double t) { return (before + t * limit.length()) / line.length; };
        const auto on_limit = [&](double t) { return (t * line.length - before) / limit.length(); };
        const double near = 0.15 * sizes_.element / line.length;
        Span span{cut->from, cut->to};
        if (cut->has_spoke_from) {
            double t = on_line(cut->from);
            if (own && own->from < t + near) t = own->from;
            t = clear_of(opening, line, t, shift, -1);
            add_cap(j, line, t, shift);
            span.from = on_limit(t);
        }
        if (cut->has_spoke_to) {
            double t = on_line(cut->to);
            if (own && own->to > t - near) t = own->to;
            t = clear_of(opening, line, t, shift, 1);
            add_cap(j, line, t, shift);
            span.to = on_limit(t);
        }
        return span;
    }

    /// Moves a cap along its line until it leaves the opening's rim at a fair angle instead of running along it.
    [[nodiscard]] double clear_of(const Opening& opening, const BoardLine& line, double t, const Vector2d& shift,
                                  double direction) const
    {
        const double step = 0.25 * sizes_.gap / line.length;
        for (int k = 0; k < 12; ++k, t += direction * step)
            if (signed_distance(opening, line.at(t) + 0.5 * shift) >= 0.24 * shift.norm()) break;
        return t;
    }

    /// In front of an opening of the board it ends on, a board's free edge is at that board's inner face. The ends
    /// of the notch slope, so that the row of the strip beside it need not be parted in two.
    void add_notch(int j, const BoardLine& line, const Span& span, const Vector2d& inwards)
    {
        const double depth = overlap_on(cabinet_.junctions[j], index_), width = (span.to - span.from) * line.length;
        if (depth < sizes_.apart || width < 2 * sizes_.apart) return;
        const double slope = std::min(0.8 * depth, 0.3 * width);
        const Vector2d corners[] = {line.at(span.from), line.at(span.from) + slope * line.along + depth * inwards,
                                    line.at(span.to) - slope * line.along + depth * inwards, line.at(span.to)};
        for (int k = 0; k < 3; ++k) curves_.push_back(straight(Role::Notch, j, corners[k], corners[k + 1]));
    }

    /// A cap overshoots, since the limit it closes may be moved when it is merged with others; what stands out in the
    /// end is taken off.
    void add_cap(int j, const BoardLine& line, double fraction, const Vector2d& shift)
    {
        const double past = std::max(0.6, sizes_.apart / shift.norm());
        Curve cap = straight(Role::Cap, j, line.at(fraction), line.at(fraction) + (1 + past) * shift);
        cap.width = shift.norm();
        curves_.push_back(cap);
    }

    /// Where a junction with one facet of a curved wall goes on into that with the next: how far [m] along the line
    /// from its end the two limits meet, on the bisector.
    [[nodiscard]] std::optional<double> bend_at(int j, const BoardLine& line, double fraction,
                                                const Vector2d& shift) const
    {
        const auto facet_of = [&](int k) {
            const Junction& junction = cabinet_.junctions[k];
            return cabinet_.boards[junction.passing == index_ ? junction.ending : junction.passing].name;
        };
        const Vector2d end = line.at(fraction);
        for (int k = 0; k < static_cast<int>(cabinet_.junctions.size()); ++k) {
            if (k == j || !is_mine(k) || facet_of(k) != facet_of(j)) continue;
            const BoardLine next = line_on(board_, cabinet_.junctions[k]);
            const double other = (next.at(0) - end).norm() < (next.at(1) - end).norm() ? 0 : 1;
            if ((next.at(other) - end).norm() > sizes_.merge) continue;
            // Both directions as one walks through the corner.
            const Vector2d u = fraction > 0.5 ? line.along : Vector2d(-line.along);
            const Vector2d v = other < 0.5 ? next.along : Vector2d(-next.along);
            const double turn = std::atan2(cross(u, v), u.dot(v));
            if (std::abs(turn) > pi / 4) continue;
            // A limit on the inner side of the bend ends short of the corner.
            const double inner = cross(u, shift) * turn > 0 ? -1 : 1;
            return inner * shift.norm() * std::tan(std::abs(turn) / 2) * (fraction > 0.5 ? 1 : -1);
        }
        return std::nullopt;
    }

    /// How far [m] along the line the limit has to run past the junction's end to reach the outline or the other
    /// junction that stops it; nothing when the junction ends in mid-board.
    [[nodiscard]] std::optional<double> run_out(const BoardLine& line, double fraction, const Vector2d& shift) const
    {
        const Vector2d end = line.at(fraction), start = end + shift;
        std::optional<double> best;
        for (std::size_t k = 0; k < n_fixed_; ++k) {
            const Curve& c = curves_[k];
            if (!c.is_primary()) continue;
            const Vector2d u = c.b - c.a;
            const double sine = cross(line.along, u.normalized());
            if (std::abs(sine) < 0.25 || (c.at(c.project(end)) - end).norm() > sizes_.merge) continue;
            const double s = cross(c.a - start, u.normalized()) / sine;
            const Vector2d x = start + s * line.along;
            if ((c.at(c.project(x)) - x).norm() > sizes_.merge || std::abs(s) > 4 * shift.norm()) continue;
            if (!best || std::abs(s) < std::abs(*best)) best = s;
        }
        return best;
    }

    /// A limit that runs close beside another line is laid on it: no element fits between.
    void move_onto_near_parallel(Curve& limit) const
    {
        const Vector2d u = (limit.b - limit.a).normalized();
        for (const Curve& c : curves_) {
            if (c.is_arc || c.role == Role::Cap || c.role == Role::Spoke || c.role == Role::Rim ||
                c.role == Role::Notch)
                continue;
            const Vector2d v = (c.b - c.a).normalized();
            if (std::abs(cross(u, v)) > 0.1) continue;
            const double s0 = (c.a - limit.a).dot(u), s1 = (c.b - limit.a).dot(u);
            const double lo = std::max(0.0, std::min(s0, s1)), hi = std::min(limit.length(), std::max(s0, s1));
            if (hi - lo < -2 * limit.width) continue; // far from each other
            const auto off = [&](double s) { return std::abs(cross(v, limit.a + s * u - c.a)); };
            if (off(lo) > sizes_.apart || off(hi) > sizes_.apart) continue;
            limit.a = c.a + (limit.a - c.a).dot(v) * v;
            limit.b = c.a + (limit.b - c.a).dot(v) * v;
            return;
        }
    }

    const Cabinet& cabinet_;
    const Board& board_;
    int index_;
    const Sizes& sizes_;
    const std::vector<JunctionSpans>& spans_;
    std::vector<Curve> curves_;
    std::size_t n_fixed_ = 0; ///< curves drawn before the strips
};

} // namespace

Sizes::Sizes(double element_size, double thinnest, double coarseness)
    : element(element_size), merge(coarseness * std::min(0.05 * element_size, 0.12 * thinnest)),
      apart(coarseness * std::min(0.06 * element_size, 0.18 * thinnest)), gap(0.15 * element_size)
{
}

BoardLine line_on(const Board& board, const Junction& junction)
{
    BoardLine line;
    line.from = board.frame.to_board(junction.from);
    const Vector2d d = board.frame.to_board(junction.to) - line.from;
    line.length = d.norm();
    line.along = d / line.length;
    line.across = {-line.along.y(), line.along.x()};
    return line;
}

Layout lay_out(const Cabinet& cabinet, const Sizes& sizes)
{
    Layout layout;
    for (const Junction& junction : cabinet.junctions) layout.junctions.push_back(spans_of(cabinet, junction, sizes));
    for (int b = 0; b < static_cast<int>(cabinet.boards.size()); ++b) {
        layout.curves.push_back(BoardDraft(cabinet, b, sizes, layout.junctions).draw());
        add_neck_spokes(layout.curves.back(), cabinet.boards[b], sizes);
    }
    return layout;
}

} // namespace stillwall::mesh
