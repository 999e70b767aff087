// Knocks made up of decaying sines: frequencies, Qs, faults.

#include "mesh/cabinet/error.h"
#include "solver/measured/knock.h"
#include "tests/measured.h"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <numbers>
#include <random>

using namespace stillwall::solver;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;
using Eigen::VectorXd;

namespace {

constexpr double pi = std::numbers::pi;

struct Tone
{
    double f = 0, Q = 0, level = 1;
};

/// Three knocks, each with amplitudes, phases and contact times of its own; white noise a tenth of the r.m.s. of the
/// first knock's first 50 ms: 20 dB.
Recording knocked(const std::vector<Tone>& tones, double rate, std::mt19937_64& random, double noise = 0.1)
{
    std::uniform_real_distribution<double> uniform(0, 1);
    std::normal_distribution<double> normal;
    const auto at = [&](double s) { return static_cast<Eigen::Index>(s * rate); };
    Recording r{"knock.wav", rate, VectorXd::Zero(at(6)), 0};
    for (const double start : {0.5, 2.3, 4.1})
        for (const Tone& tone : tones) {
            const double w = 2 * pi * tone.f, a = tone.level * (0.5 + uniform(random)),
                         phase = 2 * pi * uniform(random);
            const double contact = 1e-3 + 1e-3 * uniform(random);
            for (Eigen::Index i = 0; i < at(1.7); ++i) {
                const double t = static_cast<double>(i) / rate;
                const double rise = t < contact ? 0.5 - 0.5 * std::cos(pi * t / contact) : 1;
                r.samples[at(start) + i] += a * rise * std::exp(-0.5 * w * t / tone.Q) *
                                            std::sin(w * std::sqrt(1 - 0.25 / (tone.Q * tone.Q)) * t + phase);
            }
        }
    const double size = r.samples.segment(at(0.5), at(0.05)).norm() / std::sqrt(static_cast<double>(at(0.05)));
    for (double& x : r.samples) x = 0.1 * (x + noise * size * normal(random)) / std::max(size, 1e-12);
    return r;
}

std::vector<Tone> drawn_tones(int n, std::mt19937_64& random)
{
    std::uniform_real_distribution<double> uniform(0, 1);
    std::vector<Tone> tones;
    while (static_cast<int>(tones.size()) < n) {
        const Tone tone{80 * std::pow(1500.0 / 80, uniform(random)), 10 * std::pow(8, uniform(random)),
                        std::pow(10, -uniform(random))};
        const bool is_apart = std::none_of(tones.begin(), tones.end(),
                                           [&](const Tone& t) { return std::abs(std::log(t.f / tone.f)) < 0.04; });
        if (is_apart) tones.push_back(tone);
    }
    return tones;
}

const RungMode* nearest(const KnockResult& result, double f)
{
    const RungMode* best = nullptr;
    for (const RungMode& m : result.modes)
        if (best == nullptr || std::abs(m.f_Hz.value - f) < std::abs(best->f_Hz.value - f)) best = &m;
    return best;
}

} // namespace

TEST_CASE("rings without noise: poles to round-off", "[measured][knock]")
{
    // Reference: own case: 1 kHz, 512 samples, A e^(−2π f ζ t) sin(2π f √(1 − ζ²) t).
    // Tolerance: exact but for round-off, which two modes 4 % apart multiply, for their decays a hundredfold more.
    const std::vector<std::array<double, 3>> terms{{50, 0.01, 1}, {52, 0.02, 0.7}, {120, 0.005, 0.3}};
    VectorXd x = VectorXd::Zero(512);
    for (Eigen::Index i = 0; i < x.size(); ++i)
        for (const auto& [f, zeta, a] : terms) {
            const double t = static_cast<double>(i) / 1000;
            x[i] += a * std::exp(-2 * pi * f * zeta * t) * std::sin(2 * pi * f * std::sqrt(1 - zeta * zeta) * t);
        }
    const auto modes = modes_of_rings({x}, 1000, {20, 400, 20}).modes;
    REQUIRE(modes.size() == 3);
    for (std::size_t i = 0; i < 3; ++i) {
        CHECK_THAT(modes[i].f_Hz.value, WithinRel(terms[i][0], 1e-10));
        CHECK_THAT(0.5 / modes[i].Q.value, WithinRel(terms[i][1], 1e-8));
    }
}

