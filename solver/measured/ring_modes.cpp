#include "solver/measured/internal/ring_poles.h"
#include "solver/measured/knock.h"

#include <Eigen/Eigenvalues>
#include <Eigen/QR>
#include <Eigen/SVD>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver {
namespace {

using Complex = std::complex<double>;
using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXd;
using internal::alpha_of;
using internal::Amplitudes;
using internal::amplitudes_of;
using internal::Pole;

constexpr double Q_least = 2, Q_most = 600;
constexpr double same_f = 0.005, same_loss = 0.2;
constexpr int least_orders = 5;
constexpr double over_bound = 2; ///< a subspace of finite length scatters more than the bound: measured, see the test

/// Orthonormal columns that hold the signals, strongest first.
MatrixXd signal_subspace(const std::vector<VectorXd>& rings, Index rows)
{
    constexpr double most_direct =
        3e8; // flops of a direct decomposition; beyond, squares do: 1e-8 is enough with noise
    Index columns = 0;
    for (const VectorXd& r : rings) columns += r.size() - rows + 1;
    MatrixXd hankel;
    MatrixXd squares = MatrixXd::Zero(rows, rows);
    const bool is_direct =
        static_cast<double>(columns) * static_cast<double>(rows) * static_cast<double>(rows) < most_direct;
    if (is_direct) hankel.resize(rows, columns);
    Index at = 0;
    for (const VectorXd& r : rings) {
        const Index n = r.size() - rows + 1;
        MatrixXd part(rows, n);
        for (Index k = 0; k < n; ++k) part.col(k) = r.segment(k, rows);
        part /= r.norm(); // one loud knock must not be all
        if (is_direct)
            hankel.middleCols(at, n) = part;
        else
            squares.selfadjointView<Eigen::Lower>().rankUpdate(part);
        at += n;
    }
    if (is_direct) return Eigen::BDCSVD<MatrixXd>(hankel, Eigen::ComputeThinU).matrixU();
    const Eigen::SelfAdjointEigenSolver<MatrixXd> eigen(squares);
    return eigen.eigenvectors().rowwise().reverse();
}

/// Poles in the band by shift invariance of the first `order` columns.
std::vector<Pole> poles_of(const MatrixXd& subspace, Index order, double rate_Hz, const KnockSetting& setting)
{
    const Index n = subspace.rows() - 1;
    const MatrixXd shift =
        subspace.topRows(n).leftCols(order).householderQr().solve(subspace.bottomRows(n).leftCols(order));
    const Eigen::VectorXcd z = shift.eigenvalues();
    std::vector<Pole> poles;
    for (const Complex& value : z) {
        const Complex s = std::log(value) * rate_Hz;
        const Pole pole{std::abs(s) / (2 * std::numbers::pi), -0.5 * std::abs(s) / s.real()};
        if (s.imag() > 0 && pole.f_Hz >= setting.f_from && pole.f_Hz <= setting.f_to && pole.Q > Q_least &&
            pole.Q < Q_most)
            poles.push_back(pole);
    }
    return poles;
}

/// A pole as it shows over rising orders.
struct Track
{
    std::vector<Pole> poles;
    std::size_t last_order = 0;
};

double median(std::vector<double> x)
{
    std::nth_element(x.begin(), x.begin() + static_cast<std::ptrdiff_t>(x.size() / 2), x.end());
    return x[x.size() / 2];
}

Pole middle(const Track& track)
{
    std::vector<double> f, loss;
    for (const Pole& p : track.poles) {
        f.push_back(p.f_Hz);
        loss.push_back(1 / p.Q);
    }
    return {median(f), 1 / median(loss)};
}

std::vector<Track> tracks_of(const std::vector<std::vector<Pole>>& by_order)
{
    constexpr std::size_t gap = 2; // orders a pole may miss
    std::vector<Track> tracks;
    for (std::size_t order = 0; order < by_order.size(); ++order)
        for (const Pole& pole : by_order[order]) {
            Track* best = nullptr;
            double nearest = 1;
            for (Track& track : tracks) {
                const Pole& last = track.poles.back();
                const double off = std::abs(pole.f_Hz / last.f_Hz - 1) / same_f;
                const bool fits = off < 1 && std::abs(last.Q / pole.Q - 1) < same_loss && track.last_order < order &&
                                  order - track.last_order <= gap;
                if (fits && off < nearest) nearest = off, best = &track;
            }
            if (best == nullptr) {
                tracks.push_back({});
                best = &tracks.back();
            }
            best->poles.push_back(pole);
            best->last_order = order;
        }
    return tracks;
}

/// A pole with its errors, by the window in which it was found.
struct Estimate
{
    Pole pole;
    double ln_f_error = 0, ln_Q_error = 0;
};

std::vector<Pole> poles_of(const std::vector<Estimate>& estimates)
{
    std::vector<Pole> poles;
    for (const Estimate& e : estimates) poles.push_back(e.pole);
    return poles;
}

/// Poles that stay over the orders, in the first seconds of every ring.
std::vector<Estimate> estimates_in(const std::vector<VectorXd>& rings, double rate_Hz, const KnockSetting& setting)
{
    constexpr Index most_rows = 400, order_step = 2;
    Index shortest = rings.front().size();
    for (const VectorXd& r : rings) shortest = std::min(shortest, r.size());
    const Index rows = std::min(most_rows, std::max<Index>(8, shortest / 2));
    const MatrixXd subspace = signal_subspace(rings, rows);
    std::vector<std::vector<Pole>> by_order;
    const Index highest = std::min<Index>({2 * static_cast<Index>(setting.most_modes), rows - 2, subspace.cols()});
    for (Index order = 2; order <= highest; order += order_step)
        by_order.push_back(poles_of(subspace, order, rate_Hz, setting));
    std::vector<Track> tracks = tracks_of(by_order);
    std::erase_if(tracks, [](const Track& t) { return static_cast<int>(t.poles.size()) < least_orders; });
    std::vector<Pole> poles;
    for (const Track& track : tracks) poles.push_back(middle(track));
    if (poles.empty()) return {};

    std::vector<double> energy(poles.size(), 0); // in noise variances
    for (const VectorXd& ring : rings) {
        const Amplitudes a = amplitudes_of(ring, poles, rate_Hz);
        for (std::size_t p = 0; p < poles.size(); ++p) {
            const double A = a.size[static_cast<Index>(p)], window = static_cast<double>(ring.size()) / rate_Hz;
            const double noise = a.noise_during(poles[p], rate_Hz);
            // Of a decay that is cut by the window less is seen: of its length, cubed as the bound has it.
            const double seen = std::pow(1 - std::exp(-0.5 * alpha_of(poles[p]) * window), 3);
            energy[p] += seen * A * A * rate_Hz / (4 * alpha_of(poles[p]) * std::max(noise * noise, 1e-300));
        }
    }
    std::vector<Estimate> estimates;
    for (std::size_t p = 0; p < poles.size(); ++p) {
        std::vector<double> f_off, Q_off;
        for (const Pole& pole : tracks[p].poles) {
            f_off.push_back(std::abs(pole.f_Hz / poles[p].f_Hz - 1));
            Q_off.push_back(std::abs(pole.Q / poles[p].Q - 1));
        }
        const double bound = over_bound * 2 / std::sqrt(energy[p]); // of ln α; of ln ω it is 1/2Q of that
        estimates.push_back(
            {poles[p], std::hypot(bound / (2 * poles[p].Q), median(f_off)), std::hypot(bound, median(Q_off))});
    }
    return estimates;
}

/// Of what several windows found, the surest; others that mean the same go.
std::vector<Estimate> surest(std::vector<Estimate> all)
{
    constexpr double worst = 0.2; // of Q: beyond, it is chance
    std::erase_if(all, [](const Estimate& e) { return e.ln_Q_error > worst; });
    std::sort(all.begin(), all.end(), [](const Estimate& a, const Estimate& b) { return a.ln_Q_error < b.ln_Q_error; });
    std::vector<Estimate> kept;
    for (const Estimate& e : all) {
        const bool is_new = std::none_of(kept.begin(), kept.end(), [&](const Estimate& k) {
            return std::abs(std::log(e.pole.f_Hz / k.pole.f_Hz)) <
                   std::max(same_f, 0.25 / std::min(e.pole.Q, k.pole.Q));
        });
        if (is_new) kept.push_back(e);
    }
    return kept;
}

/// Poles that stand out of a room's tail, and those that do not; nothing where there is no room.
struct Parted
{
    std::vector<Estimate> kept, of_room;
    std::optional<double> room_s;
};

std::vector<Amplitudes> fits_of(const std::vector<VectorXd>& rings, const std::vector<Estimate>& estimates,
                                double rate_Hz)
{
    const std::vector<Pole> poles = poles_of(estimates);
    std::vector<Amplitudes> fits;
    for (const VectorXd& ring : rings) fits.push_back(amplitudes_of(ring, poles, rate_Hz));
    return fits;
}

/// @param fits  of all, per ring
Parted part_from_room(const std::vector<VectorXd>& rings, const std::vector<Amplitudes>& fits,
                      const std::vector<Estimate>& all, double rate_Hz)
{
    // Of a hundred places where only the room sounds, the highest is 4.6 times the mean, seldom 9; the tail is taken
    // for twice what is left of it.
    constexpr double above_room = 5;
    const std::vector<Pole> poles = poles_of(all);
    const internal::Tail tail = internal::tail_of(rings, fits, poles, rate_Hz, above_room);
    if (!tail.is_there) return {};
    Parted parted{{}, {}, tail.T60_s};
    for (std::size_t p = 0; p < poles.size(); ++p) {
        Estimate e = all[p];
        // The bound on a decay in white noise, by its power over the noise through its own filter: (σ_α/α)² = 2 / that.
        const double error = std::sqrt(2 / std::max(tail.over_tail[p], 1.0));
        e.ln_Q_error = std::hypot(e.ln_Q_error, error);
        e.ln_f_error = std::hypot(e.ln_f_error, error / (2 * e.pole.Q));
        (tail.is_tail[p] ? parted.of_room : parted.kept).push_back(e);
    }
    return parted;
}

/// Levels, and in how many knocks it rings.
/// @param fits  of those kept, per ring
std::vector<RungMode> judged(const std::vector<VectorXd>& rings, const std::vector<Amplitudes>& fits,
                             const std::vector<Estimate>& kept, double rate_Hz)
{
    if (kept.empty()) return {};
    const std::vector<Pole> poles = poles_of(kept);
    std::vector<RungMode> modes(poles.size());
    std::vector<double> squares(poles.size(), 0);
    for (std::size_t r = 0; r < rings.size(); ++r) {
        for (std::size_t p = 0; p < poles.size(); ++p) {
            const double A = fits[r].size[static_cast<Index>(p)], noise = fits[r].noise_during(poles[p], rate_Hz);
            squares[p] += A * A / rings[r].squaredNorm();
            constexpr double seen = 16; // energy in noise variances
            if (A * A * rate_Hz / (4 * alpha_of(poles[p])) > seen * noise * noise) ++modes[p].n_knocks;
        }
    }
    const double strongest = *std::max_element(squares.begin(), squares.end());
    for (std::size_t p = 0; p < poles.size(); ++p) {
        modes[p].f_Hz = {poles[p].f_Hz, poles[p].f_Hz * kept[p].ln_f_error};
        modes[p].Q = {poles[p].Q, poles[p].Q * kept[p].ln_Q_error};
        modes[p].level_dB = 10 * std::log10(squares[p] / strongest);
    }
    const int half = static_cast<int>(rings.size() + 1) / 2;
    constexpr double least_dB = -45;
    std::erase_if(modes, [&](const RungMode& m) { return m.n_knocks < half || m.level_dB < least_dB; });
    std::sort(modes.begin(), modes.end(),
              [](const RungMode& a, const RungMode& b) { return a.f_Hz.value < b.f_Hz.value; });
    return modes;
}

} // namespace

