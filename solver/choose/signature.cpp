#include "solver/choose/signature.h"

#include "mesh/cabinet/polygon.h"
#include "mesh/core/shell_locator.h"

#include <algorithm>
#include <cmath>

namespace stillwall::solver {
namespace {

using Eigen::Index;
using Eigen::MatrixXf;

double mass_per_area(const Cabinet& cabinet, const Board& board)
{
    double mass = 0;
    for (const Ply& ply : board.layup.plies)
        mass += ply.thickness * cabinet.materials.at(static_cast<std::size_t>(ply.material)).rho.value;
    return mass;
}

/// The rows of a board; nothing when it is not there.
Index place_of(const Signature& signature, const std::string& board)
{
    const auto found = std::find(signature.boards.begin(), signature.boards.end(), board);
    return found == signature.boards.end() ? -1 : static_cast<Index>(found - signature.boards.begin());
}

/// Samples on common boards, and each mode's share of its motion there.
struct Common
{
    MatrixXf samples;
    Eigen::VectorXf share;
};

Common on_boards(const Signature& signature, const std::vector<std::string>& boards)
{
    constexpr int n = Signature::per_board;
    Common common{MatrixXf(n * static_cast<Index>(boards.size()), signature.samples.cols()), {}};
    for (std::size_t b = 0; b < boards.size(); ++b)
        common.samples.middleRows(n * static_cast<Index>(b), n) =
            signature.samples.middleRows(n * place_of(signature, boards[b]), n);
    const auto all = signature.samples.colwise().squaredNorm().array().max(1e-30f);
    common.share = (common.samples.colwise().squaredNorm().array() / all).matrix().transpose();
    return common;
}

} // namespace

Signature signature_of(const Cabinet& cabinet, const ShellMesh& mesh, const Eigen::MatrixXd& shapes)
{
    constexpr int grid = Signature::grid;
    const ShellLocator locator(cabinet, mesh);
    Signature signature;
    signature.samples.resize(Signature::per_board * static_cast<Index>(cabinet.boards.size()), shapes.cols());
    Index row = 0;
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
        const Board& board = cabinet.boards[b];
        signature.boards.push_back(board.name);
        const Bounds2 around = bounds(board.outline);
        const double weight =
            std::sqrt(mass_per_area(cabinet, board) * std::abs(signed_area(board.outline)) / Signature::per_board);
        for (int i = 0; i < grid; ++i)
            for (int j = 0; j < grid; ++j, ++row) {
                const Vector2d at =
                    around.low + around.size().cwiseProduct(Vector2d((i + 0.5) / grid, (j + 0.5) / grid));
                const Vector3d in_space = board.frame.to_space(at), normal = board.frame.touching(in_space).n;
                const ShellPlace place = locator.nearest(static_cast<int>(b), in_space);
                const Quad9Values N = quad9_values(place.r, place.s);
                const auto& node = mesh.quads.at(static_cast<std::size_t>(place.quad)).node;
                Eigen::RowVectorXd motion = Eigen::RowVectorXd::Zero(shapes.cols());
                for (int a = 0; a < 9; ++a)
                    motion += N[a] * (normal.transpose() * shapes.middleRows<3>(3 * node[static_cast<std::size_t>(a)]));
                signature.samples.row(row) = (weight * motion).cast<float>();
            }
    }
    return signature;
}

std::vector<Met> met_again(const Signature& from, const std::vector<double>& f_from, const Signature& to,
                           const std::vector<double>& f_to)
{
    std::vector<std::string> shared;
    for (const std::string& board : from.boards)
        if (place_of(to, board) >= 0) shared.push_back(board);
    std::vector<Met> met(f_from.size());
    if (shared.empty()) return met;
    const Common a = on_boards(from, shared), b = on_boards(to, shared);
    const MatrixXf dot = a.samples.transpose() * b.samples;

    struct Pair
    {
        double likeness = 0, rounded = 0, apart = 0;
        std::size_t a = 0, b = 0;
    };
    constexpr double least = 0.5, equal = 0.02;
    std::vector<Pair> pairs;
    for (std::size_t i = 0; i < f_from.size(); ++i)
        for (std::size_t j = 0; j < f_to.size(); ++j) {
            const auto p = static_cast<Index>(i), q = static_cast<Index>(j);
            const double norms = static_cast<double>(a.samples.col(p).squaredNorm()) *
                                 static_cast<double>(b.samples.col(q).squaredNorm());
            if (!(norms > 0)) continue;
            const double likeness = static_cast<double>(dot(p, q)) * static_cast<double>(dot(p, q)) / norms *
                                    static_cast<double>(a.share[p]) * static_cast<double>(b.share[q]);
            if (likeness > least)
                pairs.push_back(
                    {likeness, std::round(likeness / equal), std::abs(std::log(f_to[j] / f_from[i])), i, j});
        }
    std::sort(pairs.begin(), pairs.end(), [](const Pair& x, const Pair& y) {
        return x.rounded != y.rounded ? x.rounded > y.rounded : x.apart < y.apart;
    });
    std::vector<bool> is_taken(f_to.size(), false);
    for (const Pair& pair : pairs) {
        if (met[pair.a].mode >= 0 || is_taken[pair.b]) continue;
        met[pair.a] = {static_cast<int>(pair.b), pair.likeness};
        is_taken[pair.b] = true;
    }
    return met;
}

} // namespace stillwall::solver
