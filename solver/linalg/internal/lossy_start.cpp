#include "solver/linalg/internal/lossy_start.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/blas.h"
#include "solver/linalg/hertz.h"

#include <fmt/format.h>

#include <Eigen/QR>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <optional>

namespace stillwall::solver::internal {

namespace {

using Complex = std::complex<double>;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXcd;
using Eigen::VectorXd;

// How far the layers' stiffness at f is from that at the top: the largest |log| of a ratio of moduli.
double stiffness_change(const LossyOperator& op, double f_Hz, double f_top_Hz)
{
    const VectorXcd s = op.change(f_Hz), top = op.change(f_top_Hz);
    double largest = 0;
    for (Index j = 0; j < s.size(); ++j) {
        const double ratio = (1 + s[j].real()) / (1 + top[j].real());
        if (!(ratio > 0)) throw SolverError(fmt::format("a layer's stiffness at {:.4g} Hz is not positive", f_Hz));
        largest = std::max(largest, std::abs(std::log(ratio)));
    }
    return largest;
}

// Largest relative changes of a real mode's λ to first order: real on the way down to f, imaginary at either end.
struct Changes
{
    double stiffness = 0, loss = 0;
};

Changes first_order_changes(const LossyOperator& op, const ReducedPencil& reduced, double f_Hz, int first)
{
    const VectorXcd s = op.change(f_Hz);
    Changes largest;
    for (Index k = first; k < reduced.size(); ++k) {
        Complex change = 0;
        for (std::size_t j = 0; j < reduced.change.size(); ++j)
            change += s[static_cast<Index>(j)] * reduced.change[j](k, k);
        const double loss = std::max(std::abs(reduced.L(k, k)), std::abs(reduced.L(k, k) + change.imag()));
        largest.stiffness = std::max(largest.stiffness, std::abs(change.real()) / reduced.K(k, k));
        largest.loss = std::max(largest.loss, loss / reduced.K(k, k));
    }
    return largest;
}

EigenResult lower_modes(const LossyOperator& op, const SparseMatrix& K, double f_max, double tolerance,
                        const EigenResult& real, const ComplexModesOptions& options)
{
    EigenOptions lower{.f_max = f_max,
                       .f_shift = options.f_shift,
                       .tolerance = tolerance,
                       .prove = false,
                       .nodes_dof = options.nodes_dof};
    if (K.nonZeros() == op.K().nonZeros()) lower.ordering = real.ordering;
    return lowest_modes(K, op.M(), lower);
}

// Adds the modes above λ to the space.
void add_modes(const EigenResult& modes, double lambda, SearchSpace& space)
{
    const Index n = modes.phi.cols();
    for (Index from = std::lower_bound(modes.lambda.begin(), modes.lambda.end(), lambda) - modes.lambda.begin();
         from < n; from += 8) {
        const Index count = std::min<Index>(8, n - from);
        Eight W = Eight::Zero(8, modes.phi.rows());
        W.topRows(count) = modes.phi.middleCols(from, count).transpose();
        static_cast<void>(space.extend(std::move(W)));
    }
}

// Frequencies at which the stiffness has changed by equal factors of at most 3, lowest last.
std::vector<double> rungs(const LossyOperator& op, double f_low, double f_top)
{
    constexpr double largest_factor = 3;
    constexpr int n_looks = 200;
    const double whole = stiffness_change(op, f_low, f_top);
    const int n = static_cast<int>(std::ceil(whole / std::log(largest_factor) - 1e-9));
    std::vector<double> result;
    for (int i = 1; i <= n_looks && static_cast<int>(result.size()) < n; ++i) {
        const double f = f_top * std::pow(f_low / f_top, static_cast<double>(i) / n_looks);
        const double next = whole * static_cast<double>(result.size() + 1) / n;
        if (stiffness_change(op, f, f_top) >= next * (1 - 1e-9)) result.push_back(f);
    }
    return result;
}

// Some eigenpairs at the properties of one frequency: positions first, first + 1 … in the order of Re λ.
struct Window
{
    int first = 0;
    ComplexPairs pairs; ///< c in the coordinates of the whole space
};

Window window_at(const LossyOperator& op, const ReducedPencil& reduced, double f_Hz, int k)
{
    constexpr int half = 30; // real modes to either side that a lossy mode is mixed from at first
    const VectorXcd s = op.change(f_Hz);
    MatrixXd y = reduced.real_part(s);
    const int m = static_cast<int>(reduced.size());
    const std::vector<double> mu = symmetric_eigen(m, y.data());
    Window window;
    window.first = std::max(0, k - half);
    const int count = std::min(m, k + half + 1) - window.first;
    const auto Y = y.middleCols(window.first, count);
    Eigen::MatrixXcd A(count, count);
    A.imag() = Y.transpose() * (reduced.imaginary_part(s) * Y);
    A.real() = VectorXd(Eigen::Map<const VectorXd>(mu.data() + window.first, count)).asDiagonal();
    window.pairs = complex_eigen(std::move(A));
    // Modes of equal λ come in no particular mixture, even two nearly the same: real modes with most of the pair in
    // them instead.
    const Eigen::MatrixXcd c = window.pairs.c;
    for (int from = 0, to = 0; from < count; from = to) {
        const auto differs = [&](int i) {
            return std::abs(window.pairs.lambda[i] - window.pairs.lambda[i - 1]) >
                   1e-7 * std::abs(window.pairs.lambda[i]);
        };
        for (to = from + 1; to < count && !differs(to);) ++to;
        if (to == from + 1) continue;
        const VectorXd weight = c.middleCols(from, to - from).rowwise().squaredNorm();
        std::vector<int> order(static_cast<std::size_t>(count));
        std::iota(order.begin(), order.end(), 0);
        std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return weight[a] > weight[b]; });
        for (int i = from; i < to; ++i)
            window.pairs.c.col(i) = VectorXcd::Unit(count, order[static_cast<std::size_t>(i - from)]);
    }
    window.pairs.c = Y * window.pairs.c;
    return window;
}

