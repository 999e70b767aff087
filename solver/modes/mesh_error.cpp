#include "solver/modes/mesh_error.h"

#include <Eigen/Dense>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numeric>

namespace stillwall::solver {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::Vector2d;

constexpr Index n_strains = 6;      ///< membrane and bending; the tied shear follows from them
constexpr Index modes_at_once = 32; ///< bounds the memory

/// From the 3 × 3 integration points of an element to the 2 × 2 where its strains are most exact, shape (4, 9).
Eigen::Matrix<double, 4, 9> to_exact_points()
{
    const double a = std::sqrt(0.6);
    const auto line = [a](double r) {
        return std::array{r * (r - a) / (2 * a * a), 1 - r * r / (a * a), r * (r + a) / (2 * a * a)};
    };
    Eigen::Matrix<double, 4, 9> T;
    Index row = 0;
    for (const double s : {-1 / std::sqrt(3.0), 1 / std::sqrt(3.0)})
        for (const double r : {-1 / std::sqrt(3.0), 1 / std::sqrt(3.0)}) {
            const auto along = line(r), across = line(s);
            for (std::size_t j = 0; j < 3; ++j)
                for (std::size_t i = 0; i < 3; ++i) T(row, static_cast<Index>(3 * j + i)) = along[i] * across[j];
            ++row;
        }
    return T;
}

/// Bilinear weights of the corners at the integration points, shape (9, 4).
Eigen::Matrix<double, 9, 4> corner_weights()
{
    const double a = std::sqrt(0.6);
    Eigen::Matrix<double, 9, 4> W;
    Index row = 0;
    for (const double s : {-a, 0.0, a})
        for (const double r : {-a, 0.0, a})
            W.row(row++) << (1 - r) * (1 - s) / 4, (1 + r) * (1 - s) / 4, (1 + r) * (1 + s) / 4, (1 - r) * (1 + s) / 4;
    return W;
}

using Terms = Eigen::Matrix<double, 1, 6>;

/// What a piece has to be asked for once.
struct Sampled
{
    Eigen::Matrix<double, 2, 9> at;     ///< [m] integration points on the board
    Eigen::Matrix<double, 2, 4> exact;  ///< [m] where its strains are most exact
    Eigen::Matrix<double, 9, 1> weight; ///< [m²]
    MatrixXd strains;                   ///< shape (9 n_strains, n_modes): point by point
};

/// A quadratic about a corner.
struct Patch
{
    Vector2d centre = Vector2d::Zero();
    double reach = 1; ///< [m]
    std::vector<std::size_t> pieces;
    MatrixXd fit;                    ///< samples → coefficients, shape (6, 4 n_pieces)
    std::vector<MatrixXd> quadratic; ///< per strain: coefficients, shape (6, n_modes)

    [[nodiscard]] Terms terms(const Vector2d& p) const
    {
        const Vector2d q = (p - centre) / reach;
        return (Terms() << 1, q.x(), q.y(), q.x() * q.x(), q.x() * q.y(), q.y() * q.y()).finished();
    }
};

class Recovery
{
public:
    Recovery(const Cabinet& cabinet, const ShellMesh& mesh, const Structure& structure)
        : cabinet_(cabinet), mesh_(mesh), structure_(structure)
    {
        sample();
        gather();
        for (auto& [key, patch] : patches_) fit(patch, key.second);
    }

    /// Energy of ε* − ε by board and mode.
    MatrixXd energy(const MatrixXd& phi)
    {
        for (std::size_t p = 0; p < sampled_.size(); ++p) strain(p, phi);
        for (auto& [unused, patch] : patches_) smoothen(patch);
        MatrixXd sums = MatrixXd::Zero(static_cast<Index>(cabinet_.boards.size()), phi.cols());
        for (std::size_t p = 0; p < sampled_.size(); ++p) add(p, sums);
        return sums;
    }

private:
    using Key = std::pair<int, int>; ///< group, node

    [[nodiscard]] std::vector<StrainPoint> points_of(const ShellPiece& piece) const
    {
        return quad_points(cabinet_, mesh_, piece.quad);
    }

    void sample()
    {
        const Eigen::Matrix<double, 4, 9> T = to_exact_points();
        for (const ShellPiece& piece : structure_.pieces) {
            const Frame& frame = cabinet_.board(structure_.groups[static_cast<std::size_t>(piece.group)].board).frame;
            Sampled s;
            const auto points = points_of(piece);
            for (Index k = 0; k < 9; ++k) {
                const StrainPoint& point = points[static_cast<std::size_t>(k)];
                s.at.col(k) = frame.to_board(point.position);
                s.weight[k] = point.weight * (piece.share ? (*piece.share)[static_cast<std::size_t>(k)] : 1);
            }
            s.exact = s.at * T.transpose();
            sampled_.push_back(std::move(s));
        }
    }

    /// The pieces about every corner, where they are enough for a quadratic: elements at an edge take that of their
    /// inner corners, as the source advises.
    void gather()
    {
        constexpr std::size_t enough = 3;
        std::map<Key, std::vector<std::size_t>> about;
        for (std::size_t p = 0; p < sampled_.size(); ++p)
            for (std::size_t c = 0; c < 4; ++c) about[key(p, c)].push_back(p);
        for (auto& [k, pieces] : about)
            if (pieces.size() >= enough) patches_[k].pieces = std::move(pieces);
    }

    [[nodiscard]] Key key(std::size_t piece, std::size_t corner) const
    {
        return {structure_.pieces[piece].group, structure_.pieces[piece].node[corner]};
    }

