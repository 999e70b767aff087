#include "mesh/cabinet/internal/cells.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>

namespace stillwall {
namespace {

constexpr double on_plane = 1e-7; // [m] nearer than this a corner lies in the plane

Vector3d mean_of(const std::vector<Vector3d>& points)
{
    Vector3d sum = Vector3d::Zero();
    for (const Vector3d& p : points) sum += p;
    return sum / static_cast<double>(points.size());
}

Vector3d mean_of(const ConvexFaces& body)
{
    std::vector<Vector3d> middles;
    for (const auto& face : body) middles.push_back(mean_of(face));
    return mean_of(middles);
}

/// Points of a convex ring round their middle, each once.
std::vector<Vector3d> in_order(std::vector<Vector3d> points, const Vector3d& n)
{
    std::vector<Vector3d> once;
    for (const Vector3d& p : points)
        if (std::none_of(once.begin(), once.end(), [&](const Vector3d& q) { return (p - q).norm() < 10 * on_plane; }))
            once.push_back(p);
    if (once.size() < 3) return {};
    const Vector3d middle = mean_of(once), u = n.unitOrthogonal(), v = n.cross(u);
    const auto angle = [&](const Vector3d& p) { return std::atan2((p - middle).dot(v), (p - middle).dot(u)); };
    std::sort(once.begin(), once.end(), [&](const Vector3d& a, const Vector3d& b) { return angle(a) < angle(b); });
    return once;
}

/// The part of a ring with sign·height ≥ 0.
std::vector<Vector3d> kept(const std::vector<Vector3d>& ring, const Plane& plane, double sign)
{
    std::vector<Vector3d> part;
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const Vector3d &a = ring[i], &b = ring[(i + 1) % ring.size()];
        const double ha = sign * plane.height_of(a), hb = sign * plane.height_of(b);
        if (ha >= -on_plane) part.push_back(a);
        if ((ha > on_plane && hb < -on_plane) || (ha < -on_plane && hb > on_plane))
            part.push_back(a + ha / (ha - hb) * (b - a));
    }
    return part;
}

ConvexFaces half(const ConvexFaces& body, const Plane& plane, double sign)
{
    ConvexFaces part;
    for (const auto& face : body) {
        std::vector<Vector3d> rest = kept(face, plane, sign);
        const bool is_off = std::any_of(rest.begin(), rest.end(),
                                        [&](const Vector3d& p) { return std::abs(plane.height_of(p)) > on_plane; });
        if (is_off && rest.size() >= 3) part.push_back(std::move(rest));
    }
    part.push_back(section(body, plane));
    return part;
}

double volume_of(const ConvexFaces& body, const Vector3d& inside)
{
    double volume = 0;
    for (const auto& face : body)
        for (std::size_t i = 2; i < face.size(); ++i)
            volume += std::abs((face[0] - inside).dot((face[i - 1] - inside).cross(face[i] - inside))) / 6;
    return volume;
}

/// A box round the hull's points, with room to spare.
ConvexFaces box_round(const Hull& hull)
{
    Vector3d low, high;
    for (Eigen::Index k = 0; k < 3; ++k) {
        const auto [from, to] = extent(hull, Vector3d::Unit(k));
        low(k) = from - 0.1;
        high(k) = to + 0.1;
    }
    ConvexFaces faces;
    for (Eigen::Index k = 0; k < 3; ++k)
        for (const bool is_high : {false, true}) {
            std::vector<Vector3d> ring;
            for (const auto& [a, b] : {std::pair{0, 0}, {1, 0}, {1, 1}, {0, 1}}) {
                Vector3d p = is_high ? high : low;
                const Eigen::Index i = (k + 1) % 3, j = (k + 2) % 3;
                p(i) = a == 1 ? high(i) : low(i);
                p(j) = b == 1 ? high(j) : low(j);
                ring.push_back(p);
            }
            faces.push_back(std::move(ring));
        }
    return faces;
}

} // namespace

