#include "mesh/core/cut_air.h"

#include "mesh/cabinet/error.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <utility>

namespace stillwall {
namespace {

constexpr double on_plane = 1e-9;   ///< [m]
constexpr double drawn_onto = 0.4;  ///< of the shortest edge: free corners move this far
constexpr double left_alone = 0.03; ///< of the shortest edge: corners this near count as on the plane
constexpr double least_shape = 0.1; ///< of an element that a moved corner may leave

using Edge = std::pair<int, int>;

Edge edge_of(int a, int b)
{
    return std::minmax(a, b);
}

std::size_t at(int index)
{
    return static_cast<std::size_t>(index);
}

/// Corners with their elements and shortest edges.
struct Surroundings
{
    explicit Surroundings(const AirMesh& mesh)
        : elements(at(mesh.n_nodes())), faces(at(mesh.n_nodes())),
          shortest(at(mesh.n_nodes()), std::numeric_limits<double>::infinity())
    {
        for (std::size_t t = 0; t < mesh.tets.size(); ++t) {
            const auto& tet = mesh.tets[t];
            for (std::size_t c = 0; c < 4; ++c) elements[at(tet[c])].push_back(t);
            for (const auto& [i, j] : tet10_edges) {
                const int a = tet[at(i)], b = tet[at(j)];
                const double length = (mesh.nodes.col(a) - mesh.nodes.col(b)).norm();
                shortest[at(a)] = std::min(shortest[at(a)], length);
                shortest[at(b)] = std::min(shortest[at(b)], length);
            }
        }
        for (std::size_t f = 0; f < mesh.faces.size(); ++f)
            for (std::size_t c = 0; c < 3; ++c) faces[at(mesh.faces[f].node[c])].push_back(f);
    }
    std::vector<std::vector<std::size_t>> elements, faces;
    std::vector<double> shortest;
};

/// Whether moving a corner along n leaves the boundary and the tags on it as they are: it lies inside the air, or in
/// the middle of a flat face of one thing, square to the plane. Edges with a curve in them stay.
bool is_free(const AirMesh& mesh, const Surroundings& around, int corner, const Vector3d& n)
{
    const auto& faces = around.faces[at(corner)];
    for (const std::size_t f : faces) {
        const AirMesh::Face &face = mesh.faces[f], &first = mesh.faces[faces.front()];
        const Vector3d normal = area_vector(mesh, face).normalized();
        if (face.on != first.on || face.board != first.board || face.side != first.side ||
            face.opening != first.opening || face.item != first.item || std::abs(normal.dot(n)) > 1e-9 ||
            (normal - area_vector(mesh, first).normalized()).norm() > 1e-9)
            return false;
    }
    for (const std::size_t t : around.elements[at(corner)]) {
        const auto& tet = mesh.tets[t];
        for (std::size_t e = 0; e < 6; ++e) {
            const int a = tet[at(tet10_edges[e][0])], b = tet[at(tet10_edges[e][1])];
            if ((a == corner || b == corner) &&
                (2 * mesh.nodes.col(tet[4 + e]) - mesh.nodes.col(a) - mesh.nodes.col(b)).norm() > 1e-12)
                return false;
        }
    }
    return true;
}

/// Puts the mid-edge nodes of the elements round a corner where they belong.
void straighten(AirMesh& mesh, const std::vector<std::size_t>& elements, int corner)
{
    for (const std::size_t t : elements) {
        const auto& tet = mesh.tets[t];
        for (std::size_t e = 0; e < 6; ++e) {
            const int a = tet[at(tet10_edges[e][0])], b = tet[at(tet10_edges[e][1])];
            if (a == corner || b == corner) mesh.nodes.col(tet[4 + e]) = (mesh.nodes.col(a) + mesh.nodes.col(b)) / 2;
        }
    }
}

/// Draws free corners onto planes[k]; those on an earlier plane stay there, others on their side of it.
void draw_onto(AirMesh& mesh, const std::vector<CuttingPlane>& planes, std::size_t k)
{
    const Surroundings around(mesh);
    for (int corner = 0; corner < mesh.n_nodes(); ++corner) {
        const auto& elements = around.elements[at(corner)];
        const double height = planes[k].height_of(mesh.nodes.col(corner));
        if (elements.empty() || std::abs(height) < on_plane ||
            std::abs(height) > drawn_onto * around.shortest[at(corner)] || !is_free(mesh, around, corner, planes[k].n))
            continue;
        const Vector3d before = mesh.nodes.col(corner), after = before - height * planes[k].n;
        const bool is_held =
            std::any_of(planes.begin(), planes.begin() + static_cast<std::ptrdiff_t>(k), [&](const auto& earlier) {
                const double h = earlier.height_of(before);
                return std::abs(h) < std::max(on_plane, left_alone * around.shortest[at(corner)]) ||
                       h * earlier.height_of(after) <= 0;
            });
        if (is_held) continue;
        mesh.nodes.col(corner) = after;
        straighten(mesh, elements, corner);
        const bool is_good = std::all_of(elements.begin(), elements.end(), [&](std::size_t t) {
            return shape(mesh, mesh.tets[t]) > least_shape && jacobian_ratio(mesh, mesh.tets[t]) > least_shape;
        });
        if (is_good) continue;
        mesh.nodes.col(corner) = before;
        straighten(mesh, elements, corner);
    }
}

/// One plane through the mesh.
class Cutter
{
public:
    Cutter(AirMesh& mesh, const CuttingPlane& plane) : mesh_(mesh), plane_(plane)
    {
        const Surroundings around(mesh);
        value_.assign(at(mesh.n_nodes()), 0);
        for (int a = 0; a < mesh.n_nodes(); ++a) {
            const double height = plane.height_of(mesh.nodes.col(a));
            if (!around.elements[at(a)].empty() &&
                std::abs(height) > std::max(on_plane, left_alone * around.shortest[at(a)]))
                value_[at(a)] = height;
            nodes_.emplace_back(mesh.nodes.col(a));
        }
    }

