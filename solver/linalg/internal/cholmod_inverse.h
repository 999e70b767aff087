#pragma once
// The second solver's operator: CHOLMOD's supernodal factor, as general eigen-solvers use it.

#include "solver/linalg/eigen.h"

#include <memory>

namespace stillwall::solver::internal {

/// x → (K − σM)⁻¹ x, one vector at a time, in the interface Spectra asks for.
class CholmodInverse
{
public:
    using Scalar = double; // the name Spectra looks for

    /// K and M must outlive this object.
    CholmodInverse(const SparseMatrix& K, const SparseMatrix& M, int nodes_dof);
    ~CholmodInverse();
    CholmodInverse(const CholmodInverse&) = delete;
    CholmodInverse& operator=(const CholmodInverse&) = delete;

    [[nodiscard]] Eigen::Index rows() const { return K_.rows(); }
    [[nodiscard]] Eigen::Index cols() const { return K_.cols(); }

    /// @throws SolverError  K − σM is not positive definite
    void set_shift(double sigma);
    void perform_op(const double* in, double* out) const;

private:
    struct Handle; // CHOLMOD's own state

    const SparseMatrix& K_;
    const SparseMatrix& M_;
    int nodes_dof_;
    std::unique_ptr<Handle> handle_;
};

} // namespace stillwall::solver::internal
