#include "solver/measured/internal/rings.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver::internal {
namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr double frame_s = 0.004;   ///< of the envelope
constexpr double contact_s = 0.004; ///< after the start: finger or hammer still touches
constexpr double longest_s = 1.0;   ///< of a decay
constexpr double apart_s = 0.12;    ///< knocks nearer than this are one
constexpr double dead_air = 1e-12;  ///< mean square under which nothing was recorded

/// Mean squares of successive frames.
VectorXd envelope(const Decimated& low)
{
    const auto step = std::max<Index>(1, static_cast<Index>(frame_s * low.rate_Hz));
    VectorXd squares(low.samples.size() / step);
    for (Index i = 0; i < squares.size(); ++i)
        squares[i] = low.samples.segment(i * step, step).squaredNorm() / static_cast<double>(step);
    return squares;
}

double quantile(VectorXd x, double share)
{
    auto* at = x.data() + static_cast<Index>(share * static_cast<double>(x.size() - 1));
    std::nth_element(x.data(), at, x.data() + x.size());
    return *at;
}

/// Frames at which something starts: ten times the mean of the 20 ms before, over the noise and near the loudest.
std::vector<Index> onsets_of(const VectorXd& squares, double noise)
{
    constexpr Index before = 5;
    constexpr double jump = 10, over_noise = 10, near_loudest = 3e-3;
    std::vector<Index> onsets;
    if (squares.size() == 0) return onsets;
    const double loudest = squares.maxCoeff();
    for (Index i = 0; i < squares.size(); ++i) {
        const Index from = std::max<Index>(0, i - before);
        const double past = i > from ? squares.segment(from, i - from).mean() : noise;
        const bool starts =
            squares[i] > jump * past && squares[i] > over_noise * noise && squares[i] > near_loudest * loudest;
        const bool is_new = onsets.empty() || static_cast<double>(i - onsets.back()) * frame_s > apart_s;
        if (starts && is_new) onsets.push_back(i);
    }
    return onsets;
}

/// Three samples at full scale in a row (whole numbers), or five equal ones at the top of the piece.
bool is_clipped(const Recording& recording, double from_s, double to_s)
{
    const auto at = [&](double s) {
        return std::clamp<Index>(static_cast<Index>(s * recording.rate_Hz), 0, recording.samples.size());
    };
    const VectorXd piece = recording.samples.segment(at(from_s), at(to_s) - at(from_s));
    if (piece.size() == 0) return false;
    const double top = piece.cwiseAbs().maxCoeff();
    const bool at_full_scale = recording.bits && top > 0.9995;
    int in_a_row = 0;
    for (Index i = 0; i < piece.size(); ++i) {
        in_a_row = std::abs(piece[i]) > top * (1 - 1e-6) ? in_a_row + 1 : 0;
        if (in_a_row >= (at_full_scale ? 3 : 5)) return true;
    }
    return false;
}

double decibels(double ratio)
{
    return 10 * std::log10(std::max(ratio, 1e-30));
}

/// First sample that reaches a quarter of the largest between two.
Index start_of(const Decimated& low, Index from, Index to)
{
    from = std::max<Index>(0, from);
    const VectorXd sizes = low.samples.segment(from, std::min(to, low.samples.size()) - from).cwiseAbs();
    const double enough = 0.25 * sizes.maxCoeff();
    Index i = 0;
    while (sizes[i] < enough) ++i;
    return from + i;
}

/// One knock between two frames.
Ring ring_of(const Recording& recording, const Decimated& low, const VectorXd& squares, double noise, Index onset,
             Index end)
{
    constexpr double least_dB = 10, least_s = 0.03, to_noise = 2;
    const auto step = std::max<Index>(1, static_cast<Index>(frame_s * low.rate_Hz));
    Ring ring;
    ring.knock.recording = recording.name;
    ring.knock.at_s = static_cast<double>(onset * step) / low.rate_Hz;
    const Index start =
        start_of(low, (onset - 1) * step, (onset + 5) * step) + static_cast<Index>(contact_s * low.rate_Hz);
    const Index first = std::min(start / step + 1, end - 1);
    Index last = first;
    const Index most = std::min(end, first + static_cast<Index>(longest_s / frame_s));
    while (last < most && (squares.segment(last, std::min<Index>(3, squares.size() - last)).mean() > to_noise * noise))
        ++last;
    const Index n_early = std::min<Index>(12, std::max<Index>(1, last - first)); // 50 ms
    const double early = squares.segment(first, n_early).mean();
    ring.knock.length_s = static_cast<double>((last - first) * step) / low.rate_Hz;
    ring.knock.over_noise_dB = decibels(early / noise);
    const double fall =
        decibels(early / squares
                             .segment(std::max(first, last - 3),
                                      std::min<Index>(3, last - std::max(first, last - 3)) + (last == first ? 1 : 0))
                             .mean());
    auto& faults = ring.knock.faults;
    if (is_clipped(recording, ring.knock.at_s - frame_s, ring.knock.at_s + 0.05)) faults.push_back(KnockFault::Clipped);
    if (ring.knock.over_noise_dB < least_dB) faults.push_back(KnockFault::Noisy);
    const bool is_cut = last >= squares.size() - 1;
    if (is_cut && fall < least_dB)
        faults.push_back(KnockFault::TooShort);
    else if (ring.knock.length_s < least_s || fall < least_dB)
        faults.push_back(ring.knock.length_s < least_s && is_cut ? KnockFault::TooShort : KnockFault::NoKnock);
    ring.knock.is_used = faults.empty();
    if (ring.knock.is_used) ring.decay = low.samples.segment(start, last * step - start);
    return ring;
}