std::vector<Vector3d> section(const ConvexFaces& body, const Plane& plane)
{
    std::vector<Vector3d> points;
    for (const auto& face : body) {
        for (std::size_t i = 0; i < face.size(); ++i) {
            const Vector3d &a = face[i], &b = face[(i + 1) % face.size()];
            const double ha = plane.height_of(a), hb = plane.height_of(b);
            if (std::abs(ha) <= on_plane)
                points.push_back(a);
            else if ((ha > on_plane && hb < -on_plane) || (ha < -on_plane && hb > on_plane))
                points.push_back(a + ha / (ha - hb) * (b - a));
        }
    }
    return in_order(std::move(points), plane.n);
}

Cells::Cells(const Cabinet& cabinet)
{
    const Hull inner = make_hull(cabinet.boards, Hull::Surface::Inner);
    if (inner.corners.empty()) return; // boards that enclose nothing
    cells_.push_back({box_round(inner), {}, Vector3d::Zero(), 0});
    for (int b = 0; b <= inner.bottom(); ++b) cut(plane_of(cabinet.board(b), -cabinet.board(b).thickness() / 2));
    const auto is_outside = [&](const Cell& cell) { return !contains(inner, mean_of(cell.faces)); };
    cells_.erase(std::remove_if(cells_.begin(), cells_.end(), is_outside), cells_.end());
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
        const Board& board = cabinet.boards[b];
        if (board.kind != Board::Kind::Brace) continue;
        braces_.push_back(static_cast<int>(b));
        for (const double side : {-0.5, 0.5}) cut(plane_of(board, side * board.thickness()));
    }
    for (std::size_t i = 0; i < cells_.size(); ++i) {
        cells_[i].middle = mean_of(cells_[i].faces);
        cells_[i].volume = volume_of(cells_[i].faces, cells_[i].middle);
        index_[cells_[i].is_beyond] = i;
    }
}

void Cells::cut(const Plane& plane)
{
    planes_.push_back(plane);
    std::vector<Cell> parts;
    for (Cell& cell : cells_) {
        double low = 0, high = 0;
        for (const auto& face : cell.faces)
            for (const Vector3d& p : face) {
                low = std::min(low, plane.height_of(p));
                high = std::max(high, plane.height_of(p));
            }
        if (low < -on_plane && high > on_plane) {
            Cell other{half(cell.faces, plane, 1), cell.is_beyond, {}, 0};
            other.is_beyond.push_back(true);
            parts.push_back(std::move(other));
            cell.faces = half(cell.faces, plane, -1);
            cell.is_beyond.push_back(false);
        } else {
            cell.is_beyond.push_back(high > -low);
        }
        parts.push_back(std::move(cell));
    }
    cells_ = std::move(parts);
}

std::optional<std::size_t> Cells::find(const std::vector<bool>& is_beyond) const
{
    const auto found = index_.find(is_beyond);
    return found == index_.end() ? std::nullopt : std::optional(found->second);
}

std::optional<std::size_t> Cells::at(const Vector3d& p) const
{
    std::vector<bool> is_beyond;
    for (const Plane& plane : planes_) is_beyond.push_back(plane.height_of(p) > 0);
    return find(is_beyond);
}

std::optional<std::size_t> Cells::beyond(std::size_t cell, std::size_t plane) const
{
    std::vector<bool> sides = cells_.at(cell).is_beyond;
    sides.at(plane) = !sides.at(plane);
    return find(sides);
}

std::vector<int> Cells::slabs_of(const Cell& cell) const
{
    std::vector<int> found;
    const std::size_t first = planes_.size() - 2 * braces_.size();
    for (std::size_t i = 0; i < braces_.size(); ++i)
        if (cell.is_beyond[first + 2 * i] && !cell.is_beyond[first + 2 * i + 1]) found.push_back(braces_[i]);
    return found;
}

} // namespace stillwall
