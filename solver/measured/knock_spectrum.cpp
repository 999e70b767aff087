#include "solver/measured/knock_spectrum.h"

#include <unsupported/Eigen/FFT>

#include <algorithm>
#include <bit>
#include <cmath>

namespace stillwall::solver {
namespace {

using Eigen::Index;

/// Power of evenly spaced lines, the first at 0 Hz.
struct Lines
{
    Eigen::VectorXd power;
    double step_Hz = 0;
};

Lines lines_of(const Recording& recording, const Knock& knock)
{
    constexpr double coarsest = 0.5; // [Hz] between lines: wall modes of Q 100 at 100 Hz are 1 Hz wide
    const auto first = std::clamp<Index>(std::lround(knock.at_s * recording.rate_Hz), 0, recording.samples.size());
    const Index length =
        std::min<Index>(std::lround(knock.length_s * recording.rate_Hz), recording.samples.size() - first);
    const auto wanted = static_cast<unsigned long>(std::ceil(recording.rate_Hz / coarsest));
    const auto n =
        static_cast<Index>(std::bit_ceil(std::max<unsigned long>(wanted, static_cast<unsigned long>(length))));
    Eigen::VectorXd padded = Eigen::VectorXd::Zero(n);
    padded.head(length) = recording.samples.segment(first, length);
    Eigen::FFT<double> fft;
    Eigen::VectorXcd spectrum;
    fft.fwd(spectrum, padded);
    return {spectrum.head(n / 2 + 1).cwiseAbs2(), recording.rate_Hz / static_cast<double>(n)};
}

Lines lines_of(const TransferFunction& t)
{
    const auto before = static_cast<Index>(std::lround(t.f_first / t.f_step));
    Eigen::VectorXd power = Eigen::VectorXd::Zero(before + t.H.size());
    power.tail(t.H.size()) = t.H.cwiseAbs2();
    return {std::move(power), t.f_step};
}

/// The strongest line of each band; of a band between two lines the nearer one.
KnockSpectrum mean_of(const std::vector<Lines>& all, double f_from, double f_to)
{
    constexpr double per_octave = 72, least_dB = -200;
    KnockSpectrum mean;
    for (double f = f_from; f <= f_to; f *= std::exp2(1 / per_octave)) mean.f_Hz.push_back(f);
    Eigen::VectorXd sum = Eigen::VectorXd::Zero(static_cast<Index>(mean.f_Hz.size()));
    const double half = std::exp2(0.5 / per_octave);
    for (const Lines& lines : all) {
        const Index last = lines.power.size() - 1;
        const auto line = [&](double f) { return std::clamp<Index>(std::lround(f / lines.step_Hz), 0, last); };
        const double whole = lines.power.segment(line(f_from), line(f_to) - line(f_from) + 1).sum();
        if (!(whole > 0)) continue;
        for (Index i = 0; i < sum.size(); ++i) {
            const double f = mean.f_Hz[static_cast<std::size_t>(i)];
            const Index low = line(f / half), high = line(f * half);
            // Lines lie apart by different amounts in different recordings: by power per Hz.
            sum[i] += lines.power.segment(low, high - low + 1).maxCoeff() / (whole * lines.step_Hz);
        }
    }
    const double most = sum.size() > 0 ? sum.maxCoeff() : 0;
    if (!(most > 0)) return {};
    for (const double power : sum) mean.level_dB.push_back(std::max(least_dB, 10 * std::log10(power / most)));
    return mean;
}

} // namespace

KnockSpectrum knock_spectrum(const std::vector<Recording>& recordings, const KnockResult& result)
{
    std::vector<Lines> all;
    for (const Knock& knock : result.knocks) {
        const auto recording = std::find_if(recordings.begin(), recordings.end(),
                                            [&](const Recording& one) { return one.name == knock.recording; });
        if (knock.is_used && recording != recordings.end()) all.push_back(lines_of(*recording, knock));
    }
    return mean_of(all, result.f_from, result.f_to);
}

KnockSpectrum transfer_spectrum(const std::vector<TransferFunction>& functions, const KnockResult& result)
{
    std::vector<Lines> all;
    for (const TransferFunction& t : functions) all.push_back(lines_of(t));
    return mean_of(all, result.f_from, result.f_to);
}

} // namespace stillwall::solver
