#include "solver/drive/internal/resonance.h"
#include "solver/linalg/dense_lu.h"
#include "solver/linalg/hertz.h"
#include "solver/linalg/parallel.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

namespace stillwall::solver::internal {
namespace {

using Complex = std::complex<double>;
using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::VectorXcd;

struct Pencil
{
    MatrixXcd G, V;

    [[nodiscard]] Complex quotient(const VectorXcd& y) const
    {
        return (y.transpose() * (G * y))(0) / (y.transpose() * (V * y))(0);
    }
};

/// The air with some of its sources taking part in its motion, the others held.
struct AirProblem
{
    const Player& player;
    std::vector<Index> free; ///< places in source_system()

    /// The air with them condensed.
    [[nodiscard]] Pencil at(double f_Hz) const
    {
        const Coupled& cabinet = player.cabinet;
        const double omega = 2 * std::numbers::pi * f_Hz;
        const Index n_sources = player.columns.n_sources;
        const MatrixXcd Z_ss = player.load(f_Hz).bottomRightCorner(n_sources, n_sources);
        Pencil pencil{cabinet.air.stiffness(f_Hz, cabinet.face_admittance), cabinet.air.compressibility(f_Hz)};
        if (!free.empty()) {
            const MatrixXcd push = source_columns(cabinet)(Eigen::all, free).cast<Complex>();
            pencil.G += Complex(0, omega) * push *
                        DenseLu(source_system(cabinet, f_Hz, Z_ss)(free, free)).solve(push.transpose());
        }
        pencil.G += omega * omega * pencil.V;
        return pencil;
    }
};

AirProblem air_problem(const Player& player, bool with_driven_cones)
{
    AirProblem problem{player, {}};
    const auto& sources = player.cabinet.sources;
    for (std::size_t s = 0; s < sources.size(); ++s)
        if (with_driven_cones || !sources[s].cone || is_passive(sources[s]))
            problem.free.push_back(static_cast<Index>(s));
    for (Index p = 0; p < player.cabinet.n_ports(); ++p) problem.free.push_back(player.columns.n_sources + p);
    return problem;
}

struct Found
{
    Complex lambda;
    VectorXcd y;
};

/// Inverse iteration at fixed frequency.
Found nearest(const Pencil& pencil, Complex shift, VectorXcd y)
{
    const DenseLu factor(pencil.G - shift * pencil.V);
    Complex lambda = shift;
    for (int i = 0; i < 4; ++i) {
        const VectorXcd b = pencil.V * y, z = factor.solve(b);
        lambda = shift + (y.transpose() * b)(0) / (z.transpose() * b)(0);
        y = z / std::sqrt((z.transpose() * (pencil.V * z))(0));
    }
    return {lambda, y};
}

/// Solves ω² = Re λ(ω). Plain iteration runs away where λ falls steeply, as with a passive radiator whose suspension is
/// stiffer than the box (slope −Vb/Vap of λ against ω²); there the slope between the last two rounds is followed
/// instead.
/// @param first_shift  share of the start's own quotient about which the first round looks
std::optional<Found> follow(const AirProblem& problem, VectorXcd y, double f_start, double f_from, double f_to,
                            double first_shift = 1)
{
    constexpr double steep = -0.5; // plain iteration still halves its error at this slope
    double last_f2 = 0, last_value = 0;
    double f = std::clamp(f_start, f_from, f_to);
    Found found{0, std::move(y)};
    for (int round = 0; round < 8; ++round) {
        const Pencil pencil = problem.at(f);
        found = nearest(pencil, round == 0 ? first_shift * pencil.quotient(found.y) : found.lambda, found.y);
        const double now = hertz(found.lambda), before = f;
        if (!std::isfinite(now)) return std::nullopt;
        const double f2 = before * before, value = now * now;
        double slope = round > 0 && f2 != last_f2 ? (value - last_value) / (f2 - last_f2) : 0;
        if (slope > steep) slope = 0;
        f = std::clamp(std::sqrt((value - slope * f2) / (1 - slope)), f_from, f_to);
        if (std::abs(f - before) * (1 - slope) < 1e-3 * f) break;
        last_f2 = f2;
        last_value = value;
    }
    if (hertz(found.lambda) < f_from || hertz(found.lambda) > f_to) return std::nullopt;
    return found;
}

/// From a chamber's uniform pressure, ascending. In a line that opens at its end the pressure falls along it so much
/// that what is nearest to the uniform pressure's quotient may be its second resonance, so that one is also looked for
/// well below; elsewhere both are the tuning.
std::vector<Found> follow_tuning(const AirProblem& problem, const VectorXcd& y, double f_start, double f_from,
                                 double f_to)
{
    constexpr double below = 0.3; // of ω²; a quarter wave has 0.1 to 1 of it
    std::vector<Found> all;
    for (const double shift : {below, 1.0})
        if (auto found = follow(problem, y, f_start, f_from, f_to, shift)) all.push_back(std::move(*found));
    std::sort(all.begin(), all.end(), [](const Found& a, const Found& b) { return a.lambda.real() < b.lambda.real(); });
    return all;
}

double quality(Complex lambda)
{
    return lambda.imag() > 0 ? lambda.real() / lambda.imag() : 1e6;
}

/// A passive radiator's suspension stores energy beside the air's spring: in λ(ω) it shows as a slope. Of ω² = λ(ω)
/// near real ω, to first order,
///     Q = (Re λ − ½ Re ω dλ/dω) / Im λ.
double tuning_quality(const AirProblem& problem, const Found& found, double f_from, double f_to)
{
    const double f = hertz(found.lambda), low = std::max(0.99 * f, f_from), high = std::min(1.01 * f, f_to);
    const Complex slope = (problem.at(high).quotient(found.y) - problem.at(low).quotient(found.y)) * f / (high - low);
    return quality(found.lambda - slope.real() / 2);
}

LoadedMode describe(const Found& found, SoundMode::Kind kind, const std::string& name, double Q)
{
    LoadedMode r;
    r.lambda = found.lambda;
    r.y = found.y;
    r.mode.kind = kind;
    r.mode.name = name;
    r.mode.f_Hz = hertz(found.lambda);
    r.mode.Q = Q;
    r.mode.T60_s = 2.2 * r.mode.Q / r.mode.f_Hz;
    return r;
}

bool is_known(const std::vector<LoadedMode>& all, const LoadedMode& r)
{
    return std::any_of(all.begin(), all.end(), [&](const LoadedMode& other) {
        const double likeness = std::abs(other.y.dot(r.y)) / (other.y.norm() * r.y.norm());
        return std::abs(other.mode.f_Hz / r.mode.f_Hz - 1) < 1e-3 && likeness > 0.98;
    });
}

} // namespace

std::vector<LoadedMode> air_resonances(const Player& player, const std::vector<std::string>& names, double f_from,
                                       double f_to)
{
    const AirProblem undriven = air_problem(player, false), all_sources = air_problem(player, true);
    const Eigen::VectorXd& mode_Hz = player.cabinet.air.mode_Hz;
    std::vector<std::vector<LoadedMode>> found(static_cast<std::size_t>(mode_Hz.size()));
    for_each_item(found.size(), [&](std::size_t i) {
        const auto k = static_cast<Index>(i);
        const VectorXcd y = VectorXcd::Unit(player.cabinet.air.size(), k);
        const auto keep = [&](const Found& mode, SoundMode::Kind kind, const std::string& name, double Q) {
            if (Q < 0.7) return;
            found[i].push_back(describe(mode, kind, name, Q));
            found[i].back().open_Hz = mode_Hz[k];
        };
        if (mode_Hz[k] >= 1) {
            if (mode_Hz[k] > 1.25 * f_to) return; // fillings slow the sound by up to a fifth
            const auto mode = follow(all_sources, y, mode_Hz[k], f_from, f_to);
            if (mode) keep(*mode, SoundMode::Kind::Air, names[i], quality(mode->lambda));
        } else if (const auto tuning = tuning_estimate(player.cabinet, k)) {
            const std::vector<Found> modes = follow_tuning(undriven, y, *tuning, f_from, f_to);
            for (std::size_t m = 0; m < modes.size(); ++m)
                keep(modes[m], m == 0 ? SoundMode::Kind::Port : SoundMode::Kind::Air,
                     m == 0 ? names[i] : "air: a wave of its own", tuning_quality(undriven, modes[m], f_from, f_to));
        }
    });
    std::vector<LoadedMode> all;
    for (auto& modes : found)
        for (LoadedMode& r : modes)
            if (!is_known(all, r)) all.push_back(std::move(r));
    return all;
}

} // namespace stillwall::solver::internal
