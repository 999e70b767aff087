#include "solver/radiation/modal_radiation.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/blas.h"
#include "solver/linalg/parallel.h"
#include "solver/radiation/internal/geometry.h"
#include "solver/radiation/internal/radiating_span.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver {

using Complex = std::complex<double>;
using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::VectorXd;
using internal::Echoes;
using internal::LevelSolver;
using internal::ReducedRadiation;

namespace {

constexpr double two_pi = 2 * std::numbers::pi;
constexpr std::size_t max_nodes = 18;   ///< of one span that still errs; then it is cut in two
constexpr std::size_t max_solves = 400; ///< of all spans together

void check(const std::vector<RadiatingLevel>& levels, const ModalBand& band)
{
    if (!(band.f_low > 0) || !(band.f_high > band.f_low) || !std::isfinite(band.f_high))
        throw DomainError(
            fmt::format("modal radiation: needs 0 < f_low < f_high, got {} and {} Hz", band.f_low, band.f_high));
    if (!(band.tolerance > 0)) throw DomainError("modal radiation: the tolerance must be > 0");
    if (levels.empty() || levels.front().shapes.cols() == 0) throw DomainError("modal radiation: no level or no shape");
    if (band.n_loaded && *band.n_loaded > levels.front().shapes.cols())
        throw DomainError("modal radiation: more loaded shapes than shapes");
    double f_top = 0;
    for (const RadiatingLevel& level : levels) {
        if (level.shapes.rows() != level.surface.size() || level.shapes.cols() != levels.front().shapes.cols())
            throw DomainError(
                "modal radiation: the shapes do not fit the panels or differ in number between the levels");
        if (!level.shapes.allFinite()) throw DomainError("modal radiation: a shape is not finite");
        if (!(level.f_top > f_top)) throw DomainError("modal radiation: the levels' upper frequencies must ascend");
        f_top = level.f_top;
    }
    if (f_top < band.f_high)
        throw DomainError(fmt::format("modal radiation: the levels reach {} Hz, the band {} Hz", f_top, band.f_high));
}

/// A span while it grows.
struct GrowingSpan
{
    std::size_t level, solver; ///< by number
    BoundaryEquation equation;
    double f_low, f_high;
    bool is_mirrored;
    std::size_t n_start;             ///< nodes solved before the first trial
    double error = -1;               ///< −1: not yet tested
    std::vector<double> f{};         ///< nodes in the order of choice
    std::vector<MatrixXcd> Z{}, T{}; ///< reduced quantities at the nodes

