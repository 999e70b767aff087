#include "tests/bench/arpack.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/blas.h"
#include "solver/linalg/internal/cholmod_inverse.h"
#include "solver/linalg/internal/eigen_checks.h"
#include "tests/bench/clock.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <vector>

extern "C" {
void dsaupd_(int* ido, const char* bmat, const int* n, const char* which, const int* nev, const double* tol,
             double* resid, const int* ncv, double* v, const int* ldv, int* iparam, int* ipntr, double* workd,
             double* workl, const int* lworkl, int* info, int bmat_length, int which_length);
void dseupd_(const int* rvec, const char* howmny, int* select, double* d, double* z, const int* ldz,
             const double* sigma, const char* bmat, const int* n, const char* which, const int* nev, const double* tol,
             double* resid, const int* ncv, double* v, const int* ldv, int* iparam, int* ipntr, double* workd,
             double* workl, const int* lworkl, int* info, int howmny_length, int bmat_length, int which_length);
}

namespace stillwall::bench {

namespace {

// ARPACK's reverse communication: it returns whenever it wants a product.
struct Session
{
    int n, nev, ncv;
    double tol;
    int ido = 0, info = 0, lworkl = ncv * (ncv + 8);
    int iparam[11] = {1, 0, 1000, 1, 0, 0, 3}; // exact shifts, iterations, block 1, mode 3
    int ipntr[14] = {};
    std::vector<double> resid = std::vector<double>(n), workd = std::vector<double>(3 * static_cast<std::size_t>(n)),
                        workl = std::vector<double>(lworkl), v = std::vector<double>(static_cast<std::size_t>(n) * ncv);

    void advance()
    {
        dsaupd_(&ido, "G", &n, "LM", &nev, &tol, resid.data(), &ncv, v.data(), &n, iparam, ipntr, workd.data(),
                workl.data(), &lworkl, &info, 1, 2);
    }
    Eigen::Map<Eigen::VectorXd> vector(int i) { return {workd.data() + ipntr[i] - 1, n}; }
};

int iterate(Session& s, const solver::internal::CholmodInverse& inverse, const solver::SparseMatrix& M)
{
    int n_solves = 0;
    for (s.advance(); s.ido == -1 || s.ido == 1 || s.ido == 2; s.advance()) {
        if (s.ido == 2) {
            s.vector(1) = M * s.vector(0);
            continue;
        }
        const Eigen::VectorXd rhs = s.ido == 1 ? Eigen::VectorXd(s.vector(2)) : Eigen::VectorXd(M * s.vector(0));
        inverse.perform_op(rhs.data(), s.vector(1).data());
        ++n_solves;
    }
    if (s.info != 0) throw SolverError(fmt::format("ARPACK dsaupd returned {}", s.info));
    return n_solves;
}

} // namespace

solver::EigenResult lowest_modes_arpack(const solver::SparseMatrix& K, const solver::SparseMatrix& M, int n,
                                        const solver::EigenOptions& options)
{
    const Clock clock;
    const double sigma = -std::pow(2 * std::numbers::pi * options.f_shift, 2);
    const solver::internal::OneBlasThread one_thread;
    solver::internal::CholmodInverse inverse(K, M, options.nodes_dof);
    inverse.set_shift(sigma);
    solver::EigenResult result;
    result.seconds_factor = clock.wall();

    const int size = static_cast<int>(K.rows());
    Session s{size, n, std::min(size, std::max(2 * n, 20)), options.tolerance};
    result.n_solves = iterate(s, inverse, M);
    const int want_vectors = 1;
    std::vector<int> select(s.ncv);
    Eigen::VectorXd lambda(n);
    Eigen::MatrixXd phi(size, n);
    dseupd_(&want_vectors, "A", select.data(), lambda.data(), phi.data(), &size, &sigma, "G", &size, "LM", &n, &s.tol,
            s.resid.data(), &s.ncv, s.v.data(), &size, s.iparam, s.ipntr, s.workd.data(), s.workl.data(), &s.lworkl,
            &s.info, 1, 1, 2);
    if (s.info != 0) throw SolverError(fmt::format("ARPACK dseupd returned {}", s.info));
    result.seconds_iterate = clock.wall() - result.seconds_factor;

    std::vector<int> order(n);
    std::iota(order.begin(), order.end(), 0);
    std::sort(order.begin(), order.end(), [&](int a, int b) { return lambda[a] < lambda[b]; });
    result.lambda = lambda(order);
    result.phi = phi(Eigen::all, order);
    result.residual = solver::internal::relative_residuals(K, M, result.lambda, result.phi, -sigma);
    return result;
}

} // namespace stillwall::bench