TEST_CASE("knocks of six to ten modes at 20 dB over the noise", "[measured][knock]")
{
    constexpr int n_draws = 30;
    int n_all = 0, n_asked = 0, n_f = 0, n_Q = 0, n_extra = 0, n_found = 0;
    double squares_f = 0, squares_Q = 0;
    for (int draw = 0; draw < n_draws; ++draw) {
        std::mt19937_64 random(static_cast<unsigned>(draw));
        const std::vector<Tone> tones = drawn_tones(6 + draw % 5, random);
        const double rate = std::array{48000.0, 44100.0, 96000.0}[static_cast<std::size_t>(draw % 3)];
        const KnockResult result = analyse_knocks({knocked(tones, rate, random)});
        int n_matched = 0;
        for (const Tone& tone : tones) {
            const RungMode* mode = nearest(result, tone.f);
            ++n_all;
            const bool is_found = mode != nullptr && std::abs(mode->f_Hz.value / tone.f - 1) < 0.015;
            n_matched += is_found ? 1 : 0;
            // Cramér–Rao: a decay of a few milliseconds holds no 0.2 % of frequency, whatever the method. Asked of
            // those that ring for over 15 ms (1/α) at over −15 dB.
            const double alpha = pi * tone.f / tone.Q;
            const bool is_asked = alpha < 65 && tone.level > 0.18;
            n_asked += is_asked ? 1 : 0;
            if (!is_found) continue;
            ++n_found;
            squares_f += std::min(25.0, std::pow((mode->f_Hz.value - tone.f) / mode->f_Hz.error, 2));
            squares_Q += std::min(25.0, std::pow((mode->Q.value - tone.Q) / mode->Q.error, 2));
            if (!is_asked) continue;
            n_f += std::abs(mode->f_Hz.value / tone.f - 1) < 0.002 ? 1 : 0;
            n_Q += std::abs(mode->Q.value / tone.Q - 1) < 0.1 ? 1 : 0;
        }
        n_extra += static_cast<int>(result.modes.size()) - n_matched;
    }
    const double pull_f = std::sqrt(squares_f / n_found), pull_Q = std::sqrt(squares_Q / n_found);
    print_measured(
        fmt::format("knocks, {} modes at 20 dB, three knocks each", n_all),
        fmt::format(
            "{} found, {} that are none; of {} that ring over 15 ms at over −15 dB {} to 0.2 % in f, {} to 10 % "
            "in Q",
            n_found, n_extra, n_asked, n_f, n_Q));
    INFO(n_all << " modes, " << n_found << " found, " << n_extra << " that are none; of " << n_asked << " asked " << n_f
               << " to 0.2 % in frequency, " << n_Q << " to 10 % in Q; pulls " << pull_f << ", " << pull_Q);
    // Reference: the tones put in. Tolerance: measured 234 of 240 found, 8 that are none, 119 of 120 to 0.2 %; the
    // bounds leave room for a few more.
    CHECK(n_found >= 0.95 * n_all);
    CHECK(n_f >= 0.97 * n_asked); // the odd one sits in a close pair
    CHECK(n_Q >= 0.97 * n_asked);
    CHECK(n_extra <= 0.06 * n_all);
    // Errors within a factor of two of the truth.
    CHECK((pull_f > 0.5 && pull_f < 1.8));
    CHECK((pull_Q > 0.5 && pull_Q < 1.8));
}

namespace {

/// What a room adds: the recording through noise that falls by 60 dB in T60, from 5 ms on, its energy so many dB below
/// the direct sound's.
Recording in_room(const Recording& dry, double T60_s, double under_dB, std::mt19937_64& random)
{
    std::normal_distribution<double> normal;
    VectorXd room = VectorXd::Zero(static_cast<Eigen::Index>(T60_s * dry.rate_Hz));
    for (Eigen::Index i = static_cast<Eigen::Index>(0.005 * dry.rate_Hz); i < room.size(); ++i)
        room[i] = normal(random) * std::exp(-6.91 * static_cast<double>(i) / dry.rate_Hz / T60_s);
    room *= std::pow(10, -under_dB / 20) / room.norm(); // of white sound the energy is the squares' sum
    Recording wet = dry;
    for (Eigen::Index i = 0; i < room.size(); ++i)
        wet.samples.tail(dry.samples.size() - i) += room[i] * dry.samples.head(dry.samples.size() - i);
    return wet;
}

} // namespace

TEST_CASE("knocks in rooms: lines that only the room has are not the board's", "[measured][knock]")
{
    int n_false = 0, n_found = 0, n_asked = 0, n_within = 0, n_room = 0;
    constexpr int n_draws = 20;
    for (int draw = 0; draw < n_draws; ++draw) {
        std::mt19937_64 random(static_cast<unsigned>(100 + draw));
        const std::vector<Tone> tones = drawn_tones(6 + draw % 5, random);
        const double T60 = 0.3 + 0.01 * draw;
        const KnockResult result = analyse_knocks({in_room(knocked(tones, 8000, random, 0.003), T60, 20, random)});
        n_room += result.room_s.has_value() ? 1 : 0;
        for (const RungMode& mode : result.modes) {
            const bool is_true = std::any_of(tones.begin(), tones.end(), [&](const Tone& t) {
                return std::abs(mode.f_Hz.value / t.f - 1) < 0.5 / t.Q + 0.01;
            });
            if (!is_true && mode.level_dB > -20) ++n_false;
        }
        for (const Tone& tone : tones) {
            if (tone.level < 0.18) continue; // −15 dB
            ++n_asked;
            const RungMode* mode = nearest(result, tone.f);
            if (mode == nullptr || std::abs(mode->f_Hz.value / tone.f - 1) > 0.015) continue;
            ++n_found;
            n_within += std::abs(mode->Q.value - tone.Q) < mode->Q.error ? 1 : 0;
        }
    }
    const double within = static_cast<double>(n_within) / n_found;
    print_measured(fmt::format("knocks in rooms of 0.3 to 0.5 s, 20 dB direct to room, {} recordings", n_draws),
                   fmt::format("{} false lines over −20 dB; {} of {} over −15 dB found; Q within its error {:.0f} %",
                               n_false, n_found, n_asked, 100 * within));
    CAPTURE(n_false, n_found, n_asked, within);
    CHECK(n_room == n_draws);
    // Reference: the tones put in. Tolerance: what is promised of ten recordings, one false line, for each ten; a
    // standard deviation holds 68 of 100, ten points, and as much again for counting some 100 (5 points).
    CHECK(n_false <= n_draws / 10);
    CHECK(n_found >= 0.9 * n_asked);
    CHECK((within > 0.53 && within < 0.83));
}