    void run()
    {
        for (const auto& tet : mesh_.tets)
            for (std::size_t e = 0; e < 6; ++e)
                middle_[edge_of(tet[at(tet10_edges[e][0])], tet[at(tet10_edges[e][1])])] = tet[4 + e];
        std::vector<std::array<int, 10>> tets;
        std::vector<int> chamber;
        for (std::size_t t = 0; t < mesh_.tets.size(); ++t) {
            cut_tet(mesh_.tets[t], tets);
            chamber.resize(tets.size(), mesh_.chamber[t]);
        }
        std::vector<AirMesh::Face> faces;
        for (const AirMesh::Face& face : mesh_.faces) cut_face(face, {face.node[0], face.node[1], face.node[2]}, faces);
        mesh_.tets = std::move(tets);
        mesh_.chamber = std::move(chamber);
        mesh_.faces = std::move(faces);
        keep_used_nodes();
    }

private:
    struct Part
    {
        std::array<int, 4> corner;
        std::array<Vector3d, 4> r; ///< in the coordinates of the element it is part of
    };

    [[nodiscard]] bool crosses(int a, int b) const { return value_[at(a)] * value_[at(b)] < 0; }

    /// Where on an edge the plane lies, 0 … 1, by the heights of its ends and its middle: the root of the parabola. It
    /// has one, as the ends lie on different sides.
    [[nodiscard]] static double place(double from, double middle, double to)
    {
        const double a = 2 * from - 4 * middle + 2 * to, b = 4 * middle - 3 * from - to;
        const double root = std::sqrt(std::max(0.0, b * b - 4 * a * from)), q = -(b + std::copysign(root, b)) / 2;
        const double t = from / q; // q ≠ 0: b = 0 and from · a < 0, or b ≠ 0
        return t > 0 && t < 1 ? t : q / a;
    }

    int add_node(const Vector3d& x)
    {
        nodes_.push_back(x);
        value_.push_back(0);
        return static_cast<int>(nodes_.size()) - 1;
    }

    /// Bisects at the crossing edge that comes first by its nodes, until none is left.
    void cut_tet(const std::array<int, 10>& tet, std::vector<std::array<int, 10>>& out)
    {
        Eigen::Matrix<double, 3, 10> X;
        for (std::size_t a = 0; a < 10; ++a) X.col(static_cast<Eigen::Index>(a)) = nodes_[at(tet[a])];
        std::vector<Part> stack{{{tet[0], tet[1], tet[2], tet[3]},
                                 {Vector3d::Zero(), Vector3d::UnitX(), Vector3d::UnitY(), Vector3d::UnitZ()}}};
        while (!stack.empty()) {
            const Part part = stack.back();
            stack.pop_back();
            int first = -1;
            for (int e = 0; e < 6; ++e) {
                const auto [i, j] = tet10_edges[at(e)];
                if (!crosses(part.corner[at(i)], part.corner[at(j)])) continue;
                if (first < 0 || edge_in(part, e) < edge_in(part, first)) first = e;
            }
            if (first < 0) {
                finish(part, X, out);
                continue;
            }
            const std::size_t i = at(tet10_edges[at(first)][0]), j = at(tet10_edges[at(first)][1]);
            const Vector3d middle = X * tet10_values((part.r[i] + part.r[j]) / 2);
            const double t = place(value_[at(part.corner[i])], plane_.height_of(middle), value_[at(part.corner[j])]);
            const Vector3d r = (1 - t) * part.r[i] + t * part.r[j];
            const auto [it, is_new] = crossing_.try_emplace(edge_of(part.corner[i], part.corner[j]), -1);
            if (is_new) it->second = add_node(X * tet10_values(r));
            for (const std::size_t replaced : {i, j}) {
                Part child = part;
                child.corner[replaced] = it->second;
                child.r[replaced] = r;
                stack.push_back(child);
            }
        }
    }

