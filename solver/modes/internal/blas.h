#pragma once
// The few BLAS and LAPACK calls of the eigen-solver, column-major, with sizes as int.

#include <vector>

namespace stillwall::solver::internal {

/// C ← α op(A) op(B) + β C, C of shape (m, n), inner size k.
struct Gemm
{
    char op_a = 'N', op_b = 'N';
    int m = 0, n = 0, k = 0;
    double alpha = 1;
    const double* a = nullptr;
    int lda = 1;
    const double* b = nullptr;
    int ldb = 1;
    double beta = 0;
    double* c = nullptr;
    int ldc = 1;
};
void gemm(const Gemm& g);

/// Lower triangle of C (n, n) ← C + α A Aᵀ, A of shape (n, k).
void syrk_lower(int n, int k, double alpha, const double* a, int lda, double* c, int ldc);

/// B (m, n) ← B op(L)⁻¹, L lower triangular (n, n); op is 'T' or 'N'.
void trsm_right_lower(char op, int m, int n, const double* l, int ldl, double* b, int ldb);

/// Cholesky factor of the lower triangle in place. @return 0, or the 1-based index of the first pivot that is not positive
[[nodiscard]] int potrf_lower(int n, double* a, int lda);

/// Eigenvalues (ascending) of a symmetric matrix of size n; the matrix is replaced by the eigenvectors.
/// @throws SolverError  no convergence
[[nodiscard]] std::vector<double> symmetric_eigen(int n, double* a);

/// Sets the number of threads inside the BLAS while it lives, where the library allows it (OpenBLAS); else does nothing.
class BlasThreads
{
public:
    explicit BlasThreads(int n);
    ~BlasThreads();
    BlasThreads(const BlasThreads&) = delete;
    BlasThreads& operator=(const BlasThreads&) = delete;

private:
    int before_ = 0;
};

} // namespace stillwall::solver::internal
