#include "mesh/cabinet/error.h"
#include "solver/measured/internal/rings.h"

#include <unsupported/Eigen/FFT>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver {
namespace {

using Eigen::Index;

/// Impulse response: bins below the first are 0; the ends of the band are let out gently over a twentieth of it.
Recording impulse_response(const TransferFunction& t)
{
    const auto before = static_cast<Index>(std::lround(t.f_first / t.f_step));
    const Index n = before + t.H.size(); // bins from 0
    const double width = 0.05 * static_cast<double>(t.H.size());
    Eigen::VectorXcd spectrum = Eigen::VectorXcd::Zero(2 * n);
    for (Index i = 0; i < t.H.size(); ++i) {
        const double from_top = static_cast<double>(t.H.size() - i),
                     from_bottom = before > 0 ? static_cast<double>(i + 1) : width;
        const double near = std::min({from_top / width, from_bottom / width, 1.0});
        const std::complex<double> value = t.H[i] * (0.5 - 0.5 * std::cos(std::numbers::pi * near));
        spectrum[before + i] = value;
        if (before + i > 0) spectrum[2 * n - before - i] = std::conj(value);
    }
    Eigen::FFT<double> fft;
    Eigen::VectorXcd response;
    fft.inv(response, spectrum);
    constexpr double settled = 0.95; // of the repeat: before it wraps round
    return {t.name, 2 * static_cast<double>(n) * t.f_step,
            response.real().head(static_cast<Index>(settled * static_cast<double>(n))), 0};
}

} // namespace

KnockResult analyse_transfer(const std::vector<TransferFunction>& functions, const KnockSetting& setting)
{
    constexpr double of_band = 0.85; // the top is let out
    KnockResult result;
    result.f_from = setting.f_from;
    result.f_to = setting.f_to;
    for (const TransferFunction& t : functions) {
        const double top = t.f_first + t.f_step * static_cast<double>(t.H.size() - 1);
        result.f_to = std::min(result.f_to, of_band * top);
        if (t.f_first > 0) result.f_from = std::max(result.f_from, t.f_first + 0.05 * (top - t.f_first));
    }
    if (!(result.f_to > result.f_from))
        throw DomainError("the transfer functions do not reach into the band looked at");
    std::vector<Eigen::VectorXd> rings;
    double rate = 0;
    for (const TransferFunction& t : functions) {
        const internal::Decimated low = internal::decimated(impulse_response(t), result.f_to);
        if (rate > 0 && std::abs(low.rate_Hz / rate - 1) > 1e-9) {
            result.warnings.push_back("transfer functions of another range than the first are left out");
            continue;
        }
        rate = low.rate_Hz;
        constexpr Index start = 6; // samples: what the band's end smears about the blow
        if (low.samples.size() < 64)
            throw DomainError(
                "too few lines in the transfer functions: at least 64 up to the highest frequency looked for");
        rings.push_back(low.samples.tail(low.samples.size() - start));
        Knock knock;
        knock.recording = t.name;
        knock.length_s = static_cast<double>(low.samples.size()) / rate;
        result.knocks.push_back(knock);
    }
    KnockSetting used = setting;
    used.f_from = result.f_from;
    used.f_to = result.f_to;
    used.hears_room = false;
    static_cast<Rung&>(result) = modes_of_rings(rings, rate, used);
    return result;
}

} // namespace stillwall::solver