    void add(double frequency, MatrixXcd Z_there, MatrixXcd T_there)
    {
        f.push_back(frequency);
        Z.push_back(std::move(Z_there));
        T.push_back(std::move(T_there));
    }
    [[nodiscard]] ReducedRadiation interpolate(double frequency) const
    {
        const VectorXd c = internal::lagrange_weights(f, is_mirrored, frequency);
        return {.Z = internal::weighted_sum(c, Z), .T = internal::weighted_sum(c, T)};
    }
};

/// Cuts the band at the levels' ends, and at kr = 0.8 π (see boundary.h), where no inside resonance has come near and
/// the equation changes from plain to combined: the gradual change of `combined` would add the two equations' different
/// panel errors to what must be interpolated. Long spans are cut so that each needs some fifteen nodes: a polynomial
/// needs about one degree for each radian by which the phase at the ends of the range of delays turns between the
/// middle and the end of the span.
std::vector<GrowingSpan> make_spans(const std::vector<RadiatingLevel>& levels, const ModalBand& band,
                                    const Echoes& echoes, double sound_speed)
{
    constexpr double most_turn = 18; ///< of a span [rad]
    const double f_change = 0.4 * sound_speed / echoes.radius;
    const double turn_per_hz = std::numbers::pi * echoes.range / sound_speed;
    std::vector<GrowingSpan> spans;
    double f_low = band.f_low;
    for (std::size_t i = 0; i < levels.size();) {
        const double top = std::min(levels[i].f_top, band.f_high);
        if (top <= f_low) {
            ++i;
            continue;
        }
        const bool is_first = spans.empty();
        const bool is_below = f_low < f_change;
        double f_high = is_below && f_change < top ? f_change : top;
        if (is_first)
            f_high = std::min(f_high, std::max(most_turn / turn_per_hz, 2 * f_low));
        else
            f_high = f_low + (f_high - f_low) / std::ceil(turn_per_hz * (f_high - f_low) / (2 * most_turn));
        const double turn = turn_per_hz * (is_first ? f_high : 0.5 * (f_high - f_low));
        const auto n = static_cast<std::size_t>(is_first ? 2 + 0.5 * turn : 3 + 0.7 * turn);
        const auto equation = is_below ? BoundaryEquation::plain : BoundaryEquation::fully_combined;
        spans.push_back({i, spans.size(), equation, f_low, f_high, is_first, n});
        f_low = f_high;
    }
    return spans;
}

struct Job
{
    std::size_t span;
    double frequency;
    ReducedRadiation value;
};

/// Cuts spans that have many nodes and still err, so that the nodes gather at a sharp resonance: that of the slit under
/// a cabinet on low feet, say. Each half keeps the nodes that lie in it.
void cut_stubborn(std::vector<GrowingSpan>& spans, double tolerance)
{
    std::size_t n_solves = 0;
    for (const GrowingSpan& span : spans) n_solves += span.f.size();
    for (std::size_t i = 0; i < spans.size(); ++i) {
        if (spans[i].error <= tolerance || spans[i].f.size() < max_nodes) continue;
        if (n_solves > max_solves) {
            throw SolverError(
                fmt::format("modal radiation: {} solves do not reach tolerance {:g} between {:.0f} and {:.0f} Hz",
                            n_solves, tolerance, spans[i].f_low, spans[i].f_high));
        }
        GrowingSpan whole = std::move(spans[i]);
        const double middle = 0.5 * (whole.f_low + whole.f_high);
        GrowingSpan low{whole.level, whole.solver, whole.equation, whole.f_low, middle, whole.is_mirrored, 2};
        GrowingSpan high{whole.level, whole.solver, whole.equation, middle, whole.f_high, false, 2};
        for (std::size_t k = 0; k < whole.f.size(); ++k)
            (whole.f[k] < middle ? low : high).add(whole.f[k], std::move(whole.Z[k]), std::move(whole.T[k]));
        spans[i] = std::move(low);
        spans.insert(spans.begin() + static_cast<std::ptrdiff_t>(++i), std::move(high));
    }
}

/// The nodes each unfinished span wants next: its first ones, then two trial points at a time.
std::vector<Job> next_jobs(const std::vector<GrowingSpan>& spans, double tolerance)
{
    std::vector<Job> jobs;
    // Finer levels first: their solves are the longest.
    for (std::size_t i = spans.size(); i-- > 0;) {
        const GrowingSpan& span = spans[i];
        if (span.error >= 0 && span.error <= tolerance) continue;
        std::vector<double> nodes = span.f;
        // Both ends first, then between them.
        const std::size_t wanted = nodes.empty() ? std::max<std::size_t>(span.n_start, 2) : nodes.size() + 2;
        while (nodes.size() < wanted) {
            nodes.push_back(nodes.empty() ? span.f_high
                                          : internal::next_node(nodes, span.is_mirrored, span.f_low, span.f_high));
            jobs.push_back({i, nodes.back(), {}});
        }
    }
    return jobs;
}

/// Takes the solved jobs in; what the polynomial through the nodes before them misses becomes the span's error.
void take_in(std::vector<Job>& jobs, const VectorXd& scale, std::vector<GrowingSpan>& spans)
{
    std::vector<std::size_t> n_before;
    for (const GrowingSpan& span : spans) n_before.push_back(span.f.size());
    std::vector<double> error(spans.size(), -1);
    for (const Job& job : jobs) {
        if (n_before[job.span] > 0)
            error[job.span] =
                std::max(error[job.span], miss(spans[job.span].interpolate(job.frequency), job.value, scale));
    }
    for (Job& job : jobs) {
        GrowingSpan& span = spans[job.span];
        span.add(job.frequency, std::move(job.value.Z), std::move(job.value.T));
        span.error = error[job.span];
    }
}

/// Share of the work done, a solve on n panels counted as n^2.5; spans not yet through may need two nodes more.
double share_done(const std::vector<GrowingSpan>& spans, const std::vector<RadiatingLevel>& levels, double tolerance)
{
    double done = 0, whole = 0;
    for (const GrowingSpan& span : spans) {
        const double cost = std::pow(static_cast<double>(levels[span.level].surface.size()), 2.5);
        const bool is_through = span.error >= 0 && span.error <= tolerance;
        done += cost * static_cast<double>(span.f.size());
        whole += cost * static_cast<double>(span.f.size() + (is_through ? 0 : 2));
    }
    return done / whole;
}

} // namespace

