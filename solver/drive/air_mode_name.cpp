#include "solver/drive/air_mode_name.h"

#include <Eigen/Geometry>

#include <array>
#include <cmath>
#include <numbers>

namespace stillwall::solver {
namespace {

using Eigen::VectorXd;

constexpr int most_halves = 8;

std::string waves(int halves)
{
    constexpr std::array<const char*, most_halves> words = {"half a wave", "a whole wave", "1 1/2 waves", "2 waves",
                                                            "2 1/2 waves", "3 waves",      "3 1/2 waves", "4 waves"};
    return words[static_cast<std::size_t>(halves - 1)];
}

/// Volume that each node stands for.
VectorXd node_volumes(const AirMesh& mesh)
{
    VectorXd volume = VectorXd::Zero(mesh.n_nodes());
    for (const auto& tet : mesh.tets) {
        const auto corner = [&](std::size_t i) { return Vector3d(mesh.nodes.col(tet[i])); };
        const Vector3d a = corner(1) - corner(0), b = corner(2) - corner(0), c = corner(3) - corner(0);
        const double v = std::abs(a.cross(b).dot(c)) / 6;
        for (const int n : tet) volume[n] += v / 10;
    }
    return volume;
}

} // namespace

std::string air_mode_name(const AirMesh& mesh, const VectorXd& p)
{
    const VectorXd weight = node_volumes(mesh);
    const double mean = weight.dot(p) / weight.sum(), all = weight.dot(p.cwiseAbs2());
    if (mean * mean * weight.sum() > 0.95 * all) return "air spring";
    const Eigen::Vector3d low = mesh.nodes.rowwise().minCoeff(), size = mesh.nodes.rowwise().maxCoeff() - low;
    std::array<std::array<VectorXd, most_halves + 1>, 3> wave;
    for (int axis = 0; axis < 3; ++axis)
        for (int h = 0; h <= most_halves; ++h)
            wave[static_cast<std::size_t>(axis)][static_cast<std::size_t>(h)] =
                ((mesh.nodes.row(axis).transpose().array() - low[axis]) * (h * std::numbers::pi / size[axis])).cos();
    double best = 0;
    std::array<std::size_t, 3> halves{};
    for (std::size_t l = 0; l <= most_halves; ++l)
        for (std::size_t m = 0; m + l <= most_halves; ++m)
            for (std::size_t n = 0; n + m + l <= most_halves; ++n) {
                if (l + m + n == 0) continue;
                const VectorXd shape = wave[0][l].cwiseProduct(wave[1][m]).cwiseProduct(wave[2][n]);
                const double overlap = weight.dot(shape.cwiseProduct(p));
                const double share = overlap * overlap / (weight.dot(shape.cwiseAbs2()) * all);
                if (share > best) best = share, halves = {l, m, n};
            }
    if (best < 0.5) return "air: a wave of its own";
    std::string text;
    constexpr std::array<const char*, 3> along = {"width", "depth", "height"};
    for (const std::size_t axis : {2u, 1u, 0u})
        if (halves[axis] > 0)
            text +=
                (text.empty() ? "air: " : ", ") + waves(static_cast<int>(halves[axis])) + " along the " + along[axis];
    return text;
}

} // namespace stillwall::solver
