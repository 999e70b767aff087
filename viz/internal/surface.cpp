#include "viz/internal/surface.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>
#include <utility>

namespace stillwall::viz {
namespace {

// Quads from which on two cuts a side are smooth enough for the eye (the pieces are then 10 px or less).
constexpr std::size_t many_quads = 1500;

/// Values of the quadratic Lagrange polynomials on −1, 0, 1.
std::array<double, 3> lagrange(double x)
{
    return {x * (x - 1) / 2, 1 - x * x, x * (x + 1) / 2};
}
std::array<double, 3> lagrange_slope(double x)
{
    return {x - 0.5, -2 * x, x + 0.5};
}

// Place (column, row) of the nine nodes in the 3 × 3 tensor grid; see the drawing in shell_mesh.h.
constexpr std::array<std::array<std::size_t, 2>, 9> grid{
    {{0, 0}, {2, 0}, {2, 2}, {0, 2}, {1, 0}, {2, 1}, {1, 2}, {0, 1}, {1, 1}}};

Eigen::Matrix<double, 9, 1> shape_functions(const std::array<double, 3>& in_r, const std::array<double, 3>& in_s)
{
    Eigen::Matrix<double, 9, 1> values;
    for (int a = 0; a < 9; ++a) {
        const auto& [column, row] = grid[static_cast<std::size_t>(a)];
        values(a) = in_r[column] * in_s[row];
    }
    return values;
}

Eigen::Matrix<double, 9, Eigen::Dynamic> point_weights(int cuts)
{
    Eigen::Matrix<double, 9, Eigen::Dynamic> weights(9, (cuts + 1) * (cuts + 1));
    for (int j = 0; j <= cuts; ++j)
        for (int i = 0; i <= cuts; ++i)
            weights.col(j * (cuts + 1) + i) =
                shape_functions(lagrange(2.0 * i / cuts - 1), lagrange(2.0 * j / cuts - 1));
    return weights;
}

Eigen::Matrix<double, 3, 9> gather(const Eigen::Matrix3Xd& nodes, const ShellMesh::Quad& quad)
{
    Eigen::Matrix<double, 3, 9> x;
    for (int a = 0; a < 9; ++a) x.col(a) = nodes.col(quad.node[static_cast<std::size_t>(a)]);
    return x;
}

/// Tangent cross products at the nine nodes, shape (3, 9); not normalised.
Eigen::Matrix<double, 3, 9> nodal_normals(const Eigen::Matrix<double, 3, 9>& x)
{
    Eigen::Matrix<double, 3, 9> normals;
    for (int a = 0; a < 9; ++a) {
        const auto& [column, row] = grid[static_cast<std::size_t>(a)];
        const double r = static_cast<double>(column) - 1, s = static_cast<double>(row) - 1;
        const Vector3d along_r = x * shape_functions(lagrange_slope(r), lagrange(s));
        const Vector3d along_s = x * shape_functions(lagrange(r), lagrange_slope(s));
        normals.col(a) = along_r.cross(along_s);
    }
    return normals;
}

Eigen::Matrix3Xd interpolate(const Surface& surface, const Eigen::Matrix3Xd& nodes)
{
    Eigen::Matrix3Xd points(3, surface.n_points());
    const int n = surface.points_per_quad();
    for (int q = 0; q < static_cast<int>(surface.mesh->quads.size()); ++q)
        points.middleCols(q * n, n) = gather(nodes, surface.mesh->quads[static_cast<std::size_t>(q)]) * surface.weights;
    return points;
}

using NodePair = std::pair<int, int>;

NodePair ordered(int a, int b)
{
    return {std::min(a, b), std::max(a, b)};
}

NodePair side_nodes(const ShellMesh& mesh, const QuadSide& side)
{
    const auto& node = mesh.quads[static_cast<std::size_t>(side.quad)].node;
    return ordered(node[static_cast<std::size_t>(side.side)], node[static_cast<std::size_t>((side.side + 1) % 4)]);
}

/// Sorts the sides of each board's quads into rims, corners, contacts and ribs.
void find_lines(Surface& surface)
{
    std::vector<std::map<NodePair, std::pair<QuadSide, int>>> sides(surface.boards.size());
    std::map<NodePair, int> n_rims; // over all boards
    for (std::size_t b = 0; b < surface.boards.size(); ++b) {
        for (const int q : surface.boards[b].quads)
            for (int s = 0; s < 4; ++s) {
                auto& [side, uses] = sides[b][side_nodes(*surface.mesh, {q, s})];
                side = {q, s};
                ++uses;
            }
        for (const auto& [nodes, entry] : sides[b]) {
            if (entry.second != 1) continue;
            surface.boards[b].rim.push_back(entry.first);
            ++n_rims[nodes];
        }
    }
    std::set<NodePair> rib_nodes;
    for (const auto& edges : surface.mesh->rib_edges)
        for (const auto& edge : edges) rib_nodes.insert(ordered(edge.front(), edge.back()));
    for (std::size_t b = 0; b < surface.boards.size(); ++b)
        for (const auto& [nodes, entry] : sides[b]) {
            const auto rims = n_rims.find(nodes);
            if (rims != n_rims.end() && entry.second > 1) surface.boards[b].contacts.push_back(entry.first);
            if (rims != n_rims.end() && entry.second == 1 && rims->second > 1)
                surface.boards[b].corners.push_back(entry.first);
            if (rib_nodes.contains(nodes)) surface.boards[b].ribs.push_back(entry.first);
        }
}

/// Braces have no outside: their positive side is the one a viewer at the front right above sees.
bool points_away(const Vector3d& normal)
{
    Eigen::Index axis = 0;
    normal.cwiseAbs().maxCoeff(&axis);
    return axis == 1 ? normal.y() > 0 : normal(axis) < 0;
}

void find_axes(Surface& surface, BoardShape& board)
{
    const ShellMesh& mesh = *surface.mesh;
    Vector3d sum = Vector3d::Zero();
    for (const int q : board.quads)
        sum += nodal_normals(gather(mesh.nodes, mesh.quads[static_cast<std::size_t>(q)])).rowwise().sum();
    board.normal = sum.normalized();
    if (board.is_brace && points_away(board.normal)) board.normal = -board.normal;

    // Upright boards stand as in the cabinet; flat ones lie with the back at the top of the drawing.
    const bool is_flat = std::abs(board.normal.z()) > 0.9;
    const Vector3d wanted_up = is_flat ? Vector3d::UnitY() : Vector3d::UnitZ();
    board.right = wanted_up.cross(board.normal).normalized();
    board.up = board.normal.cross(board.right);

    Vector3d low = Vector3d::Constant(std::numeric_limits<double>::max()), high = -low;
    for (const int q : board.quads)
        for (const int node : mesh.quads[static_cast<std::size_t>(q)].node) {
            const Vector3d x = mesh.nodes.col(node);
            const Vector3d local(x.dot(board.right), x.dot(board.up), x.dot(board.normal));
            low = low.cwiseMin(local);
            high = high.cwiseMax(local);
        }
    board.low = low.x() * board.right + low.y() * board.up + low.z() * board.normal;
    board.width = high.x() - low.x();
    board.height = high.y() - low.y();
}

void number_slots(Surface& surface)
{
    std::map<NodePair, int> numbers;
    for (const ShellMesh::Quad& quad : surface.mesh->quads) {
        std::array<int, 9> slots{};
        for (std::size_t a = 0; a < 9; ++a)
            slots[a] = numbers.try_emplace({quad.board, quad.node[a]}, static_cast<int>(numbers.size())).first->second;
        surface.slots.push_back(slots);
    }
    surface.n_slots = static_cast<int>(numbers.size());
}

/// Unit normals of a deformed mesh at all points, averaged over the quads of a board around each node.
Eigen::Matrix3Xd smooth_normals(const Surface& surface, const Eigen::Matrix3Xd& nodes)
{
    const auto& quads = surface.mesh->quads;
    Eigen::Matrix3Xd sums = Eigen::Matrix3Xd::Zero(3, surface.n_slots);
    for (std::size_t q = 0; q < quads.size(); ++q) {
        const auto normals = nodal_normals(gather(nodes, quads[q]));
        for (std::size_t a = 0; a < 9; ++a)
            sums.col(surface.slots[q][a]) += normals.col(static_cast<int>(a)).normalized();
    }
    Eigen::Matrix3Xd normals(3, surface.n_points());
    const int n = surface.points_per_quad();
    Eigen::Matrix<double, 3, 9> at_nodes;
    for (std::size_t q = 0; q < quads.size(); ++q) {
        for (std::size_t a = 0; a < 9; ++a)
            at_nodes.col(static_cast<int>(a)) = sums.col(surface.slots[q][a]).normalized();
        normals.middleCols(static_cast<int>(q) * n, n) = (at_nodes * surface.weights).colwise().normalized();
    }
    return normals;
}

/// The sign that makes the largest value positive. In shapes that are their own mirror image up to sign the
/// largest and the smallest value tie but for round-off: there the first of the extreme points decides.
double drawn_sign(const Eigen::VectorXd& value)
{
    const double nearly_largest = 0.99 * value.cwiseAbs().maxCoeff();
    const auto first =
        std::find_if(value.begin(), value.end(), [&](double v) { return std::abs(v) >= nearly_largest; });
    return first != value.end() && *first < 0 ? -1 : 1;
}

} // namespace

int Surface::side_point(const QuadSide& side, int k) const
{
    const int last = cuts, row = cuts + 1;
    const int first = side.quad * points_per_quad();
    switch (side.side) {
    case 0:
        return first + k;
    case 1:
        return first + k * row + last;
    case 2:
        return first + last * row + (last - k);
    default:
        return first + (last - k) * row;
    }
}

Surface make_surface(const Scene& scene)
{
    Surface surface;
    surface.mesh = scene.mesh;
    surface.cuts = scene.mesh->quads.size() > many_quads ? 2 : 4;
    surface.weights = point_weights(surface.cuts);
    surface.boards.resize(scene.board_names.size());
    for (std::size_t b = 0; b < surface.boards.size(); ++b)
        surface.boards[b].is_brace = !scene.board_is_brace.empty() && scene.board_is_brace[b];
    for (std::size_t q = 0; q < scene.mesh->quads.size(); ++q)
        surface.boards[static_cast<std::size_t>(scene.mesh->quads[q].board)].quads.push_back(static_cast<int>(q));
    for (BoardShape& board : surface.boards)
        if (!board.quads.empty()) find_axes(surface, board);
    find_lines(surface);
    number_slots(surface);
    const auto& nodes = scene.mesh->nodes;
    const Vector3d sides = nodes.rowwise().maxCoeff() - nodes.rowwise().minCoeff();
    const double nothing = 1e-3 * sides.maxCoeff(); // a single plate has no depth
    surface.smallest_side = (sides.array() > nothing).select(sides, sides.maxCoeff()).minCoeff();
    surface.rest = interpolate(surface, nodes);
    return surface;
}

Shape make_shape(const Surface& surface, const Eigen::Matrix3Xd& displacement, double fraction)
{
    const auto& quads = surface.mesh->quads;
    const int n = surface.points_per_quad();
    const double largest = std::sqrt(displacement.colwise().squaredNorm().maxCoeff());
    const double unit = largest > 0 ? 1 / largest : 0; // a mode without motion is drawn at rest

    Shape shape;
    shape.value.resize(surface.n_points());
    for (std::size_t q = 0; q < quads.size(); ++q) {
        const Vector3d normal = surface.boards[static_cast<std::size_t>(quads[q].board)].normal;
        const Eigen::Matrix<double, 1, 9> along = unit * normal.transpose() * gather(displacement, quads[q]);
        shape.value.segment(static_cast<int>(q) * n, n) = (along * surface.weights).transpose();
    }
    const double sign = drawn_sign(shape.value);
    shape.value *= sign;

    shape.nodes = surface.mesh->nodes + sign * fraction * surface.smallest_side * unit * displacement;
    shape.points = interpolate(surface, shape.nodes);
    shape.normals = smooth_normals(surface, shape.nodes);
    for (const BoardShape& board : surface.boards) {
        double peak = 0;
        for (const int q : board.quads) peak = std::max(peak, shape.value.segment(q * n, n).cwiseAbs().maxCoeff());
        shape.peak.push_back(peak);
    }
    return shape;
}

} // namespace stillwall::viz
