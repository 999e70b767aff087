#pragma once
// The few BLAS and LAPACK calls, column-major, with sizes as int.

#include <complex>
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

/// C (m, n) ← A B, or Aᵀ B, complex; op is 'N' or 'T', the inner size k.
void complex_gemm(char op, int m, int n, int k, const std::complex<double>* a, int lda, const std::complex<double>* b,
                  int ldb, std::complex<double>* c, int ldc);

/// Lower triangle of C (n, n) ← C + α A Aᵀ, A of shape (n, k).
void syrk_lower(int n, int k, double alpha, const double* a, int lda, double* c, int ldc);

/// B (m, n) ← B op(L)⁻¹, L lower triangular (n, n); op is 'T' or 'N'.
void trsm_right_lower(char op, int m, int n, const double* l, int ldl, double* b, int ldb);

/// Cholesky factor of the lower triangle in place. @return 0, or the 1-based index of the first pivot that is not
/// positive
[[nodiscard]] int potrf_lower(int n, double* a, int lda);

/// Eigenvalues (ascending) of a symmetric matrix of size n; the matrix is replaced by the eigenvectors.
/// @throws SolverError  no convergence
[[nodiscard]] std::vector<double> symmetric_eigen(int n, double* a);

/// LU factors of A (n, n) in place. @return 0, or the 1-based index of the first pivot that is zero
[[nodiscard]] int complex_lu(int n, std::complex<double>* a, int* pivots);

/// B (n, n_cases) ← A⁻¹ B, or A⁻ᵀ B, by the factors; op is 'N' or 'T'.
void complex_lu_solve(char op, int n, int n_cases, const std::complex<double>* factors, const int* pivots,
                      std::complex<double>* b);

/// Eigenvalues of a general matrix of size n, in no order; the matrix is destroyed, the right eigenvectors go to
/// `vectors` (n, n).
/// @throws SolverError  no convergence
[[nodiscard]] std::vector<std::complex<double>> general_eigen(int n, std::complex<double>* a,
                                                              std::complex<double>* vectors);

/// Sets the number of threads inside the BLAS for good, where the library allows it (OpenBLAS); else does nothing.
void set_blas_threads(int n);

/// The same for OpenMP's loops that this thread starts, those that ask for a number of their own included.
void set_openmp_threads(int n);

/// While any of these lives, in whichever thread, the BLAS computes in the thread that calls it.
class OneBlasThread
{
public:
    OneBlasThread();
    ~OneBlasThread();
    OneBlasThread(const OneBlasThread&) = delete;
    OneBlasThread& operator=(const OneBlasThread&) = delete;
};

} // namespace stillwall::solver::internal
