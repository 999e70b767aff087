#include "mesh/gmsh/internal/outer_layout.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace stillwall::mesh {
namespace {

using On = OuterMesh::Face::On;
constexpr double growth = 0.6;    ///< of the size per distance from a ring: neighbours differ by less than 2
constexpr double most_narrow = 4; ///< sides along a narrow wall, in its widths
constexpr int samples = 256;      ///< of the size along an edge

class Builder
{
public:
    Builder(const Cabinet& cabinet, const OuterMeshOptions& options)
        : cabinet_(cabinet),
          hull_(make_hull(cabinet.boards, Hull::Surface::Outer)), layout_{{}, {}, OuterSizes(options.element_size)},
          element_size_(options.element_size)
    {
        for (const auto& corner : hull_.corners)
            layout_.vertices.insert(layout_.vertices.end(), corner.begin(), corner.end());
        for (int b = 0; b <= hull_.bottom(); ++b) {
            const Board& board = cabinet.board(b);
            faces_.emplace_back();
            Polygon face;
            for (const auto& [k, level] : face_corners(hull_, b)) {
                faces_.back().push_back(2 * k + level);
                face.push_back(board.frame.to_board(layout_.vertices[static_cast<std::size_t>(2 * k + level)]));
            }
            closures_.push_back(closures(board, face, options));
            for (const Closure& closure : closures_.back()) {
                layout_.sizes.add(lifted(board, closure.rim));
                if (!closure.cone.points.empty()) layout_.sizes.add(lifted(board, closure.cone));
            }
        }
    }

    OuterLayout build()
    {
        for (std::size_t b = 0; b < faces_.size(); ++b) {
            OuterRegion region;
            region.board = static_cast<int>(b);
            region.loops.push_back(divided(b, region.corner));
            std::vector<OuterRegion> holes;
            for (const Closure& closure : closures_[b]) {
                const std::vector<int> rim = close(closure, region.board, holes);
                region.loops.emplace_back(rim.rbegin(), rim.rend());
            }
            layout_.regions.push_back(std::move(region));
            layout_.regions.insert(layout_.regions.end(), holes.begin(), holes.end());
        }
        return std::move(layout_);
    }

private:
    /// Points of a ring on the board's outer face.
    static std::vector<Vector3d> lifted(const Board& board, const Ring& ring)
    {
        std::vector<Vector3d> result;
        for (const Vector2d& p : ring.points)
            result.emplace_back(board.frame.to_space(p) + board.thickness() / 2 * board.frame.n);
        return result;
    }

    std::vector<int> add(const Board& board, const Ring& ring)
    {
        std::vector<int> result;
        for (const Vector3d& p : lifted(board, ring)) {
            result.push_back(static_cast<int>(layout_.vertices.size()));
            layout_.vertices.push_back(p);
        }
        return result;
    }

    /// The regions that close a hole; returns its rim.
    std::vector<int> close(const Closure& closure, int b, std::vector<OuterRegion>& regions)
    {
        const Board& board = cabinet_.board(b);
        OuterRegion whole{b, closure.opening, closure.on, {add(board, closure.rim)}, closure.rim.corner, false};
        std::vector<int> rim = whole.loops[0];
        if (!closure.cone.points.empty()) {
            const std::vector<int> cone = add(board, closure.cone);
            regions.push_back({b, closure.opening, On::Source, {cone}, closure.cone.corner, false});
            whole.loops.emplace_back(cone.rbegin(), cone.rend());
            whole.is_ring = closure.is_scaled;
        }
        regions.push_back(std::move(whole));
        return rim;
    }

    [[nodiscard]] double length(int from, int to) const
    {
        return (layout_.vertices[static_cast<std::size_t>(to)] - layout_.vertices[static_cast<std::size_t>(from)])
            .norm();
    }