Ring refused(const Recording& recording, KnockFault fault)
{
    Ring ring;
    ring.knock.recording = recording.name;
    ring.knock.is_used = false;
    ring.knock.faults = {fault};
    return ring;
}

} // namespace

Decimated decimated(const Recording& recording, double f_to)
{
    const auto factor = std::max<Index>(1, static_cast<Index>(recording.rate_Hz / (3 * f_to)));
    const VectorXd& x = recording.samples;
    if (factor == 1) return {x.array() - x.mean(), recording.rate_Hz};
    // Windowed sinc: passes f_to, stops at the new rate less f_to.
    const double rate = recording.rate_Hz / static_cast<double>(factor), cut = 0.5 * rate / recording.rate_Hz;
    const Index half = 8 * factor;
    VectorXd taps(2 * half + 1);
    for (Index k = -half; k <= half; ++k) {
        const double t = static_cast<double>(k),
                     sinc = k == 0 ? 2 * cut : std::sin(2 * std::numbers::pi * cut * t) / (std::numbers::pi * t);
        taps[k + half] = sinc * (0.5 + 0.5 * std::cos(std::numbers::pi * t / static_cast<double>(half + 1)));
    }
    taps /= taps.sum();
    Decimated low{VectorXd(x.size() / factor), rate};
    const double mean = x.mean();
    for (Index i = 0; i < low.samples.size(); ++i) {
        const Index middle = i * factor, from = std::max<Index>(0, middle - half),
                    to = std::min(x.size(), middle + half + 1);
        low.samples[i] =
            (x.segment(from, to - from).array() - mean).matrix().dot(taps.segment(from - middle + half, to - from));
    }
    return low;
}

std::vector<Ring> rings_of(const Recording& recording, const Decimated& low)
{
    constexpr double quiet_share = 0.2; // of the frames show the noise alone
    const VectorXd squares = envelope(low);
    if (squares.size() < 16) return {refused(recording, KnockFault::TooShort)};
    if (squares.maxCoeff() < dead_air) return {refused(recording, KnockFault::Silent)};
    const double noise = std::max(quantile(squares, quiet_share), dead_air * squares.maxCoeff());
    const std::vector<Index> onsets = onsets_of(squares, noise);
    constexpr double bursts_per_s = 5;
    const double seconds = static_cast<double>(squares.size()) * frame_s;
    const bool is_busy = decibels(squares.maxCoeff() / quantile(squares, 0.5)) < 12 ||
                         static_cast<double>(onsets.size()) > 2 + bursts_per_s * seconds;
    if (onsets.empty() || is_busy) {
        // Started before the recording did, or no start at all.
        const double fall = decibels(squares.head(5).mean() / squares.tail(5).mean());
        const bool is_cut = onsets.empty() && fall > 10;
        const bool is_quiet = decibels(squares.maxCoeff() / noise) < 10;
        return {refused(recording, is_cut                                                   ? KnockFault::TooShort
                                   : is_quiet && seconds > 0.5 && squares.maxCoeff() < 1e-6 ? KnockFault::Silent
                                                                                            : KnockFault::NoKnock)};
    }
    std::vector<Ring> rings;
    for (std::size_t k = 0; k < onsets.size(); ++k) {
        const Index end = k + 1 < onsets.size() ? onsets[k + 1] - 1 : squares.size();
        rings.push_back(ring_of(recording, low, squares, noise, onsets[k], end));
    }
    return rings;
}

} // namespace stillwall::solver::internal
