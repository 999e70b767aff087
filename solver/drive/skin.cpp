#include "solver/drive/skin.h"

#include "mesh/core/shell_locator.h"
#include "solver/air/face_points.h"

#include <Eigen/Geometry>

#include <cmath>
#include <stdexcept>

namespace stillwall::solver {
namespace {

using Eigen::Index;
using Triplets = std::vector<Eigen::Triplet<double>>;

/// Direction cosines and arms [m] below this are round-off of the faces' normals; left in, they would fill the rows.
constexpr double round_off = 1e-12;

/// Index into Structure::taps of each board's openings: [board][opening], −1 without an insert.
std::vector<std::vector<int>> tap_numbers(const Cabinet& cabinet, const Structure& structure)
{
    std::vector<std::vector<int>> numbers;
    int n = 0;
    for (const Board& board : cabinet.boards) {
        auto& of_board = numbers.emplace_back();
        for (const Opening& opening : board.openings)
            of_board.push_back(opening.insert.kind == InsertPlan::Kind::None ? -1 : n++);
    }
    if (n != static_cast<int>(structure.taps.size()))
        throw std::logic_error("the structure belongs to another cabinet");
    return numbers;
}

/// Writes rows of motion along a normal.
class MotionRows
{
public:
    MotionRows(const Cabinet& cabinet, const ShellMesh& mesh, const Structure& structure)
        : cabinet_(cabinet), mesh_(mesh), structure_(structure), locator_(cabinet, mesh),
          taps_(tap_numbers(cabinet, structure))
    {
    }

    void add(int row, const SkinPoint& point, Triplets& entries) const
    {
        const auto& of_board = taps_.at(static_cast<std::size_t>(point.board));
        const int tap = point.opening ? of_board.at(static_cast<std::size_t>(*point.opening)) : -1;
        if (tap < 0)
            add_board(row, point, entries);
        else
            add_insert(row, point, structure_.taps[static_cast<std::size_t>(tap)], entries);
    }

private:
    /// n·u₀ + n·(θ₀ × a) = n·u₀ + (a × n)·θ₀ with the arm a = x − x₀.
    void add_board(int row, const SkinPoint& point, Triplets& entries) const
    {
        const ShellPlace place = locator_.nearest(point.board, point.at);
        const auto N = quad9_values(place.r, place.s);
        const auto q = static_cast<std::size_t>(place.quad);
        Vector3d foot = Vector3d::Zero();
        for (std::size_t a = 0; a < 9; ++a) foot += N[static_cast<Index>(a)] * mesh_.nodes.col(mesh_.quads[q].node[a]);
        Eigen::Matrix<double, 6, 1> weights;
        weights << point.normal, (point.at - foot).cross(point.normal);
        for (std::size_t a = 0; a < 9; ++a) {
            const double share = N[static_cast<Index>(a)];
            if (std::abs(share) < round_off) continue;
            for (int i = 0; i < 6; ++i)
                if (std::abs(weights[i]) > round_off)
                    entries.emplace_back(row, 6 * structure_.base_nodes[q][a] + i, share * weights[i]);
        }
    }

    void add_insert(int row, const SkinPoint& point, const RimTap& tap, Triplets& entries) const
    {
        const double cosine = point.normal.dot(cabinet_.board(point.board).frame.n);
        if (std::abs(cosine) < round_off) return;
        for (std::size_t k = 0; k < tap.nodes.size(); ++k)
            for (int i = 0; i < 6; ++i) {
                const double share = tap.row[6 * static_cast<Index>(k) + i];
                if (share != 0) entries.emplace_back(row, 6 * tap.nodes[k] + i, cosine * share);
            }
    }

    const Cabinet& cabinet_;
    const ShellMesh& mesh_;
    const Structure& structure_;
    ShellLocator locator_;
    std::vector<std::vector<int>> taps_;
};

RowMatrix sparse(Index rows, Index columns, const Triplets& entries)
{
    RowMatrix matrix(rows, columns);
    matrix.setFromTriplets(entries.begin(), entries.end());
    return matrix;
}

Index n_unknowns(const Structure& structure)
{
    return 6 * structure.nodes.cols();
}

/// What a face of the air moves with; nothing for what stands still.
std::optional<SkinPoint> mover(const AirMesh::Face& face)
{
    using On = AirMesh::Face::On;
    SkinPoint point;
    point.board = face.board;
    if (face.on == On::Rod || face.on == On::Mouth) return std::nullopt;
    if (face.on == On::Hole || face.on == On::Body) point.opening = face.opening;
    return point;
}

} // namespace

RowMatrix normal_motion(const Cabinet& cabinet, const ShellMesh& mesh, const Structure& structure,
                        const std::vector<SkinPoint>& points)
{
    const MotionRows rows(cabinet, mesh, structure);
    Triplets entries;
    entries.reserve(12 * points.size());
    for (std::size_t p = 0; p < points.size(); ++p) rows.add(static_cast<int>(p), points[p], entries);
    return sparse(static_cast<Index>(points.size()), n_unknowns(structure), entries);
}

RowMatrix air_coupling(const Cabinet& cabinet, const ShellMesh& shell, const Structure& structure, const AirMesh& air)
{
    std::vector<SkinPoint> points;
    Triplets weights; // of the points on the air's nodes
    for (const AirMesh::Face& face : air.faces) {
        std::optional<SkinPoint> point = mover(face);
        if (!point) continue;
        for (const internal::FacePoint& q : internal::face_points(air, face)) {
            const double area = q.dA.norm();
            point->at = q.at;
            point->normal = q.dA / area;
            for (std::size_t a = 0; a < 6; ++a)
                weights.emplace_back(face.node[a], static_cast<int>(points.size()), area * q.N[static_cast<Index>(a)]);
            points.push_back(*point);
        }
    }
    return sparse(air.n_nodes(), static_cast<Index>(points.size()), weights) *
           normal_motion(cabinet, shell, structure, points);
}

RowMatrix outer_motion(const Cabinet& cabinet, const ShellMesh& shell, const Structure& structure,
                       const OuterMesh& outer)
{
    std::vector<SkinPoint> points;
    Triplets weights; // of the points in each face's mean
    for (std::size_t f = 0; f < outer.faces.size(); ++f) {
        const OuterMesh::Face& face = outer.faces[f];
        const auto on_face = internal::face_points(outer, face);
        double total = 0;
        for (const auto& p : on_face) total += p.dA.norm();
        for (const auto& p : on_face) {
            const double area = p.dA.norm();
            weights.emplace_back(static_cast<int>(f), static_cast<int>(points.size()), area / total);
            points.push_back({p.at, p.dA / area, face.board,
                              face.on == OuterMesh::Face::On::Board ? std::nullopt : std::optional(face.opening)});
        }
    }
    return sparse(static_cast<Index>(outer.faces.size()), static_cast<Index>(points.size()), weights) *
           normal_motion(cabinet, shell, structure, points);
}

} // namespace stillwall::solver