    [[nodiscard]] static Edge edge_in(const Part& part, int e)
    {
        return edge_of(part.corner[at(tet10_edges[at(e)][0])], part.corner[at(tet10_edges[at(e)][1])]);
    }

    void finish(const Part& part, const Eigen::Matrix<double, 3, 10>& X, std::vector<std::array<int, 10>>& out)
    {
        std::array<int, 10> tet{};
        for (std::size_t c = 0; c < 4; ++c) tet[c] = part.corner[c];
        for (std::size_t e = 0; e < 6; ++e) {
            const std::size_t i = at(tet10_edges[e][0]), j = at(tet10_edges[e][1]);
            const auto [it, is_new] = middle_.try_emplace(edge_of(tet[i], tet[j]), -1);
            if (is_new) it->second = add_node(X * tet10_values((part.r[i] + part.r[j]) / 2));
            tet[4 + e] = it->second;
        }
        out.push_back(tet);
    }

    /// The same on a triangle of the boundary; all nodes are there by now.
    void cut_face(const AirMesh::Face& face, const std::array<int, 3>& corner, std::vector<AirMesh::Face>& out) const
    {
        std::size_t first = 3;
        for (std::size_t e = 0; e < 3; ++e) {
            if (!crosses(corner[e], corner[(e + 1) % 3])) continue;
            if (first == 3 || edge_of(corner[e], corner[(e + 1) % 3]) < edge_of(corner[first], corner[(first + 1) % 3]))
                first = e;
        }
        if (first < 3) {
            const auto node = crossing_.find(edge_of(corner[first], corner[(first + 1) % 3]));
            if (node == crossing_.end()) throw MeshError("the air could not be cut: a face without its element");
            for (const std::size_t replaced : {first, (first + 1) % 3}) {
                std::array<int, 3> child = corner;
                child[replaced] = node->second;
                cut_face(face, child, out);
            }
            return;
        }
        out.push_back(face);
        for (std::size_t e = 0; e < 3; ++e) {
            const auto middle = middle_.find(edge_of(corner[e], corner[(e + 1) % 3]));
            if (middle == middle_.end()) throw MeshError("the air could not be cut: a face without its element");
            out.back().node[e] = corner[e];
            out.back().node[3 + e] = middle->second;
        }
    }

    /// Middles of edges that were cut have no element any more.
    void keep_used_nodes()
    {
        std::vector<int> number(nodes_.size(), -1);
        for (const auto& tet : mesh_.tets)
            for (const int node : tet) number[at(node)] = 0;
        int n = 0;
        for (std::size_t a = 0; a < nodes_.size(); ++a)
            if (number[a] == 0) number[a] = n++;
        mesh_.nodes.resize(3, n);
        for (std::size_t a = 0; a < nodes_.size(); ++a)
            if (number[a] >= 0) mesh_.nodes.col(number[a]) = nodes_[a];
        for (auto& tet : mesh_.tets)
            for (int& node : tet) node = number[at(node)];
        for (AirMesh::Face& face : mesh_.faces)
            for (int& node : face.node) node = number[at(node)];
    }

    AirMesh& mesh_;
    const CuttingPlane& plane_;
    std::vector<Vector3d> nodes_;
    std::vector<double> value_; ///< height above the plane at corners
    std::map<Edge, int> middle_, crossing_;
};

} // namespace

AirMesh cut_air(AirMesh mesh, const std::vector<CuttingPlane>& planes)
{
    for (std::size_t k = 0; k < planes.size(); ++k) {
        draw_onto(mesh, planes, k);
        Cutter(mesh, planes[k]).run();
    }
    return mesh;
}

} // namespace stillwall
