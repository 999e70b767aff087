#pragma once
// The lowest modes once more, by a solver that shares nothing with ours but the matrices and the order of elimination.

#include "solver/linalg/eigen.h"

#include <string>

namespace stillwall::solver {

struct Verified
{
    int n_modes = 0;               ///< compared, the lowest above the rigid ones
    double largest_difference = 0; ///< [-] of their frequencies, |f' − f| / f
    bool agrees = true;            ///< largest_difference is within verify_limit
    std::string problem;           ///< why the second solver gave nothing; then it does not agree
    double seconds = 0;
};

/// Two right solvers differ by their residuals and by round-off: at most 1e-9 (1 + shift/λ) of λ each, and ε‖K‖/m of λ
/// absolutely, which the rigid modes show; together below 1e-7 of any frequency above 5 Hz (measured: DEVELOPERS.md). A
/// missed, doubled or wrong mode is off by its distance to the next one, and a mesh by some 1e-3.
inline constexpr double verify_limit = 1e-6;

/// Compares with lowest_modes_spectra().
/// @param lambda      [rad²/s²] ascending, what is to be verified, rigid modes included
/// @param f_rigid_Hz  modes below are rigid and not compared: the second solver may meet fewer of these equal ones
/// @param n           modes compared, 0 … as many as lambda holds above
/// @throws DomainError  more modes than are known
[[nodiscard]] Verified verify_lowest(const SparseMatrix& K, const SparseMatrix& M, const Eigen::VectorXd& lambda,
                                     double f_rigid_Hz, int n, const EigenOptions& options);

} // namespace stillwall::solver
