#include "tests/viz/box_scene.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <tuple>

namespace stillwall::viz::test {
namespace {

constexpr double W = BoxScene::width, D = BoxScene::depth, H = BoxScene::height;
constexpr int n_x = 8, n_y = 10, n_z = 14; // quads along the edges: 30 mm

/// A board spanned by two of the box's axes from its lower left corner, seen from its positive side.
struct Patch
{
    const char* name;
    Vector3d corner, along_s, along_t; ///< [m] whole sides; s × t = normal
    int n_s, n_t;
    enum class Hole
    {
        None,
        Round,
        Window
    } hole;
};

const std::array<Patch, 7>& patches()
{
    using Hole = Patch::Hole;
    static const std::array<Patch, 7> all{{
        {"front", {0, 0, 0}, {W, 0, 0}, {0, 0, H}, n_x, n_z, Hole::Round},
        {"right", {W, 0, 0}, {0, D, 0}, {0, 0, H}, n_y, n_z, Hole::None},
        {"back", {W, D, 0}, {-W, 0, 0}, {0, 0, H}, n_x, n_z, Hole::None},
        {"left", {0, D, 0}, {0, -D, 0}, {0, 0, H}, n_y, n_z, Hole::None},
        {"bottom", {0, D, 0}, {W, 0, 0}, {0, -D, 0}, n_x, n_y, Hole::None},
        {"top", {0, 0, H}, {W, 0, 0}, {0, D, 0}, n_x, n_y, Hole::None},
        {"shelf", {0, 0, H * 6 / n_z}, {W, 0, 0}, {0, D, 0}, n_x, n_y, Hole::Window},
    }};
    return all;
}

bool is_cut_out(const Patch& patch, int i, int j)
{
    if (patch.hole == Patch::Hole::Round) return i >= 3 && i < 5 && j >= 9 && j < 11;
    if (patch.hole == Patch::Hole::Window) return i >= 2 && i < 6 && j >= 3 && j < 7;
    return false;
}

/// Bends the square of 2 × 2 quads cut out of the front into a circle, fading out over the next row.
Vector2d rounded(const Patch& patch, const Vector2d& grid)
{
    if (patch.hole != Patch::Hole::Round) return grid;
    const Vector2d centre(4, 10), from_centre = grid - centre;
    const double ring = from_centre.cwiseAbs().maxCoeff(); // 1 on the square, 2 where the bending ends
    if (ring < 1 || ring >= 2) return grid;
    constexpr double radius = 1.25; // [quads]
    const Vector2d circle = centre + radius * from_centre.normalized();
    return (2 - ring) * circle + (ring - 1) * (centre + 2 / ring * from_centre);
}

class NodeTable
{
public:
    int number(const Vector3d& x)
    {
        const auto key = std::tuple(std::lround(x.x() * 1e7), std::lround(x.y() * 1e7), std::lround(x.z() * 1e7));
        const auto [at, is_new] = numbers_.try_emplace(key, static_cast<int>(nodes_.size()));
        if (is_new) nodes_.push_back(x);
        return at->second;
    }
    [[nodiscard]] const std::vector<Vector3d>& nodes() const { return nodes_; }

private:
    std::map<std::tuple<long, long, long>, int> numbers_;
    std::vector<Vector3d> nodes_;
};

} // namespace

BoxScene::BoxScene()
{
    // Node offsets in half quads, in the order of shell_mesh.h.
    constexpr std::array<std::array<int, 2>, 9> offset{
        {{0, 0}, {2, 0}, {2, 2}, {0, 2}, {1, 0}, {2, 1}, {1, 2}, {0, 1}, {1, 1}}};
    NodeTable table;
    for (std::size_t b = 0; b < patches().size(); ++b) {
        const Patch& patch = patches()[b];
        scene.board_names.emplace_back(patch.name);
        scene.board_is_brace.push_back(patch.hole == Patch::Hole::Window);
        for (int j = 0; j < patch.n_t; ++j)
            for (int i = 0; i < patch.n_s; ++i) {
                if (is_cut_out(patch, i, j)) continue;
                ShellMesh::Quad quad;
                quad.board = static_cast<int>(b);
                for (std::size_t a = 0; a < 9; ++a) {
                    const Vector2d p = rounded(patch, {i + offset[a][0] / 2.0, j + offset[a][1] / 2.0});
                    quad.node[a] = table.number(patch.corner + p.x() / patch.n_s * patch.along_s +
                                                p.y() / patch.n_t * patch.along_t);
                }
                mesh.quads.push_back(quad);
            }
    }
    mesh.nodes.resize(3, static_cast<Eigen::Index>(table.nodes().size()));
    for (std::size_t i = 0; i < table.nodes().size(); ++i)
        mesh.nodes.col(static_cast<Eigen::Index>(i)) = table.nodes()[i];
    scene.mesh = &mesh;
}

Eigen::Matrix3Xd waves_on_boards(const BoxScene& box, const std::array<BoardWave, 7>& waves)
{
    using std::numbers::pi;
    Eigen::Matrix3Xd displacement = Eigen::Matrix3Xd::Zero(3, box.mesh.n_nodes());
    for (const ShellMesh::Quad& quad : box.mesh.quads) {
        const auto b = static_cast<std::size_t>(quad.board);
        const Patch& patch = patches()[b];
        const Vector3d normal = patch.along_s.cross(patch.along_t).normalized();
        for (const int node : quad.node) {
            const Vector3d x = box.mesh.nodes.col(node) - patch.corner;
            const double s = x.dot(patch.along_s) / patch.along_s.squaredNorm();
            const double t = x.dot(patch.along_t) / patch.along_t.squaredNorm();
            const double u = waves[b].amplitude * std::sin(waves[b].m * pi * s) * std::sin(waves[b].n * pi * t);
            const Vector3d in_plane = displacement.col(node) - displacement.col(node).dot(normal) * normal;
            displacement.col(node) = in_plane + u * normal; // set, not added: a node belongs to several quads
        }
    }
    return displacement;
}

} // namespace stillwall::viz::test
