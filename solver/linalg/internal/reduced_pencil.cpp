#include "solver/linalg/internal/reduced_pencil.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/blas.h"
#include "solver/linalg/hertz.h"

#include <Eigen/LU>
#include <Eigen/QR>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <string>

namespace stillwall::solver::internal {

namespace {

using Complex = std::complex<double>;
using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXcd;
using Eigen::VectorXd;

// cᵀAc of a real symmetric A.
Complex form(const MatrixXd& A, const Eigen::Matrix<double, Eigen::Dynamic, 2>& c)
{
    const Eigen::Matrix<double, Eigen::Dynamic, 2> Ac = A * c;
    return {c.col(0).dot(Ac.col(0)) - c.col(1).dot(Ac.col(1)), 2 * c.col(0).dot(Ac.col(1))};
}

// K*(f) − shift with the properties at the frequency of λ.
MatrixXcd shifted(const LossyOperator& op, const ReducedPencil& reduced, Complex lambda, Complex shift)
{
    const VectorXcd s = op.change(hertz(lambda));
    MatrixXcd A(reduced.size(), reduced.size());
    A.real() = reduced.real_part(s);
    A.imag() = reduced.imaginary_part(s);
    A.diagonal().array() -= shift;
    return A;
}

// x ← A⁻¹ x. @return false when A is singular to the last digit
bool solve_in_place(MatrixXcd A, VectorXcd& x)
{
    const int n = static_cast<int>(A.cols());
    std::vector<int> pivots(static_cast<std::size_t>(n));
    if (complex_lu(n, A.data(), pivots.data()) != 0) return false;
    complex_lu_solve('N', n, 1, A.data(), pivots.data(), x.data());
    return x.allFinite();
}

} // namespace

MatrixXd ReducedPencil::real_part(const VectorXcd& s) const
{
    MatrixXd A = K;
    for (std::size_t j = 0; j < change.size(); ++j) A += s[static_cast<Index>(j)].real() * change[j];
    return A;
}

MatrixXd ReducedPencil::imaginary_part(const VectorXcd& s) const
{
    MatrixXd A = L;
    for (std::size_t j = 0; j < change.size(); ++j) A += s[static_cast<Index>(j)].imag() * change[j];
    return A;
}

void normalise(VectorXcd& c)
{
    const Complex square = (c.transpose() * c)(0);
    // Where two modes meet in one, φᵀMφ = 0; at 1e-6 the loss of digits is still half of what double carries.
    if (!(std::abs(square) > 1e-6 * c.squaredNorm())) throw SolverError("two lossy modes run into one: φᵀMφ vanishes");
    c /= std::sqrt(square);
}

double likeness(const VectorXcd& a, const VectorXcd& b)
{
    return std::abs(a.dot(b)) / (a.norm() * b.norm());
}

Complex rayleigh(const LossyOperator& op, const ReducedPencil& reduced, const VectorXcd& c, Complex start)
{
    Eigen::Matrix<double, Eigen::Dynamic, 2> parts(c.size(), 2);
    parts << c.real(), c.imag();
    const Complex fixed = form(reduced.K, parts) + Complex(0, 1) * form(reduced.L, parts);
    if (!op.is_dependent()) return fixed;
    VectorXcd shares(static_cast<Index>(reduced.change.size()));
    for (std::size_t j = 0; j < reduced.change.size(); ++j)
        shares[static_cast<Index>(j)] = form(reduced.change[j], parts);
    Complex lambda = start;
    // Contracts by the share of energy times half the slope of log G over log f, well below 1; 60 steps of ½ pass
    // 1e-16.
    for (int i = 0; i < 60; ++i) {
        const Complex next = fixed + (op.change(hertz(lambda)).transpose() * shares)(0);
        const double moved = std::abs(next - lambda);
        lambda = next;
        if (moved <= 1e-12 * std::abs(lambda)) return lambda;
    }
    throw SolverError(fmt::format("no frequency fits its own layer stiffness near {:.4g} Hz", hertz(lambda)));
}

bool iterate(const LossyOperator& op, const ReducedPencil& reduced, int n_steps, ReducedMode& mode)
{
    ReducedMode now = mode;
    for (int step = 0; step < n_steps; ++step) {
        VectorXcd x = now.c;
        if (!solve_in_place(shifted(op, reduced, now.lambda, now.lambda), x)) break; // λ is exact
        normalise(x);
        if (likeness(x, mode.c) < 0.5) return false;
        const Complex lambda = rayleigh(op, reduced, x, now.lambda);
        const double moved = std::abs(lambda - now.lambda);
        now = {x, lambda};
        if (moved <= 1e-11 * std::abs(lambda)) break;
    }
    mode = now;
    return true;
}

void iterate_together(const LossyOperator& op, const ReducedPencil& reduced, std::vector<ReducedMode*> modes)
{
    const auto m = static_cast<Index>(modes.size());
    MatrixXcd vectors(reduced.size(), 2 * m);
    Complex mean = 0;
    for (Index k = 0; k < m; ++k) {
        const ReducedMode& mode = *modes[static_cast<std::size_t>(k)];
        vectors.col(k) = mode.c;
        VectorXcd x = mode.c;
        if (!solve_in_place(shifted(op, reduced, mode.lambda, mode.lambda), x)) x = mode.c;
        vectors.col(m + k) = x.normalized();
        mean += mode.lambda / static_cast<double>(m);
    }
    // The old vectors first: a direction's weight in them is that in the first coordinates.
    const Eigen::HouseholderQR<MatrixXcd> qr(vectors);
    const MatrixXcd W = qr.householderQ() * MatrixXcd::Identity(vectors.rows(), std::min(vectors.rows(), 2 * m));
    const MatrixXcd G = W.transpose() * W, A = W.transpose() * (shifted(op, reduced, mean, 0) * W);
    const ComplexPairs pairs = complex_eigen(G.partialPivLu().solve(A));
    const VectorXd weight = pairs.c.topRows(m).colwise().squaredNorm().transpose();
    std::vector<int> order(static_cast<std::size_t>(weight.size()));
    std::iota(order.begin(), order.end(), 0);
    std::sort(order.begin(), order.end(), [&](int a, int b) { return weight[a] > weight[b]; });
    for (std::size_t k = 0; k < modes.size(); ++k) {
        ReducedMode& mode = *modes[k];
        mode.c = W * pairs.c.col(order[k]);
        normalise(mode.c);
        mode.lambda = rayleigh(op, reduced, mode.c, pairs.lambda[order[k]]);
    }
}

ComplexPairs complex_eigen(MatrixXcd A)
{
    const int n = static_cast<int>(A.cols());
    MatrixXcd c(n, n);
    const std::vector<Complex> lambda = general_eigen(n, A.data(), c.data());
    std::vector<int> order(static_cast<std::size_t>(n));
    std::iota(order.begin(), order.end(), 0);
    std::sort(order.begin(), order.end(), [&](int a, int b) { return lambda[a].real() < lambda[b].real(); });
    ComplexPairs pairs{VectorXcd(n), MatrixXcd(n, n)};
    for (int i = 0; i < n; ++i) {
        pairs.lambda[i] = lambda[static_cast<std::size_t>(order[static_cast<std::size_t>(i)])];
        pairs.c.col(i) = c.col(order[static_cast<std::size_t>(i)]);
    }
    return pairs;
}

} // namespace stillwall::solver::internal
