// Spectra of knocks against decaying sines whose spectra are known.

#include "solver/measured/knock_spectrum.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

using namespace stillwall::solver;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

constexpr double pi = std::numbers::pi, rate = 8000, f0 = 400, Q = 20;

/// Silence, at 0.5 s a decaying sine of 400 Hz and Q 20, at 2.5 s one of 700 Hz.
Recording two_knocks()
{
    Recording r{"two.wav", rate, Eigen::VectorXd::Zero(4 * 8000), std::nullopt};
    for (const auto& [start, f] : {std::pair{0.5, f0}, std::pair{2.5, 700.0}})
        for (Eigen::Index i = 0; i < 8000; ++i) {
            const double t = static_cast<double>(i) / rate, w = 2 * pi * f;
            r.samples[static_cast<Eigen::Index>(start * rate) + i] += std::exp(-0.5 * w * t / Q) * std::sin(w * t);
        }
    return r;
}

KnockResult result_of(bool second_is_used)
{
    KnockResult result;
    result.f_from = 100;
    result.f_to = 1000;
    result.knocks = {{"two.wav", 0.5, 1.0, 30, true, {}}, {"two.wav", 2.5, 1.0, 30, second_is_used, {}}};
    return result;
}

std::size_t at(const KnockSpectrum& s, double f)
{
    return static_cast<std::size_t>(std::lower_bound(s.f_Hz.begin(), s.f_Hz.end(), f) - s.f_Hz.begin());
}

} // namespace

TEST_CASE("the spectrum of a decaying sine is the resonance's own", "[measured][knock]")
{
    const KnockSpectrum s = knock_spectrum({two_knocks()}, result_of(false));
    REQUIRE(s.f_Hz.size() == s.level_dB.size());
    const std::size_t peak = at(s, f0 / std::exp2(0.5 / 72));
    // Reference: the definition: the strongest line is 0 dB, and it is that of the sine. Tolerance: round-off.
    CHECK_THAT(s.level_dB[peak], WithinAbs(0, 1e-9));
    CHECK_THAT(s.f_Hz[peak], WithinRel(f0, 0.005)); // half a band of 1/72 octave
    // Reference: |X|² of e^(−αt) sin ωt is ω²/((ω² + α² − ν²)² + 4α²ν²), α = ω/2Q, by hand.
    // Tolerance: bands of 1/72 octave hold their strongest line, whose slope there is up to 0.9 dB in half a band.
    const double w = 2 * pi * f0, a = w / (2 * Q);
    const auto power = [&](double f) {
        const double v = 2 * pi * f;
        return 1 / (std::pow(w * w + a * a - v * v, 2) + 4 * a * a * v * v);
    };
    for (const double f : {300.0, 380.0, 420.0, 600.0})
        CHECK_THAT(s.level_dB[at(s, f)], WithinAbs(10 * std::log10(power(s.f_Hz[at(s, f)]) / power(f0)), 0.9));
}

TEST_CASE("only the knocks that are used are in the spectrum, each by its share", "[measured][knock]")
{
    // Reference: of the same Q and amplitude the share at the top goes with 1/f: half-power width f/Q; 700 Hz lies
    // 10 lg(700/400) = 2.4 dB under 400 Hz. Tolerance: lines 0.5 Hz apart beside a peak 20 Hz wide, and the band's
    // ends cut 0.2 dB off the share.
    const KnockSpectrum one = knock_spectrum({two_knocks()}, result_of(false)),
                        both = knock_spectrum({two_knocks()}, result_of(true));
    const double low = std::exp2(-0.5 / 72);
    CHECK(one.level_dB[at(one, 700 * low)] < -15);
    CHECK_THAT(both.level_dB[at(both, 700 * low)], WithinAbs(-2.4, 0.3));
    KnockResult none = result_of(false);
    none.knocks[0].is_used = false;
    CHECK(knock_spectrum({two_knocks()}, none).level_dB.empty());
}

TEST_CASE("the spectrum of a transfer function is its own magnitude", "[measured][knock]")
{
    // Reference: H = 1/(f0² − f² + j f f0/Q) at its own lines, by hand. Tolerance: round-off: lines are 10 Hz apart,
    // wider than the bands below 1 kHz.
    TransferFunction t{"one", 100, 10, Eigen::VectorXcd(91), TransferFunction::Response::Unknown};
    const auto H = [](double f) { return 1.0 / std::complex<double>(f0 * f0 - f * f, f * f0 / Q); };
    for (Eigen::Index i = 0; i < 91; ++i) t.H[i] = H(100 + 10 * static_cast<double>(i));
    const KnockSpectrum s = transfer_spectrum({t}, result_of(true));
    const std::size_t i = at(s, 300);
    const double line = 10 * std::round(s.f_Hz[i] / 10);
    CHECK_THAT(s.level_dB[i], WithinAbs(20 * std::log10(std::abs(H(line)) / std::abs(H(400))), 1e-6));
}