// The window in which mode k lies at its own frequency.
Window own_window(const LossyOperator& op, const ReducedPencil& reduced, int k, double& f_Hz)
{
    for (int i = 0; i < 30; ++i) {
        Window window = window_at(op, reduced, f_Hz, k);
        const double f = hertz(window.pairs.lambda[k - window.first]);
        const bool is_close = std::abs(f - f_Hz) <= 0.02 * f || !op.is_dependent();
        f_Hz = f;
        if (is_close) return window;
    }
    throw SolverError(fmt::format("mode {} finds no frequency of its own near {:.4g} Hz", k + 1, f_Hz));
}

bool is_same(const ReducedMode& a, const ReducedMode& b)
{
    return std::abs(a.lambda - b.lambda) < 1e-5 * std::abs(a.lambda) && likeness(a.c, b.c) > 0.99;
}

ReducedMode mode_of(const LossyOperator& op, const ReducedPencil& reduced, const Window& window, int i)
{
    ReducedMode mode{window.pairs.c.col(i), window.pairs.lambda[i]};
    normalise(mode.c);
    mode.lambda = rayleigh(op, reduced, mode.c, mode.lambda);
    static_cast<void>(iterate(op, reduced, 8, mode)); // where it runs away, the window's pair stands
    return mode;
}

// The space's edge brings forth pairs that solve nothing: their residual is as large as their terms.
bool is_near_a_mode(const LossyOperator& op, const SearchSpace& space, const ReducedMode& mode)
{
    if (!op.is_dependent()) return true; // one pencil: every pair of it is a mode's image
    const LossyResidual residual = op.residual(space.vectors({&mode, 1}), {&mode.lambda, 1});
    return residual.size[0] < 1e9 * residual.scale[0];
}

bool is_new(const std::vector<ReducedMode>& modes, const ReducedMode& mode)
{
    return std::none_of(modes.begin(), modes.end(), [&](const ReducedMode& m) { return is_same(m, mode); });
}

// The window's i-th pair as a mode; where that is already held, the nearest that is not. Nothing when there is none.
std::optional<ReducedMode> new_mode(const LossyOperator& op, const SearchSpace& space, const Window& window, int i,
                                    const std::vector<ReducedMode>& modes)
{
    constexpr std::size_t n_tried = 6;
    std::vector<int> order(static_cast<std::size_t>(window.pairs.lambda.size()));
    std::iota(order.begin(), order.end(), 0);
    const auto distance = [&](int k) { return std::abs(window.pairs.lambda[k] - window.pairs.lambda[i]); };
    std::sort(order.begin(), order.end(), [&](int a, int b) { return distance(a) < distance(b); });
    for (std::size_t k = 0; k < std::min(n_tried, order.size()); ++k) {
        const ReducedMode mode = mode_of(op, space.reduced(), window, order[k]);
        if (!is_new(modes, mode)) continue;
        if (is_near_a_mode(op, space, mode)) return mode;
        if (k == 0) return std::nullopt;
    }
    return std::nullopt;
}

} // namespace

