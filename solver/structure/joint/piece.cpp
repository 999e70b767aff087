#include "solver/structure/joint/piece.h"

#include "mesh/cabinet/error.h"
#include "mesh/core/line3.h"
#include "solver/structure/joint/internal/slice.h"

#include <Eigen/Dense>
#include <Eigen/SparseCholesky>
#include <Eigen/SparseCore>

#include <cmath>

namespace stillwall::solver {
namespace {

using Eigen::Matrix2d;
using Eigen::Matrix3d;
using Eigen::MatrixXd;
using Eigen::Vector2d;
using Eigen::VectorXd;
using internal::leg_length;
using internal::Slice;

Matrix3d slice_stiffness(const SliceMaterial& m) // (n, 3, shear)
{
    Matrix2d compliance;
    compliance << 1 / m.E_n, -m.nu_n3 / m.E_n, -m.nu_n3 / m.E_n, 1 / m.E_3;
    Matrix3d C = Matrix3d::Zero();
    C.topLeftCorner<2, 2>() = compliance.inverse();
    C(2, 2) = m.G_n3;
    return C;
}

/// Gradient operator of a cell at a Gauss point: rows ∂/∂x, ∂/∂y.
template <typename Visit> void for_gauss_points(const Slice::Cell& c, Visit&& visit)
{
    const double hx = (c.x1 - c.x0) / 2, hy = (c.y1 - c.y0) / 2;
    for (std::size_t j = 0; j < 3; ++j)
        for (std::size_t i = 0; i < 3; ++i) {
            const Line3 a(gauss_x[i]), b(gauss_x[j]);
            Eigen::Matrix<double, 2, 9> G;
            for (std::size_t q = 0; q < 3; ++q)
                for (std::size_t p = 0; p < 3; ++p) {
                    G(0, static_cast<int>(3 * q + p)) = a.D[p] * b.L[q] / hx;
                    G(1, static_cast<int>(3 * q + p)) = a.L[p] * b.D[q] / hy;
                }
            visit(G, gauss_w[i] * gauss_w[j] * hx * hy);
        }
}

using Triplets = std::vector<Eigen::Triplet<double>>;

MatrixXd solve_pinned(int n, const Triplets& triplets, const std::vector<int>& pins, const MatrixXd& F)
{
    Eigen::SparseMatrix<double> K(n, n);
    K.setFromTriplets(triplets.begin(), triplets.end());
    const double big = K.diagonal().maxCoeff(); // pins only take the rigid motion out: loads balance
    for (int p : pins) K.coeffRef(p, p) += big;
    Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> ldlt(K);
    if (ldlt.info() != Eigen::Success) throw SolverError("joint piece: factorisation failed");
    return ldlt.solve(F);
}

/// Work-equivalent nodal forces of unit N, Q, M (columns) at a leg's end. Leg axes: n outwards, q across.
MatrixXd end_forces(const Slice& slice, Leg leg, double t)
{
    const bool is_row = leg == Leg::left || leg == Leg::right;
    const double out = leg == Leg::right || leg == Leg::up ? 1 : -1;
    MatrixXd F = MatrixXd::Zero(2 * slice.n_nodes(), 3);
    for (const auto& side : slice.end_sides(leg))
        for (std::size_t g = 0; g < 3; ++g) {
            const Line3 shape(gauss_x[g]);
            const double half = (side.to - side.from) / 2, c = (side.to + side.from) / 2 + half * gauss_x[g];
            for (std::size_t k = 0; k < 3; ++k) {
                const double w = gauss_w[g] * half * shape.L[k];
                const int along = 2 * side.node[k] + (is_row ? 0 : 1), across = 2 * side.node[k] + (is_row ? 1 : 0);
                F(along, 0) += w * out / t;
                F(across, 1) += w * 1.5 / t * (1 - 4 * c * c / (t * t));
                F(along, 2) += w * out * 12 * c / (t * t * t); // tension on the positive side
            }
        }
    return F;
}

struct LegBeam
{
    Leg leg;
    double t, length;
    const SliceMaterial* material;
};

std::vector<LegBeam> beams_of(const JointPiece& piece)
{
    std::vector<LegBeam> beams;
    for (Leg leg : legs_of(piece)) {
        const bool is_row = leg == Leg::left || leg == Leg::right;
        const double t = is_row ? piece.t_row : piece.t_column;
        beams.push_back({leg, t, leg_length * t, is_row ? &piece.row : &piece.column});
    }
    return beams;
}

/// Equilibrium of forces (N, Q, M per leg, at the block's faces) about the block's centre: rows ΣFx, ΣFy, ΣM_z.
MatrixXd equilibrium(const JointPiece& piece)
{
    const auto legs = legs_of(piece);
    MatrixXd E = MatrixXd::Zero(3, 3 * static_cast<Eigen::Index>(legs.size()));
    for (std::size_t k = 0; k < legs.size(); ++k) {
        const auto c = static_cast<Eigen::Index>(3 * k);
        const bool is_row = legs[k] == Leg::left || legs[k] == Leg::right;
        const double out = legs[k] == Leg::right || legs[k] == Leg::up ? 1 : -1;
        const double arm = (is_row ? piece.t_column : piece.t_row) / 2;
        // M puts tension on the positive side: about z it turns −out for a row (σ_x ~ +y), +out for a column.
        if (is_row) {
            E(0, c) = out;
            E(1, c + 1) = 1;
            E(2, c + 1) = out * arm;
            E(2, c + 2) = -out;
        } else {
            E(1, c) = out;
            E(0, c + 1) = 1;
            E(2, c + 1) = -out * arm;
            E(2, c + 2) = out;
        }
    }
    return E;
}

/// Orthonormal basis of the null space, one vector a column.
MatrixXd null_space(const MatrixXd& A)
{
    const Eigen::JacobiSVD<MatrixXd> svd(A, Eigen::ComputeFullV);
    return svd.matrixV().rightCols(A.cols() - svd.rank());
}

void plane_problem(const JointPiece& piece, const Slice& slice, BlockCompliance& result)
{
    const Matrix3d C_row = slice_stiffness(piece.row), C_own = slice_stiffness(piece.column);
    Matrix3d C_column; // the column's n is y
    C_column << C_own(1, 1), C_own(1, 0), 0, C_own(0, 1), C_own(0, 0), 0, 0, 0, C_own(2, 2);
    Triplets triplets;
    triplets.reserve(slice.cells().size() * 324);
    for (const auto& cell : slice.cells()) {
        Eigen::Matrix<double, 18, 18> K = Eigen::Matrix<double, 18, 18>::Zero();
        for_gauss_points(cell, [&](const Eigen::Matrix<double, 2, 9>& G, double w) {
            Eigen::Matrix<double, 3, 18> B = Eigen::Matrix<double, 3, 18>::Zero();
            for (int i = 0; i < 9; ++i) {
                B(0, 2 * i) = B(2, 2 * i + 1) = G(0, i);
                B(1, 2 * i + 1) = B(2, 2 * i) = G(1, i);
            }
            K.noalias() += w * B.transpose() * (cell.is_row ? C_row : C_column) * B;
        });
        for (int j = 0; j < 18; ++j)
            for (int i = 0; i < 18; ++i)
                triplets.emplace_back(2 * cell.node[static_cast<std::size_t>(i / 2)] + i % 2,
                                      2 * cell.node[static_cast<std::size_t>(j / 2)] + j % 2, K(i, j));
    }

    // Forces given at the block's face are carried to the leg's end. At distance x from the face the moment is M + Q x,
    // on every side, since M is tension on the positive side and Q points to it.
    const auto beams = beams_of(piece);
    const auto n_forces = static_cast<Eigen::Index>(3 * beams.size());
    MatrixXd F(2 * slice.n_nodes(), n_forces);
    MatrixXd beam_energy = MatrixXd::Zero(n_forces, n_forces);
    for (std::size_t k = 0; k < beams.size(); ++k) {
        const auto& b = beams[k];
        const auto c = static_cast<Eigen::Index>(3 * k);
        Matrix3d carry = Matrix3d::Identity();
        carry(2, 1) = b.length;
        F.middleCols<3>(c) = end_forces(slice, b.leg, b.t) * carry;
        const double D = b.material->E_n * std::pow(b.t, 3) / 12, S = 5.0 / 6 * b.material->G_n3 * b.t;
        const double L = b.length;
        Matrix3d e = Matrix3d::Zero();
        e(0, 0) = L / (b.material->E_n * b.t);
        e(1, 1) = L / S + L * L * L / (3 * D);
        e(1, 2) = e(2, 1) = L * L / (2 * D);
        e(2, 2) = L / D;
        beam_energy.block<3, 3>(c, c) = e;
    }
    result.loads = null_space(equilibrium(piece));
    const MatrixXd F_cases = F * result.loads;
    const MatrixXd U =
        solve_pinned(2 * slice.n_nodes(), triplets,
                     {2 * slice.first_pin(), 2 * slice.first_pin() + 1, 2 * slice.second_pin() + 1}, F_cases);
    result.C = F_cases.transpose() * U - result.loads.transpose() * beam_energy * result.loads;
}

/// Stiffness of the displacement along the edge, and the pull of a unit twist rate about the block's centre on it.
struct Antiplane
{
    Triplets K;
    VectorXd twist_load;     ///< −∫ G ∇N · (−y, x)
    double twist_energy = 0; ///< ∫ G |(−y, x)|²
};

Antiplane antiplane_stiffness(const JointPiece& piece, const Slice& slice)
{
    Antiplane a{{}, VectorXd::Zero(slice.n_nodes()), 0};
    a.K.reserve(slice.cells().size() * 81);
    for (const auto& cell : slice.cells()) {
        const Vector2d G_cell =
            cell.is_row ? Vector2d(piece.row.G_ns, piece.row.G_s3) : Vector2d(piece.column.G_s3, piece.column.G_ns);
        const double xm = (cell.x0 + cell.x1) / 2, ym = (cell.y0 + cell.y1) / 2;
        Eigen::Matrix<double, 9, 9> K = Eigen::Matrix<double, 9, 9>::Zero();
        std::size_t point = 0;
        for_gauss_points(cell, [&](const Eigen::Matrix<double, 2, 9>& G, double w) {
            const double x = xm + (cell.x1 - cell.x0) / 2 * gauss_x[point % 3];
            const double y = ym + (cell.y1 - cell.y0) / 2 * gauss_x[point / 3];
            ++point;
            const Vector2d turn = G_cell.cwiseProduct(Vector2d(-y, x));
            K.noalias() += w * G.transpose() * G_cell.asDiagonal() * G;
            for (std::size_t i = 0; i < 9; ++i) a.twist_load[cell.node[i]] -= w * G.col(static_cast<int>(i)).dot(turn);
            a.twist_energy += w * turn.dot(Vector2d(-y, x));
        });
        for (int j = 0; j < 9; ++j)
            for (int i = 0; i < 9; ++i)
                a.K.emplace_back(cell.node[static_cast<std::size_t>(i)], cell.node[static_cast<std::size_t>(j)],
                                 K(i, j));
    }
    return a;
}

void shear_problem(const JointPiece& piece, const Slice& slice, const Antiplane& antiplane, BlockCompliance& result)
{
    const auto beams = beams_of(piece);
    const auto n_legs = static_cast<Eigen::Index>(beams.size());
    MatrixXd F = MatrixXd::Zero(slice.n_nodes(), n_legs);
    VectorXd leg_energy(n_legs);
    for (Eigen::Index k = 0; k < n_legs; ++k) {
        const auto& b = beams[static_cast<std::size_t>(k)];
        for (const auto& side : slice.end_sides(b.leg)) {
            const double w = (side.to - side.from) / b.t;
            F(side.node[0], k) += w / 6;
            F(side.node[1], k) += w * 4 / 6;
            F(side.node[2], k) += w / 6;
        }
        leg_energy[k] = b.length / (b.material->G_ns * b.t);
    }
    result.shear_loads = null_space(MatrixXd::Ones(1, n_legs));
    const MatrixXd F_cases = F * result.shear_loads;
    const MatrixXd U = solve_pinned(slice.n_nodes(), antiplane.K, {slice.first_pin()}, F_cases);
    result.C_shear =
        F_cases.transpose() * U - result.shear_loads.transpose() * leg_energy.asDiagonal() * result.shear_loads;
}

/// Saint-Venant torsion of the slice. A leg goes on as a plate: at its cut the stress is −2 G c along a row, +2 G c
/// along a column.
void torsion_problem(const JointPiece& piece, const Slice& slice, const Antiplane& antiplane, BlockCompliance& result)
{
    VectorXd F = antiplane.twist_load;
    double legs = 0;
    for (const auto& b : beams_of(piece)) {
        const double G = b.material->G_ns;
        const bool is_row = b.leg == Leg::left || b.leg == Leg::right;
        const double out = b.leg == Leg::right || b.leg == Leg::up ? 1 : -1;
        for (const auto& side : slice.end_sides(b.leg))
            for (std::size_t g = 0; g < 3; ++g) {
                const Line3 shape(gauss_x[g]);
                const double half = (side.to - side.from) / 2, c = (side.to + side.from) / 2 + half * gauss_x[g];
                for (std::size_t k = 0; k < 3; ++k)
                    F[side.node[k]] += gauss_w[g] * half * shape.L[k] * out * (is_row ? -2 : 2) * G * c;
            }
        legs += G * b.length * std::pow(b.t, 3) / 3;
    }
    const VectorXd w = solve_pinned(slice.n_nodes(), antiplane.K, {slice.first_pin()}, F);
    Eigen::SparseMatrix<double> K(slice.n_nodes(), slice.n_nodes());
    K.setFromTriplets(antiplane.K.begin(), antiplane.K.end());
    result.torsion = w.dot(K * w) - 2 * antiplane.twist_load.dot(w) + antiplane.twist_energy - legs;
}

} // namespace

std::vector<Leg> legs_of(const JointPiece& piece)
{
    std::vector<Leg> legs;
    if (piece.has_left) legs.push_back(Leg::left);
    if (piece.has_right) legs.push_back(Leg::right);
    if (piece.has_up) legs.push_back(Leg::up);
    if (piece.has_down) legs.push_back(Leg::down);
    return legs;
}

BlockCompliance block_compliance(const JointPiece& piece)
{
    for (const SliceMaterial* m : {&piece.row, &piece.column})
        if (!(m->E_n > 0 && m->E_3 > 0 && m->G_n3 > 0 && m->G_ns > 0 && m->G_s3 > 0))
            throw DomainError("joint piece: moduli must be > 0 Pa");
    if (!(piece.t_row > 0 && piece.t_column > 0)) throw DomainError("joint piece: thicknesses must be > 0 m");
    const Slice slice(piece);
    BlockCompliance result;
    plane_problem(piece, slice, result);
    const Antiplane antiplane = antiplane_stiffness(piece, slice);
    shear_problem(piece, slice, antiplane, result);
    torsion_problem(piece, slice, antiplane, result);
    return result;
}

} // namespace stillwall::solver