TEST_CASE("knocks: two modes 2 % apart at Q 50", "[measured][knock]")
{
    // Reference: the two put in. Tolerance: 0.2 % and 10 %, which is what is promised of modes that ring for 15 ms or
    // more at 20 dB over the noise; these ring for 40 ms.
    std::mt19937_64 random(4);
    const KnockResult result = analyse_knocks({knocked({{400, 50}, {408, 50}}, 48000, random)});
    REQUIRE(result.modes.size() == 2);
    CHECK_THAT(result.modes[0].f_Hz.value, WithinRel(400.0, 2e-3));
    CHECK_THAT(result.modes[1].f_Hz.value, WithinRel(408.0, 2e-3));
    CHECK_THAT(result.modes[0].Q.value, WithinRel(50.0, 0.1));
}

TEST_CASE("knocks: the level does not matter", "[measured][knock]")
{
    std::mt19937_64 random(9);
    Recording loud = knocked({{180, 30}, {420, 40}, {640, 25}}, 48000, random);
    Recording soft = loud;
    soft.samples *= 1e-3;
    const KnockResult a = analyse_knocks({loud}), b = analyse_knocks({soft});
    REQUIRE(a.modes.size() == b.modes.size());
    // Reference: the loud one. Tolerance: round-off of the scaling alone, through an ill-conditioned decomposition.
    for (std::size_t i = 0; i < a.modes.size(); ++i) {
        CHECK_THAT(a.modes[i].f_Hz.value, WithinRel(b.modes[i].f_Hz.value, 1e-6));
        CHECK_THAT(a.modes[i].Q.value, WithinRel(b.modes[i].Q.value, 1e-4));
    }
}

TEST_CASE("knocks: recordings that are none are said to be so", "[measured][knock]")
{
    std::mt19937_64 random(2);
    std::normal_distribution<double> normal;
    const auto complaint = [](const Recording& r) -> std::string {
        try {
            return std::to_string(analyse_knocks({r}).modes.size()) + " modes";
        } catch (const stillwall::DomainError& error) {
            return error.what();
        }
    };
    const Recording good = knocked({{180, 30}, {420, 40}}, 48000, random);

    Recording silent = good;
    silent.samples.setZero();
    CHECK_THAT(complaint(silent), Contains("knock.wav: silent"));

    Recording clipped = good;
    clipped.bits = 16;
    clipped.samples = (20 * clipped.samples).cwiseMax(-1).cwiseMin(1);
    CHECK_THAT(complaint(clipped), Contains("clipped"));

    Recording cut = good;
    cut.samples = good.samples.segment(24000 - 4800, 4800 + 1200).eval(); // 25 ms after the knock
    CHECK_THAT(complaint(cut), Contains("cut off"));

    Recording noise = good;
    for (double& x : noise.samples) x = 0.1 * normal(random);
    CHECK_THAT(complaint(noise), Contains("no single knock"));

    Recording music = good; // notes that swell and overlap
    for (Eigen::Index i = 0; i < music.samples.size(); ++i) {
        const double t = static_cast<double>(i) / 48000, beat = std::fmod(t, 0.25);
        music.samples[i] =
            0.1 * std::sin(2 * pi * (220 + 55 * std::floor(4 * t)) * t) * (0.5 + 0.5 * std::cos(8 * pi * beat)) +
            0.05 * std::sin(2 * pi * 110 * t) + 0.01 * normal(random);
    }
    CHECK_THAT(complaint(music), Contains("no single knock"));

    // A click without a ring in noise holds no mode.
    Recording click = good;
    for (double& x : click.samples) x = 1e-3 * normal(random);
    for (Eigen::Index i = 0; i < 48; ++i) click.samples[96000 + i] += std::sin(pi * static_cast<double>(i) / 48);
    const std::string said = complaint(click);
    CHECK((said == "0 modes" || said.find("no knock can be used") == 0));
}
