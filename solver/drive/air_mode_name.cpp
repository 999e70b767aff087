#include "solver/drive/air_mode_name.h"

#include <Eigen/Geometry>

#include <array>
#include <cmath>
#include <numbers>

namespace stillwall::solver {
namespace {

using Eigen::MatrixXd;
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

using Halves = std::array<int, 3>; ///< half waves along width, depth, height

/// cos of h half waves along each axis at the nodes: [axis][h].
using Waves = std::array<std::array<VectorXd, most_halves + 1>, 3>;

Waves waves_over(const AirMesh& mesh)
{
    const Vector3d low = mesh.nodes.rowwise().minCoeff(), size = mesh.nodes.rowwise().maxCoeff() - low;
    Waves wave;
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const auto a = static_cast<Eigen::Index>(axis);
        for (int h = 0; h <= most_halves; ++h)
            wave[axis][static_cast<std::size_t>(h)] =
                ((mesh.nodes.row(a).transpose().array() - low[a]) * (h * std::numbers::pi / size[a])).cos();
    }
    return wave;
}

std::vector<Halves> all_halves()
{
    std::vector<Halves> all;
    for (int l = 0; l <= most_halves; ++l)
        for (int m = 0; m + l <= most_halves; ++m)
            for (int n = l + m == 0 ? 1 : 0; n + m + l <= most_halves; ++n) all.push_back({l, m, n});
    return all;
}

std::string words(const Halves& halves)
{
    std::string text;
    constexpr std::array<const char*, 3> along = {"width", "depth", "height"};
    for (const std::size_t axis : {2u, 1u, 0u})
        if (halves[axis] > 0)
            text += (text.empty() ? "air: " : ", ") + waves(halves[axis]) + " along the " + along[axis];
    return text;
}

} // namespace

std::vector<std::string> air_mode_names(const AirMesh& mesh, const MatrixXd& p)
{
    const VectorXd weight = node_volumes(mesh);
    const Waves wave = waves_over(mesh);
    const VectorXd all = p.cwiseAbs2().transpose() * weight, mean = p.transpose() * weight / weight.sum();
    VectorXd best = VectorXd::Zero(p.cols());
    std::vector<Halves> nearest(static_cast<std::size_t>(p.cols()));
    for (const Halves& halves : all_halves()) {
        const auto at = [&](std::size_t axis) -> const VectorXd& {
            return wave[axis][static_cast<std::size_t>(halves[axis])];
        };
        const VectorXd shape = at(0).cwiseProduct(at(1)).cwiseProduct(at(2)), weighted = weight.cwiseProduct(shape);
        const VectorXd overlap = p.transpose() * weighted;
        for (Eigen::Index i = 0; i < p.cols(); ++i) {
            const double share = overlap[i] * overlap[i] / (weighted.dot(shape) * all[i]);
            if (share > best[i]) best[i] = share, nearest[static_cast<std::size_t>(i)] = halves;
        }
    }
    std::vector<std::string> names;
    for (Eigen::Index i = 0; i < p.cols(); ++i)
        names.push_back(mean[i] * mean[i] * weight.sum() > 0.95 * all[i] ? "air spring"
                        : best[i] < 0.5                                  ? "air: a wave of its own"
                                                                         : words(nearest[static_cast<std::size_t>(i)]));
    return names;
}

} // namespace stillwall::solver