ModalRadiation::ModalRadiation(const std::vector<RadiatingLevel>& levels, const RadiationSetting& setting,
                               const Points& points, const ModalBand& band)
    : air_(setting.air)
{
    check(levels, band);
    const Echoes echoes = internal::make_echoes(levels.front(), points, setting);
    delay_ = echoes.delays.transfer;
    impedance_delay_ = echoes.delays.impedance;
    std::vector<GrowingSpan> spans = make_spans(levels, band, echoes, air_.sound_speed);
    const Index n_loaded = band.n_loaded.value_or(levels.front().shapes.cols());
    const VectorXd scale =
        (levels.front().shapes.cwiseAbs2().transpose() * areas(levels.front().surface)).unaryExpr([](double s2) {
            return s2 > 0 ? 1 / std::sqrt(s2) : 0.0;
        });
    std::vector<LevelSolver> solvers;
    for (const GrowingSpan& span : spans) {
        RadiationSetting one = setting;
        one.equation = setting.equation == BoundaryEquation::plain ? BoundaryEquation::plain : span.equation;
        solvers.emplace_back(levels[span.level], one, points, echoes.delays, n_loaded);
    }
    // Two frequencies side by side in one thread each go faster than one in two.
    const internal::OneBlasThread one_each;
    double done = 0;
    for (std::vector<Job> jobs = next_jobs(spans, band.tolerance); !jobs.empty();
         jobs = next_jobs(spans, band.tolerance)) {
        internal::for_each_item(jobs.size(), [&](std::size_t i) {
            jobs[i].value = solvers[spans[jobs[i].span].solver].solve(jobs[i].frequency);
        });
        take_in(jobs, scale, spans);
        cut_stubborn(spans, band.tolerance);
        done = std::max(done, share_done(spans, levels, band.tolerance));
        if (band.progress) band.progress(done);
    }
    for (GrowingSpan& span : spans) {
        spans_.push_back(
            {span.f_low, span.f_high, span.is_mirrored, std::move(span.f), std::move(span.Z), std::move(span.T)});
        error_ = std::max(error_, span.error);
    }
}

const ModalRadiation::Span& ModalRadiation::span_at(double frequency) const
{
    for (const Span& span : spans_) {
        if (frequency >= span.f_low && frequency <= span.f_high) return span;
    }
    throw DomainError(fmt::format("modal radiation: {} Hz lies outside {} to {} Hz", frequency, spans_.front().f_low,
                                  spans_.back().f_high));
}

MatrixXcd ModalRadiation::impedance(double frequency) const
{
    const Span& span = span_at(frequency);
    const double omega = two_pi * frequency;
    const VectorXd c = internal::lagrange_weights(span.f, span.is_mirrored, frequency);
    return Complex(0, omega * air_.density) * std::exp(Complex(0, -omega * impedance_delay_)) *
           internal::weighted_sum(c, span.Z);
}

MatrixXcd ModalRadiation::transfer(double frequency) const
{
    const Span& span = span_at(frequency);
    const double omega = two_pi * frequency;
    const MatrixXcd lag = (Complex(0, -omega) * delay_.cast<Complex>()).array().exp().matrix();
    const VectorXd c = internal::lagrange_weights(span.f, span.is_mirrored, frequency);
    return Complex(0, omega * air_.density) * internal::weighted_sum(c, span.T).cwiseProduct(lag);
}

double ModalRadiation::error_estimate() const
{
    return error_;
}

std::vector<double> ModalRadiation::frequencies() const
{
    std::vector<double> result;
    for (const Span& span : spans_) result.insert(result.end(), span.f.begin(), span.f.end());
    std::sort(result.begin(), result.end());
    return result;
}

} // namespace stillwall::solver