SearchSpace start_space(const LossyOperator& op, const EigenResult& real, int first_elastic,
                        const ComplexModesOptions& options)
{
    SearchSpace space(op, real.lambda, real.phi);
    const auto n = static_cast<int>(real.lambda.size());
    const double f_top = hertz(real.lambda[n - 1]), f_low = 0.6 * hertz(real.lambda[first_elastic]);
    const Changes changes = first_order_changes(op, space.reduced(), f_low, first_elastic);
    // A lossy mode near the top is mixed with real modes above it, over a range that grows with the loss.
    if (changes.loss > 0.1) {
        add_modes(lower_modes(op, op.K(), f_top * 1.3, 1e-6, real, options), real.lambda[n - 1] * (1 + 1e-6), space);
    }
    if (changes.stiffness > 0.1) {
        double f_above = f_top;
        for (const double f : rungs(op, f_low, f_top)) {
            add_modes(lower_modes(op, op.real_stiffness(f), 1.1 * f_above, 1e-4, real, options), 0, space);
            f_above = f;
        }
    }
    space.settle();
    return space;
}

SearchSpace part_for(const LossyOperator& op, const SearchSpace& space, std::span<ReducedMode> modes)
{
    const double f_end = hertz(modes.back().lambda);
    MatrixXd y = space.reduced().real_part(op.change(std::sqrt(f_end * hertz(modes.front().lambda))));
    const int m = static_cast<int>(y.cols());
    const std::vector<double> mu = symmetric_eigen(m, y.data());
    const double limit = std::pow(2 * std::numbers::pi * 1.6 * f_end, 2);
    const int kept = static_cast<int>(std::lower_bound(mu.begin(), mu.end(), limit) - mu.begin());
    const auto Y = y.leftCols(kept);
    MatrixXd rest(m, 2 * static_cast<Index>(modes.size()));
    for (std::size_t k = 0; k < modes.size(); ++k) {
        rest.col(static_cast<Index>(2 * k)) = modes[k].c.real();
        rest.col(static_cast<Index>(2 * k + 1)) = modes[k].c.imag();
    }
    rest -= Y * (Y.transpose() * rest).eval();
    const Eigen::ColPivHouseholderQR<MatrixXd> qr(rest);
    const Index added = std::min<Index>((qr.matrixR().diagonal().cwiseAbs().array() > 1e-4).count(), m - kept);
    MatrixXd part(m, kept + added);
    part << Y, qr.householderQ() * MatrixXd::Identity(m, added);
    if (part.cols() > 3 * m / 4) return space;
    for (ReducedMode& mode : modes) {
        const VectorXcd c = part.transpose() * mode.c;
        mode.c = c;
        normalise(mode.c);
    }
    return space.part(part);
}

std::vector<ReducedMode> start_modes(const LossyOperator& op, const SearchSpace& space, int first, int n,
                                     double f_start_Hz)
{
    constexpr int ahead = 15; // modes taken from one window, well away from its end
    const ReducedPencil& reduced = space.reduced();
    std::vector<ReducedMode> modes;
    double f = f_start_Hz;
    const auto n_wanted = static_cast<std::size_t>(n - first);
    // The order in a window is not quite that in the whole space: some more, and the lowest of all.
    const std::size_t n_looked_at = n_wanted + n_wanted / 8 + 2;
    for (int k = first; k < reduced.size() && modes.size() < n_looked_at;) {
        const Window window = own_window(op, reduced, k, f);
        const int end = std::min(k + ahead, window.first + static_cast<int>(window.pairs.lambda.size()));
        for (const int begin = k; k < end && modes.size() < n_looked_at; ++k) {
            const double f_k = hertz(window.pairs.lambda[k - window.first]);
            if (op.is_dependent() && k > begin && std::abs(f_k - f) > 0.03 * f) break;
            if (auto mode = new_mode(op, space, window, k - window.first, modes)) modes.push_back(std::move(*mode));
        }
    }
    std::sort(modes.begin(), modes.end(),
              [](const ReducedMode& a, const ReducedMode& b) { return a.lambda.real() < b.lambda.real(); });
    if (modes.size() < n_wanted)
        throw SolverError(fmt::format("only {} of {} lossy modes found", modes.size(), n_wanted));
    return modes;
}

} // namespace stillwall::solver::internal
