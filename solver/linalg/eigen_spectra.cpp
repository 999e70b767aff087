// The same problem by a general library: Spectra's Lanczos over a CHOLMOD factor.
#include "mesh/cabinet/error.h"
#include "solver/linalg/blas.h"
#include "solver/linalg/eigen.h"
#include "solver/linalg/internal/cholmod_inverse.h"
#include "solver/linalg/internal/eigen_checks.h"

#include <Spectra/MatOp/SparseSymMatProd.h>
#include <Spectra/SymGEigsShiftSolver.h>

#include <fmt/format.h>

#include <chrono>
#include <cmath>
#include <numbers>

namespace stillwall::solver {

using internal::CholmodInverse;

EigenResult lowest_modes_spectra(const SparseMatrix& K, const SparseMatrix& M, int n, const EigenOptions& options)
{
    internal::check_pair(K, M);
    internal::check_options(options);
    const int size = static_cast<int>(K.rows());
    if (n < 1 || n >= size) throw DomainError(fmt::format("number of modes must lie in 1 … {}, got {}", size - 1, n));
    const double shift = std::pow(2 * std::numbers::pi * options.f_shift, 2);
    const auto start = std::chrono::steady_clock::now();
    const internal::OneBlasThread one_thread;
    CholmodInverse inverse(K, M, options.nodes_dof);
    using MassProduct = Spectra::SparseSymMatProd<double>;
    MassProduct mass(M);
    const int n_basis = std::min(size, std::max(2 * n, 20));
    Spectra::SymGEigsShiftSolver<CholmodInverse, MassProduct, Spectra::GEigsMode::ShiftInvert> solver(inverse, mass, n,
                                                                                                      n_basis, -shift);
    EigenResult result;
    result.seconds_factor = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    solver.init();
    solver.compute(Spectra::SortRule::LargestMagn, 1000, options.tolerance, Spectra::SortRule::SmallestAlge);
    if (solver.info() != Spectra::CompInfo::Successful)
        throw SolverError(fmt::format("Spectra did not converge to {} modes", n));
    result.lambda = solver.eigenvalues();
    result.phi = solver.eigenvectors();
    for (int i = 0; i < n; ++i) result.phi.col(i) /= std::sqrt(result.phi.col(i).dot(M * result.phi.col(i)));
    result.n_solves = static_cast<int>(solver.num_operations());
    result.shift_used = options.f_max;
    result.seconds_iterate =
        std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count() - result.seconds_factor;
    result.residual = internal::relative_residuals(K, M, result.lambda, result.phi, shift);
    return result;
}

} // namespace stillwall::solver
