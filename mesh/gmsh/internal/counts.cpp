#include "mesh/gmsh/internal/counts.h"

#include "mesh/cabinet/opening.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace stillwall::mesh {

namespace {

constexpr int rim_sides = 12; ///< least number of element sides round a cone's hole; others: 8, or 45° a side

/// Wanted number of sides of an edge before any constraint, by one of the boards it lies on.
int wanted(const Drawing& drawing, const Cabinet& cabinet, const Sizes& sizes, int edge, int board)
{
    const Edge& e = drawing.edges[edge];
    const double l = drawing.length(edge);
    // Strips up to one and a half elements wide stay one element wide.
    int n = std::max(1, static_cast<int>(std::ceil(l / sizes.element_on(board) - 0.4)));
    if (!e.arc) return n;
    const Arc& arc = drawing.arcs[*e.arc];
    const double radius = (drawing.at(arc.board, e.v[0]) - arc.centre).norm();
    const Opening& opening = cabinet.boards[arc.board].openings[e.rim.value().opening];
    const bool is_small = opening.width < 1.5 * sizes.element && !holds_cone(opening);
    const double least = opening.shape != OpeningPlan::Shape::Circle || is_small ? 8 : rim_sides;
    return std::max(n, static_cast<int>(std::ceil(l / (2 * pi * radius) * least - 0.1)));
}

/// A face is meshed as a grid when its opposite sides consist of equally many edges, are not too unlike, and their
/// vertices face each other: a grid between vertices far from that leans so much that it comes out several per cent
/// too stiff without a badly shaped element in it.
bool is_block(const Drawing& drawing, const Sides& sides)
{
    constexpr double lean = 0.35; // [-] tangent of the most that a line of the grid may lean
    for (const int s : {0, 1}) {
        const auto &near = sides[s], &far = sides[s + 2];
        if (near.size() != far.size()) return false;
        const double p = chain_length(drawing, near), q = chain_length(drawing, far);
        if (std::max(p, q) > 4 * std::min(p, q)) return false;
        const double across = (chain_length(drawing, sides[1 - s]) + chain_length(drawing, sides[3 - s])) / 2;
        double at_near = 0, at_far = 0;
        for (std::size_t k = 0; k + 1 < near.size(); ++k) {
            at_near += drawing.length(near[k] / 2) / p;
            at_far += drawing.length(far[far.size() - 1 - k] / 2) / q;
            if (std::abs(at_near - at_far) * (p + q) / 2 > lean * across) return false;
        }
    }
    return true;
}

class Classes
{
public:
    explicit Classes(std::size_t n) : parent_(n) { std::iota(parent_.begin(), parent_.end(), 0); }
    int root(int e)
    {
        while (parent_[e] != e) e = parent_[e] = parent_[parent_[e]];
        return e;
    }
    void join(int p, int q) { parent_[std::max(root(p), root(q))] = std::min(root(p), root(q)); }

private:
    std::vector<int> parent_;
};

/// Makes the sum round each row's face even by adding one to the cheapest classes: elimination modulo 2, with the
/// columns in order of cost so that cheap classes become the pivots and dear ones stay untouched.
/// @param is_fixed  classes that keep their number; a face of such only may stay odd
void make_even(std::vector<std::vector<char>> rows, std::vector<char> odd, const std::vector<bool>& is_fixed,
               std::vector<int>& count)
{
    const std::size_t n = count.size();
    std::vector<int> order(n);
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(), [&](int p, int q) { return count[p] > count[q]; });
    std::size_t done = 0;
    std::vector<std::pair<std::size_t, int>> pivots;
    for (const int column : order) {
        if (is_fixed[static_cast<std::size_t>(column)]) continue;
        std::size_t r = done;
        while (r < rows.size() && !rows[r][column]) ++r;
        if (r == rows.size()) continue;
        std::swap(rows[r], rows[done]);
        std::swap(odd[r], odd[done]);
        for (std::size_t k = 0; k < rows.size(); ++k) {
            if (k == done || !rows[k][column]) continue;
            for (std::size_t c = 0; c < n; ++c) rows[k][c] ^= rows[done][c];
            odd[k] ^= odd[done];
        }
        pivots.emplace_back(done++, column);
    }
    for (const auto& [row, column] : pivots) count[column] += odd[row];
}

} // namespace

Counts count_sides(const Drawing& drawing, const Cabinet& cabinet, const Sizes& sizes,
                   const std::vector<Remedy>& remedies)
{
    const std::size_t n = drawing.edges.size();
    Counts counts;
    Classes classes(n);
    for (const Face& face : drawing.faces) {
        const bool is_free = face.is_void || remedies[counts.blocks.size()].thirds;
        auto sides = is_free ? std::nullopt : four_sides(drawing, face, 0.6);
        if (sides && !is_block(drawing, *sides)) sides.reset();
        if (sides)
            for (const int s : {0, 1})
                for (std::size_t k = 0; k < (*sides)[s].size(); ++k)
                    classes.join((*sides)[s][k] / 2, (*sides)[s + 2][(*sides)[s].size() - 1 - k] / 2);
        counts.blocks.push_back(std::move(sides));
    }
    std::vector<int> label(n, -1), per_class;
    for (std::size_t e = 0; e < n; ++e) {
        const int root = classes.root(static_cast<int>(e));
        if (label[root] < 0) {
            label[root] = static_cast<int>(per_class.size());
            per_class.push_back(0);
        }
        label[e] = label[root];
    }
    for (std::size_t f = 0; f < drawing.faces.size(); ++f) {
        const Face& face = drawing.faces[f];
        if (face.is_void) continue;
        const int factor = 1 + remedies[f].finer;
        for (const auto& loop : face.loops)
            for (const HalfEdge h : loop)
                per_class[label[h / 2]] =
                    std::max(per_class[label[h / 2]], factor * wanted(drawing, cabinet, sizes, h / 2, face.board));
        // Three elements meet inside a triangle, two on each side of it.
        if (face.loops.size() == 1 && face.loops.front().size() == 3)
            for (const HalfEdge h : face.loops.front()) per_class[label[h / 2]] = std::max(per_class[label[h / 2]], 2);
    }
    std::vector<bool> is_even(per_class.size(), false);
    for (std::size_t f = 0; f < drawing.faces.size(); ++f) {
        if (!remedies[f].thirds) continue;
        for (const auto& loop : drawing.faces[f].loops)
            for (const HalfEdge h : loop) {
                int& count = per_class[label[h / 2]];
                count = loop.size() < 3 ? std::max(4, count + count % 2) : count + count % 2; // three vertices at least
                is_even[label[h / 2]] = true;
            }
    }
    std::vector<std::vector<char>> rows;
    std::vector<char> odd;
    for (std::size_t f = 0; f < drawing.faces.size(); ++f) {
        if (drawing.faces[f].is_void || counts.blocks[f] || remedies[f].thirds) continue;
        rows.emplace_back(per_class.size(), 0);
        odd.push_back(0);
        for (const auto& loop : drawing.faces[f].loops)
            for (const HalfEdge h : loop) {
                rows.back()[label[h / 2]] ^= 1;
                odd.back() ^= static_cast<char>(per_class[label[h / 2]] & 1);
            }
    }
    make_even(std::move(rows), std::move(odd), is_even, per_class);
    for (std::size_t e = 0; e < n; ++e) counts.n.push_back(per_class[label[e]]);
    return counts;
}

} // namespace stillwall::mesh