Rung modes_of_rings(const std::vector<VectorXd>& rings, double rate_Hz, const KnockSetting& setting)
{
    // What is soon gone is drowned by noise in a long window, what rings long is not told apart in a short one.
    constexpr double windows_s[] = {0.05, 0.15, 0.4, 1.2};
    constexpr Index least_samples = 24;
    std::vector<VectorXd> used;
    for (const VectorXd& r : rings)
        if (r.size() > least_samples) used.push_back(r);
    if (used.empty()) return {};
    std::vector<Estimate> all;
    Index before = 0;
    for (const double seconds : windows_s) {
        std::vector<VectorXd> cut;
        Index longest = 0;
        for (const VectorXd& r : used) {
            cut.push_back(r.head(std::min(r.size(), std::max(least_samples, static_cast<Index>(seconds * rate_Hz)))));
            longest = std::max(longest, cut.back().size());
        }
        if (longest == before) break; // the rings are no longer
        before = longest;
        for (const Estimate& e : estimates_in(cut, rate_Hz, setting)) all.push_back(e);
    }
    const std::vector<Estimate> kept = surest(std::move(all));
    if (kept.empty()) return {};

    const std::vector<Amplitudes> fits = fits_of(used, kept, rate_Hz);
    Parted parted;
    if (setting.hears_room) parted = part_from_room(used, fits, kept, rate_Hz);
    if (!parted.room_s) return {judged(used, fits, kept, rate_Hz), {}, {}};
    return {judged(used, fits_of(used, parted.kept, rate_Hz), parted.kept, rate_Hz),
            judged(used, fits_of(used, parted.of_room, rate_Hz), parted.of_room, rate_Hz), parted.room_s};
}

} // namespace stillwall::solver
