#include "solver/linalg/blas.h"

#include "mesh/cabinet/error.h"

#include <dlfcn.h>

#include <mutex>
#include <string>

extern "C" {
void dgemm_(const char*, const char*, const int*, const int*, const int*, const double*, const double*, const int*,
            const double*, const int*, const double*, double*, const int*);
void zgemm_(const char*, const char*, const int*, const int*, const int*, const std::complex<double>*,
            const std::complex<double>*, const int*, const std::complex<double>*, const int*,
            const std::complex<double>*, std::complex<double>*, const int*);
void dsyrk_(const char*, const char*, const int*, const int*, const double*, const double*, const int*, const double*,
            double*, const int*);
void dtrsm_(const char*, const char*, const char*, const char*, const int*, const int*, const double*, const double*,
            const int*, double*, const int*);
void dpotrf_(const char*, const int*, double*, const int*, int*);
void dsyevd_(const char*, const char*, const int*, double*, const int*, double*, double*, const int*, int*, const int*,
             int*);
void zgetrf_(const int*, const int*, std::complex<double>*, const int*, int*, int*);
void zgetrs_(const char*, const int*, const int*, const std::complex<double>*, const int*, const int*,
             std::complex<double>*, const int*, int*);
void zgeev_(const char*, const char*, const int*, std::complex<double>*, const int*, std::complex<double>*,
            std::complex<double>*, const int*, std::complex<double>*, const int*, std::complex<double>*, const int*,
            double*, int*);
}

namespace stillwall::solver::internal {

void gemm(const Gemm& g)
{
    if (g.m > 0 && g.n > 0) {
        dgemm_(&g.op_a, &g.op_b, &g.m, &g.n, &g.k, &g.alpha, g.a, &g.lda, g.b, &g.ldb, &g.beta, g.c, &g.ldc);
    }
}

void complex_gemm(char op, int m, int n, int k, const std::complex<double>* a, int lda, const std::complex<double>* b,
                  int ldb, std::complex<double>* c, int ldc)
{
    const std::complex<double> one = 1, zero = 0;
    if (m > 0 && n > 0) zgemm_(&op, "N", &m, &n, &k, &one, a, &lda, b, &ldb, &zero, c, &ldc);
}

void syrk_lower(int n, int k, double alpha, const double* a, int lda, double* c, int ldc)
{
    const double one = 1;
    if (n > 0 && k > 0) dsyrk_("L", "N", &n, &k, &alpha, a, &lda, &one, c, &ldc);
}

void trsm_right_lower(char op, int m, int n, const double* l, int ldl, double* b, int ldb)
{
    const double one = 1;
    if (m > 0 && n > 0) dtrsm_("R", "L", &op, "N", &m, &n, &one, l, &ldl, b, &ldb);
}

int potrf_lower(int n, double* a, int lda)
{
    int info = 0;
    dpotrf_("L", &n, a, &lda, &info);
    return info;
}

std::vector<double> symmetric_eigen(int n, double* a)
{
    std::vector<double> w(n);
    if (n == 0) return w;
    int info = 0, lwork = -1, liwork = -1, integer_size = 0;
    double work_size = 0;
    dsyevd_("V", "L", &n, a, &n, w.data(), &work_size, &lwork, &integer_size, &liwork, &info);
    lwork = static_cast<int>(work_size);
    liwork = integer_size;
    std::vector<double> work(lwork);
    std::vector<int> iwork(liwork);
    dsyevd_("V", "L", &n, a, &n, w.data(), work.data(), &lwork, iwork.data(), &liwork, &info);
    if (info != 0) throw SolverError("projected eigenvalue problem of size " + std::to_string(n) + " did not converge");
    return w;
}

int complex_lu(int n, std::complex<double>* a, int* pivots)
{
    int info = 0;
    if (n > 0) zgetrf_(&n, &n, a, &n, pivots, &info);
    return info;
}

void complex_lu_solve(char op, int n, int n_cases, const std::complex<double>* factors, const int* pivots,
                      std::complex<double>* b)
{
    int info = 0; // wrong arguments only
    if (n > 0 && n_cases > 0) zgetrs_(&op, &n, &n_cases, factors, &n, pivots, b, &n, &info);
}

std::vector<std::complex<double>> general_eigen(int n, std::complex<double>* a, std::complex<double>* vectors)
{
    std::vector<std::complex<double>> lambda(static_cast<std::size_t>(n));
    if (n == 0) return lambda;
    std::vector<double> real_work(static_cast<std::size_t>(2 * n));
    const int one = 1;
    int info = 0, size = -1;
    std::complex<double> best, unused;
    zgeev_("N", "V", &n, a, &n, lambda.data(), &unused, &one, vectors, &n, &best, &size, real_work.data(), &info);
    size = static_cast<int>(best.real());
    std::vector<std::complex<double>> work(static_cast<std::size_t>(size));
    zgeev_("N", "V", &n, a, &n, lambda.data(), &unused, &one, vectors, &n, work.data(), &size, real_work.data(), &info);
    if (info != 0) throw SolverError("general eigenvalue problem of size " + std::to_string(n) + " did not converge");
    return lambda;
}

namespace {

// Looked up at run time: the reference BLAS and others have no such switch.
template <class Function> Function symbol(const char* name)
{
    return reinterpret_cast<Function>(dlsym(RTLD_DEFAULT, name));
}

/// How many threads the BLAS may use, and how many hold it to one now.
struct BlasLimit
{
    std::mutex mutex;
    int n = before(), n_holding = 0, applied = n;

    /// What the library starts with.
    static int before()
    {
        const auto get = symbol<int (*)()>("openblas_get_num_threads");
        return get != nullptr ? get() : 1;
    }
    void apply()
    {
        static const auto set = symbol<void (*)(int)>("openblas_set_num_threads");
        const int wanted = n_holding > 0 ? 1 : n;
        if (set != nullptr && wanted != applied) set(wanted);
        applied = wanted;
    }
};

BlasLimit& blas_limit()
{
    static BlasLimit limit;
    return limit;
}

} // namespace

void set_blas_threads(int n)
{
    BlasLimit& limit = blas_limit();
    const std::scoped_lock lock(limit.mutex);
    limit.n = n;
    limit.apply();
}

void set_openmp_threads(int n)
{
    static const auto set = symbol<void (*)(int)>("omp_set_num_threads"),
                      adjust = symbol<void (*)(int)>("omp_set_dynamic");
    if (set == nullptr || adjust == nullptr) return;
    set(n);
    adjust(1); // loops that ask for more get no more than n
}

OneBlasThread::OneBlasThread()
{
    BlasLimit& limit = blas_limit();
    const std::scoped_lock lock(limit.mutex);
    if (++limit.n_holding == 1) limit.apply();
}

OneBlasThread::~OneBlasThread()
{
    BlasLimit& limit = blas_limit();
    const std::scoped_lock lock(limit.mutex);
    if (--limit.n_holding == 0) limit.apply();
}

} // namespace stillwall::solver::internal
