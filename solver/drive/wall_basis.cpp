#include "solver/drive/wall_basis.h"

#include "solver/linalg/orthonormal.h"
#include "solver/linalg/static_response.h"

#include <numbers>

namespace stillwall::solver {
namespace {

/// What losses turn a shape by beyond the real modes, of the shape itself, that is worth a coordinate. On a box with
/// patches of a constrained film 0.01 moved a level by half a decibel, 0.001 by a twentieth, this by nothing printed.
constexpr double least_turned = 1e-4;

constexpr double static_shift_Hz = 30; ///< below a cabinet's elastic modes; holds a free cabinet

} // namespace

Eigen::MatrixXcd WallBasis::dynamic_stiffness(double f_Hz) const
{
    const double omega = 2 * std::numbers::pi * f_Hz;
    Eigen::MatrixXcd D = K.cast<std::complex<double>>();
    D.imag() += K_loss;
    for (const Dependent& d : dependent) D += d.change(f_Hz) * d.K;
    D.diagonal().array() -= omega * omega;
    return D;
}

WallBasis wall_basis(const ModesWork& work, const Eigen::MatrixXd& loads)
{
    const SparseMatrix &K = work.matrices.system.K, &M = work.matrices.system.M;
    WallBasis basis;
    basis.V = work.real.phi;
    if (!work.is_real) {
        internal::add_to_basis(basis.V, M, work.phi.real(), least_turned);
        internal::add_to_basis(basis.V, M, work.phi.imag(), least_turned);
    }
    if (loads.cols() > 0)
        internal::add_to_basis(basis.V, M, static_response(K, M, loads, static_shift_Hz, work.real.ordering));
    const Eigen::MatrixXd& V = basis.V;
    basis.K = internal::reduced(K, V);
    basis.K_loss = work.matrices.uniform_loss                   ? Eigen::MatrixXd(*work.matrices.uniform_loss * basis.K)
                   : work.matrices.system.K_loss.nonZeros() > 0 ? internal::reduced(work.matrices.system.K_loss, V)
                                                                : Eigen::MatrixXd::Zero(V.cols(), V.cols());
    for (const DependentStiffness& d : work.matrices.dependent)
        basis.dependent.push_back({internal::reduced(d.K, V), d.change});
    const Eigen::MatrixXd MV = M * V;
    basis.modes = MV.transpose() * work.phi;
    return basis;
}

} // namespace stillwall::solver
