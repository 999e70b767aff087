#include "mesh/core/shell_locator.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <string>

namespace stillwall {
namespace {

using Eigen::Array2i;
using Eigen::Matrix2d;
using Eigen::Vector3d;
using Corners = Eigen::Matrix<double, 2, 9>;

/// A point this little outside counts as inside: 1 nm in an element of 20 mm.
constexpr double on_border = 1e-7;

/// Newton's method for x(r, s) = p from a start; nothing when it does not settle. Iterates are kept near the element:
/// far from it the map of a distorted one turns over.
std::optional<Vector2d> solve(const Corners& X, const Vector2d& p, Vector2d q)
{
    const double scale = (X.col(2) - X.col(0)).norm() + (X.col(3) - X.col(1)).norm();
    for (int step = 0; step < 25; ++step) {
        const Vector3d Lr = quadratics(q.x()), Ls = quadratics(q.y());
        const Vector2d gap = p - X * quad9_product(Lr, Ls);
        if (gap.norm() < 1e-14 * scale) return q;
        Matrix2d J;
        J << X * quad9_product(quadratic_slopes(q.x()), Ls), X * quad9_product(Lr, quadratic_slopes(q.y()));
        const double det = J.determinant();
        if (det == 0) return std::nullopt;
        const Vector2d change(Vector2d(J(1, 1) * gap[0] - J(0, 1) * gap[1], J(0, 0) * gap[1] - J(1, 0) * gap[0]) / det);
        const Vector2d next = (q + change).cwiseMax(-3).cwiseMin(3);
        const bool is_settled = (next - q).norm() < 1e-13; // held at the limit as well: p lies far outside
        q = next;
        if (is_settled) return q;
    }
    return std::nullopt;
}

/// Natural coordinates of p when it lies in the element.
std::optional<Vector2d> inside(const Corners& X, const Vector2d& p)
{
    static const Vector2d starts[] = {{0, 0}, {-0.8, -0.8}, {0.8, -0.8}, {0.8, 0.8}, {-0.8, 0.8}};
    for (const Vector2d& start : starts) { // the later ones matter for strongly distorted elements only
        const auto q = solve(X, p, start);
        if (!q) continue;
        if (q->cwiseAbs().maxCoeff() <= 1 + on_border) return q->cwiseMax(-1).cwiseMin(1);
        return std::nullopt;
    }
    return std::nullopt;
}

/// The parameter −1 … 1 of the point of a three-node curve nearest to p: the best of nine, refined by Newton's method
/// on the slope of the squared distance, kept where that falls.
double nearest_on(const Eigen::Matrix<double, 2, 3>& X, const Vector2d& p)
{
    const auto squared = [&](double t) { return (X * quadratics(t) - p).squaredNorm(); };
    double best = -1;
    for (int i = 1; i < 9; ++i)
        if (const double t = -1 + 0.25 * i; squared(t) < squared(best)) best = t;
    const Vector2d bend = X * Vector3d(1, -2, 1); // x″
    for (int step = 0; step < 20; ++step) {
        const Vector2d gap = X * quadratics(best) - p, along = X * quadratic_slopes(best);
        const double curvature = along.squaredNorm() + gap.dot(bend);
        const double down = -gap.dot(along) / (curvature > 0 ? curvature : along.squaredNorm());
        const double next = std::clamp(best + down, -1.0, 1.0);
        if (squared(next) > squared(best) || std::abs(next - best) < 1e-13) break;
        best = next;
    }
    return best;
}

} // namespace

BoardLocator::BoardLocator(const Cabinet& cabinet, const ShellMesh& mesh, int board)
    : frame_(cabinet.board(board).frame)
{
    for (std::size_t e = 0; e < mesh.quads.size(); ++e) {
        const auto& quad = mesh.quads[e];
        if (quad.board != board) continue;
        Element element;
        for (int a = 0; a < 9; ++a)
            element.X.col(a) = frame_.to_board(mesh.nodes.col(quad.node[static_cast<std::size_t>(a)]));
        element.box = around(element.X);
        element.quad = static_cast<int>(e);
        elements_.push_back(element);
    }
    if (elements_.empty()) return;
    find_sides(mesh);
    make_grid();
}

/// A box that holds the whole element: that of the control points of its Bernstein form, a little enlarged.
BoardLocator::Box BoardLocator::around(const Corners& X)
{
    const auto middle = [](const Vector2d& a, const Vector2d& m, const Vector2d& b) -> Vector2d {
        return 2 * m - (a + b) / 2;
    };
    Corners P = X;
    for (int k = 0; k < 4; ++k) P.col(4 + k) = middle(X.col(k), X.col(4 + k), X.col((k + 1) % 4));
    P.col(8) = middle(P.col(4), middle(X.col(7), X.col(8), X.col(5)), P.col(6));
    const Vector2d low = P.rowwise().minCoeff(), high = P.rowwise().maxCoeff();
    const Vector2d rim = Vector2d::Constant(on_border * (high - low).maxCoeff());
    return {low - rim, high + rim};
}

void BoardLocator::find_sides(const ShellMesh& mesh)
{
    std::map<int, int> uses; // by mid-side node
    for (const Element& element : elements_)
        for (std::size_t k = 4; k < 8; ++k) ++uses[mesh.quads[static_cast<std::size_t>(element.quad)].node[k]];
    for (std::size_t e = 0; e < elements_.size(); ++e) {
        const Element& element = elements_[e];
        for (int k = 0; k < 4; ++k) {
            const auto& quad = mesh.quads[static_cast<std::size_t>(element.quad)];
            if (uses.at(quad.node[static_cast<std::size_t>(4 + k)]) > 1) continue;
            Side side;
            side.X << element.X.col(k), element.X.col(4 + k), element.X.col((k + 1) % 4);
            const Vector2d control = 2 * side.X.col(1) - (side.X.col(0) + side.X.col(2)) / 2;
            side.box.low = side.X.col(0).cwiseMin(side.X.col(2)).cwiseMin(control);
            side.box.high = side.X.col(0).cwiseMax(side.X.col(2)).cwiseMax(control);
            side.element = static_cast<int>(e);
            side.number = k;
            sides_.push_back(side);
        }
    }
}

/// Cells as large as the mean element's box, so that a cell holds a few elements; at most some four times as many cells
/// as elements.
void BoardLocator::make_grid()
{
    all_ = elements_.front().box;
    double size = 0;
    for (const Element& element : elements_) {
        all_.low = all_.low.cwiseMin(element.box.low);
        all_.high = all_.high.cwiseMax(element.box.high);
        size += (element.box.high - element.box.low).mean();
    }
    const Vector2d extent = all_.high - all_.low;
    const double n = static_cast<double>(elements_.size());
    cell_ = std::max({size / n, extent.maxCoeff() / (4 * n), std::sqrt(extent.prod() / (4 * n))});
    n_cells_ = (extent.array() / cell_).cast<int>() + 1;
    std::vector<std::vector<int>> cells(static_cast<std::size_t>(n_cells_.prod()));
    for (std::size_t e = 0; e < elements_.size(); ++e) {
        const Array2i low = cell_of(elements_[e].box.low), high = cell_of(elements_[e].box.high);
        for (int j = low.y(); j <= high.y(); ++j)
            for (int i = low.x(); i <= high.x(); ++i)
                cells[static_cast<std::size_t>(j * n_cells_.x() + i)].push_back(static_cast<int>(e));
    }
    first_ = {0};
    for (const auto& cell : cells) {
        in_cell_.insert(in_cell_.end(), cell.begin(), cell.end());
        first_.push_back(static_cast<int>(in_cell_.size()));
    }
}

Array2i BoardLocator::cell_of(const Vector2d& p) const
{
    const Eigen::Array2d cell = (p - all_.low).array() / cell_;
    return cell.max(0).min((n_cells_ - 1).cast<double>()).cast<int>();
}

std::optional<ShellPlace> BoardLocator::nearest(const Vector3d& point) const
{
    if (elements_.empty()) return std::nullopt;
    const Vector2d p = frame_.to_board(point);
    const Array2i cell = cell_of(p);
    const auto c = static_cast<std::size_t>(cell.y() * n_cells_.x() + cell.x());
    for (int k = first_[c]; k < first_[c + 1]; ++k) {
        const Element& element = elements_[static_cast<std::size_t>(in_cell_[static_cast<std::size_t>(k)])];
        if (element.box.distance(p) > 0) continue;
        if (const auto q = inside(element.X, p)) return ShellPlace{element.quad, q->x(), q->y(), 0};
    }
    return beyond(p);
}

std::optional<ShellPlace> BoardLocator::beyond(const Vector2d& p) const
{
    const Side* nearest = nullptr;
    double distance = std::numeric_limits<double>::infinity(), t = 0;
    for (const Side& side : sides_) {
        if (side.box.distance(p) >= distance) continue;
        const double here = nearest_on(side.X, p), d = (side.X * quadratics(here) - p).norm();
        if (d >= distance) continue;
        distance = d;
        t = here;
        nearest = &side;
    }
    if (nearest == nullptr) return std::nullopt; // only when p is no number
    const Vector2d places[4] = {{t, -1}, {1, t}, {-t, 1}, {-1, -t}};
    const Vector2d& q = places[nearest->number];
    return ShellPlace{elements_[static_cast<std::size_t>(nearest->element)].quad, q.x(), q.y(), distance};
}

ShellLocator::ShellLocator(const Cabinet& cabinet, const ShellMesh& mesh)
{
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b) boards_.emplace_back(cabinet, mesh, static_cast<int>(b));
}

ShellPlace ShellLocator::nearest(int board, const Vector3d& point) const
{
    const auto place = boards_.at(static_cast<std::size_t>(board)).nearest(point);
    if (!place) throw MeshError("board " + std::to_string(board) + " has no elements");
    return *place;
}

} // namespace stillwall
