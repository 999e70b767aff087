#include "solver/drive/air_mode_name.h"

#include "mesh/cabinet/chambers.h"

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

/// Nodes of one chamber, or of the whole air.
struct Part
{
    std::vector<int> nodes;
    VectorXd volume; ///< that each stands for
};

/// The parts of the air, then the whole when there are several.
std::vector<Part> parts_of(const AirMesh& mesh)
{
    const bool is_one = mesh.n_chambers < 2;
    const int n = is_one ? 1 : mesh.n_chambers + 1;
    std::vector<VectorXd> volume(static_cast<std::size_t>(n), VectorXd::Zero(mesh.n_nodes()));
    for (std::size_t t = 0; t < mesh.tets.size(); ++t) {
        const auto& tet = mesh.tets[t];
        const auto corner = [&](std::size_t i) { return Vector3d(mesh.nodes.col(tet[i])); };
        const Vector3d a = corner(1) - corner(0), b = corner(2) - corner(0), c = corner(3) - corner(0);
        const double v = std::abs(a.cross(b).dot(c)) / 6;
        for (const int node : tet) {
            volume.back()[node] += v / 10;
            if (!is_one) volume[static_cast<std::size_t>(mesh.chamber[t])][node] += v / 10;
        }
    }
    std::vector<Part> parts;
    for (const VectorXd& v : volume) {
        Part& part = parts.emplace_back();
        for (int node = 0; node < mesh.n_nodes(); ++node)
            if (v[node] > 0) part.nodes.push_back(node);
        part.volume = v(part.nodes);
    }
    return parts;
}

using Halves = std::array<int, 3>; ///< half waves along width, depth, height

/// cos of h half waves along each axis at the nodes: [axis][h].
using Waves = std::array<std::array<VectorXd, most_halves + 1>, 3>;

Waves waves_over(const Eigen::Matrix3Xd& nodes)
{
    const Vector3d low = nodes.rowwise().minCoeff(), size = nodes.rowwise().maxCoeff() - low;
    Waves wave;
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const auto a = static_cast<Eigen::Index>(axis);
        for (int h = 0; h <= most_halves; ++h)
            wave[axis][static_cast<std::size_t>(h)] =
                ((nodes.row(a).transpose().array() - low[a]) * (h * std::numbers::pi / size[a])).cos();
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

/// @param p  at the nodes, a mode a column
std::vector<std::string> names_in(const Eigen::Matrix3Xd& nodes, const VectorXd& weight, const MatrixXd& p)
{
    const Waves wave = waves_over(nodes);
    const VectorXd all = p.cwiseAbs2().transpose() * weight;
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
        names.push_back(best[i] < 0.5 ? "air: a wave of its own" : words(nearest[static_cast<std::size_t>(i)]));
    return names;
}

bool is_uniform(const VectorXd& weight, const VectorXd& p)
{
    const double mean = weight.dot(p) / weight.sum();
    return mean * mean * weight.sum() > 0.95 * weight.dot(p.cwiseAbs2());
}

} // namespace

std::vector<std::string> air_mode_names(const AirMesh& mesh, const MatrixXd& p,
                                        const std::vector<std::string>& chambers)
{
    constexpr double nearly_all = 0.95;
    const std::vector<Part> parts = parts_of(mesh);
    std::vector<VectorXd> held; // share of each mode in each part
    for (const Part& part : parts) held.emplace_back(p(part.nodes, Eigen::all).cwiseAbs2().transpose() * part.volume);
    std::vector<std::string> names(static_cast<std::size_t>(p.cols()));
    for (std::size_t k = 0; k < parts.size(); ++k) {
        const bool is_whole = k + 1 == parts.size();
        const std::string where = is_whole ? "" : ", in the " + chambers.at(k);
        std::vector<Eigen::Index> own;
        for (Eigen::Index i = 0; i < p.cols(); ++i)
            if (names[static_cast<std::size_t>(i)].empty() && held[k][i] >= nearly_all * held.back()[i])
                own.push_back(i);
        const MatrixXd shapes = p(parts[k].nodes, own);
        const std::vector<std::string> found =
            names_in(mesh.nodes(Eigen::all, parts[k].nodes), parts[k].volume, shapes);
        for (std::size_t i = 0; i < own.size(); ++i)
            names[static_cast<std::size_t>(own[i])] =
                is_uniform(parts[k].volume, shapes.col(static_cast<Eigen::Index>(i)))
                    ? "tuning of the " + (is_whole ? std::string("box") : chambers.at(k))
                    : found[i] + where;
    }
    return names;
}

std::vector<std::string> chamber_names(const Cabinet& cabinet, const AirMesh& mesh)
{
    std::vector<std::string> names(static_cast<std::size_t>(mesh.n_chambers));
    if (names.size() < 2) return names;
    const Chambers chambers(cabinet);
    for (std::size_t t = 0; t < mesh.tets.size(); ++t) {
        std::string& name = names[static_cast<std::size_t>(mesh.chamber[t])];
        if (!name.empty()) continue;
        Vector3d middle = Vector3d::Zero();
        for (std::size_t i = 0; i < 4; ++i) middle += mesh.nodes.col(mesh.tets[t][i]) / 4;
        if (const auto found = chambers.at(middle)) name = chambers.all()[static_cast<std::size_t>(*found)].name;
    }
    return names;
}

} // namespace stillwall::solver