    void fit(Patch& patch, int node) const
    {
        const ShellPiece& first = structure_.pieces[patch.pieces.front()];
        const Frame& frame = cabinet_.board(structure_.groups[static_cast<std::size_t>(first.group)].board).frame;
        patch.centre = frame.to_board(structure_.nodes.col(node));
        MatrixXd A(4 * static_cast<Index>(patch.pieces.size()), 6);
        patch.reach = 1e-9;
        for (const std::size_t p : patch.pieces)
            patch.reach =
                std::max(patch.reach, (sampled_[p].exact.colwise() - patch.centre).colwise().norm().maxCoeff());
        Index row = 0;
        for (const std::size_t p : patch.pieces)
            for (Index k = 0; k < 4; ++k) A.row(row++) = patch.terms(sampled_[p].exact.col(k));
        patch.fit = A.completeOrthogonalDecomposition().pseudoInverse();
    }

    void strain(std::size_t p, const MatrixXd& phi)
    {
        const ShellPiece& piece = structure_.pieces[p];
        const MatrixXd part = rows_of(phi, piece.node);
        MatrixXd B(9 * n_strains, part.rows());
        const auto points = points_of(piece);
        for (Index k = 0; k < 9; ++k)
            B.middleRows<n_strains>(n_strains * k) = points[static_cast<std::size_t>(k)].B.topRows<n_strains>();
        sampled_[p].strains.noalias() = B * part;
    }

    void smoothen(Patch& patch) const
    {
        static const Eigen::Matrix<double, 4, 9> T = to_exact_points();
        const Index n_modes = sampled_[patch.pieces.front()].strains.cols();
        patch.quadratic.assign(n_strains, MatrixXd::Zero(6, n_modes));
        Index column = 0;
        for (const std::size_t p : patch.pieces) {
            const Eigen::Matrix<double, 6, 9> spread = patch.fit.middleCols<4>(column) * T;
            column += 4;
            for (Index k = 0; k < 9; ++k)
                for (Index c = 0; c < n_strains; ++c)
                    patch.quadratic[static_cast<std::size_t>(c)].noalias() +=
                        spread.col(k) * sampled_[p].strains.row(n_strains * k + c);
        }
    }

    void add(std::size_t p, MatrixXd& sums) const
    {
        static const Eigen::Matrix<double, 9, 4> W = corner_weights();
        const Sampled& s = sampled_[p];
        const Eigen::Matrix<double, n_strains, n_strains> C =
            structure_.sections[static_cast<std::size_t>(structure_.pieces[p].group)]
                .C.topLeftCorner<n_strains, n_strains>();
        std::array<const Patch*, 4> about{};
        for (std::size_t c = 0; c < 4; ++c)
            if (const auto found = patches_.find(key(p, c)); found != patches_.end()) about[c] = &found->second;
        if (std::none_of(about.begin(), about.end(), [](const Patch* patch) { return patch != nullptr; })) return;
        const int board = structure_.groups[static_cast<std::size_t>(structure_.pieces[p].group)].board;
        for (Index k = 0; k < 9; ++k) {
            MatrixXd e = -s.strains.middleRows<n_strains>(n_strains * k);
            double whole = 0;
            for (std::size_t c = 0; c < 4; ++c) whole += about[c] ? W(k, static_cast<Index>(c)) : 0;
            for (std::size_t c = 0; c < 4; ++c) {
                if (!about[c]) continue;
                const Patch& patch = *about[c];
                const Terms terms = W(k, static_cast<Index>(c)) / whole * patch.terms(s.at.col(k));
                for (Index i = 0; i < n_strains; ++i)
                    e.row(i).noalias() += terms * patch.quadratic[static_cast<std::size_t>(i)];
            }
            sums.row(board) += s.weight[k] * e.cwiseProduct(C * e).colwise().sum();
        }
    }

    const Cabinet& cabinet_;
    const ShellMesh& mesh_;
    const Structure& structure_;
    std::vector<Sampled> sampled_; ///< per piece
    std::map<Key, Patch> patches_;
};

} // namespace

MatrixXd mesh_errors(const Cabinet& cabinet, const ShellMesh& mesh, const Structure& structure, const MatrixXd& phi,
                     const Eigen::VectorXd& omega2)
{
    Recovery recovery(cabinet, mesh, structure);
    MatrixXd errors(static_cast<Index>(cabinet.boards.size()), phi.cols());
    for (Index first = 0; first < phi.cols(); first += modes_at_once) {
        const Index n = std::min(modes_at_once, phi.cols() - first);
        errors.middleCols(first, n) = recovery.energy(phi.middleCols(first, n));
    }
    return 0.5 * errors * omega2.cwiseInverse().asDiagonal();
}

std::vector<double> finer_where_needed(const MatrixXd& errors, double promised)
{
    constexpr double order = 4, aim = 0.5, finest = 0.6, covered = 0.9;
    std::vector<double> factors;
    for (Index m = 0; m < errors.cols(); ++m) {
        const double whole = errors.col(m).sum();
        if (!(whole > promised)) continue;
        factors.resize(static_cast<std::size_t>(errors.rows()), 1);
        const double factor = std::max(finest, std::pow(aim * promised / whole, 1 / order));
        std::vector<Index> boards(static_cast<std::size_t>(errors.rows()));
        std::iota(boards.begin(), boards.end(), 0);
        std::stable_sort(boards.begin(), boards.end(), [&](Index a, Index b) { return errors(a, m) > errors(b, m); });
        double sum = 0;
        for (const Index b : boards) {
            if (sum >= covered * whole) break;
            sum += errors(b, m);
            factors[static_cast<std::size_t>(b)] = std::min(factors[static_cast<std::size_t>(b)], factor);
        }
    }
    return factors;
}

} // namespace stillwall::solver