    /// The longest side allowed on an edge: a narrow wall is divided along its length. [m]
    [[nodiscard]] double narrowness(int from, int to) const
    {
        double size = element_size_;
        for (int w = 0; w < hull_.n_walls; ++w) {
            const std::vector<int>& face = faces_[static_cast<std::size_t>(w)];
            for (std::size_t i = 0; i < 4; ++i) {
                if (std::minmax(face[i], face[(i + 1) % 4]) != std::minmax(from, to)) continue;
                const double width =
                    std::min(length(face[(i + 1) % 4], face[(i + 2) % 4]), length(face[(i + 3) % 4], face[i]));
                size = std::min(size, most_narrow * width);
            }
        }
        return size;
    }

    /// Vertices strictly between the ends of a hull's edge, in sides of the wanted lengths.
    const std::vector<int>& between(int from, int to)
    {
        const auto [it, is_new] = edges_.try_emplace({from, to});
        if (!is_new) return it->second;
        const Vector3d start = layout_.vertices[static_cast<std::size_t>(from)],
                       way = layout_.vertices[static_cast<std::size_t>(to)] - start;
        const double limit = narrowness(from, to), step = way.norm() / samples;
        std::vector<double> count{0}; // of sides up to each sample
        for (int k = 0; k < samples; ++k)
            count.push_back(count.back() + step / std::min(limit, layout_.sizes.at(start + way * (k + 0.5) / samples)));
        const int n = std::max(1, static_cast<int>(std::lround(count.back())));
        for (int j = 1, k = 0; j < n; ++j) {
            const double wanted = count.back() * j / n;
            while (count[static_cast<std::size_t>(k) + 1] < wanted) ++k;
            const double low = count[static_cast<std::size_t>(k)], high = count[static_cast<std::size_t>(k) + 1];
            it->second.push_back(static_cast<int>(layout_.vertices.size()));
            layout_.vertices.emplace_back(start + way * (k + (wanted - low) / (high - low)) / samples);
        }
        return it->second;
    }

    /// The face's edge with all its vertices.
    std::vector<int> divided(std::size_t b, std::array<int, 4>& corner)
    {
        std::vector<int> loop;
        const std::vector<int>& face = faces_[b];
        for (std::size_t i = 0; i < face.size(); ++i) {
            const int from = face[i], to = face[(i + 1) % face.size()];
            if (face.size() == 4) corner[i] = static_cast<int>(loop.size());
            loop.push_back(from);
            const std::vector<int>& inner = between(std::min(from, to), std::max(from, to));
            if (from < to)
                loop.insert(loop.end(), inner.begin(), inner.end());
            else
                loop.insert(loop.end(), inner.rbegin(), inner.rend());
        }
        return loop;
    }

    const Cabinet& cabinet_;
    Hull hull_;
    std::vector<std::vector<int>> faces_;        ///< [board] its corners among the vertices, anticlockwise
    std::vector<std::vector<Closure>> closures_; ///< [board]
    std::map<std::pair<int, int>, std::vector<int>> edges_;
    OuterLayout layout_;
    double element_size_;
};

} // namespace

void OuterSizes::add(const std::vector<Vector3d>& ring)
{
    double size = 0;
    for (std::size_t i = 0; i < ring.size(); ++i) size += (ring[(i + 1) % ring.size()] - ring[i]).norm();
    size /= static_cast<double>(ring.size());
    for (std::size_t i = 0; i < ring.size(); ++i)
        sides_.push_back({ring[i], ring[(i + 1) % ring.size()] - ring[i], size});
}

double OuterSizes::at(const Vector3d& p) const
{
    double size = element_size_;
    for (const Side& side : sides_) {
        const double t = std::clamp((p - side.from).dot(side.way) / side.way.squaredNorm(), 0.0, 1.0);
        size = std::min(size, side.size + growth * (p - side.from - t * side.way).norm());
    }
    return size;
}

OuterLayout lay_out(const Cabinet& cabinet, const OuterMeshOptions& options)
{
    return Builder(cabinet, options).build();
}

} // namespace stillwall::mesh
