#pragma once
// A made-up result of `sound`: curves from closed forms, modes whose figures are easy to say by heart.

#include "tests/app/output_fixture.h"

#include "app/write/sound_report.h"

#include <cmath>
#include <complex>
#include <numbers>

namespace stillwall::test {

using Complex = std::complex<double>;

/// The sound of one resonance: `peak` at f_m in phase, (j f f_m/Q) / (f_m² − f² + j f f_m/Q) elsewhere.
inline Complex resonance(double f, double f_m, double Q, double peak)
{
    const Complex damping(0, f * f_m / Q);
    return peak * damping / (f_m * f_m - f * f + damping);
}

/// Third-order high-pass at 40 Hz times 0.4 Pa (86 dB): a vented box from afar.
inline Complex direct_sound(double f)
{
    const Complex s(0, f / 40);
    return 0.4 * s * s * s / ((s * s + s + 1.0) * (s + 1.0));
}

/// A coil of 6 ohm and 0.5 mH with two humps of 24 and 34 ohm at 21 and 61 Hz.
inline Complex impedance_of_vented_box(double f)
{
    return Complex(6, 2 * std::numbers::pi * f * 5e-4) + resonance(f, 21, 4, 24) + resonance(f, 61, 4, 34);
}

inline solver::SoundMode wall_mode(const std::string& name, double f_Hz, double Q, double level_dB,
                                   const std::string& board)
{
    solver::SoundMode mode;
    mode.name = name;
    mode.wall = 0;
    mode.f_Hz = f_Hz;
    mode.band = solver::FrequencyBand{f_Hz - 24, f_Hz + 24};
    mode.Q = Q;
    mode.T60_s = 2.2 * Q / f_Hz;
    mode.part = board;
    mode.force_share = 0.8;
    mode.pressure_share = 0.2;
    mode.driver = "woofer";
    // Second listener: 3 dB less; all directions: 5 dB less.
    const auto hear = [&](double level, std::optional<int> listener) {
        mode.heard.push_back({level, f_Hz, solver::judge_heard({level, Q, f_Hz, mode.T60_s}), listener});
    };
    hear(level_dB, 0);
    hear(level_dB - 3, 1);
    hear(level_dB - 5, std::nullopt);
    mode.worst = mode.heard[0];
    mode.wrinkles = {{"woofer way", 0.35, 0.1, 0.04, f_Hz}};
    mode.reason = "the woofer shakes it";
    return mode;
}

/// Levels by hand: Q 50 has its lines at −8.0 and −2.4 dB, Q 20 at −12.0 and −5.2 dB, Q 30 at −10.2 and −4.0 dB.
inline std::vector<solver::SoundMode> five_sound_modes()
{
    std::vector<solver::SoundMode> modes(1);
    modes[0].kind = solver::SoundMode::Kind::Port;
    modes[0].name = "port tuning";
    modes[0].f_Hz = 38;
    modes[0].Q = 9.5;
    modes[0].T60_s = 2.2 * 9.5 / 38;
    modes[0].part = "port";
    modes.push_back(wall_mode("front: 1×1", 412.3, 50, 0, "front")); // audible
    modes.push_back(wall_mode("shelf: 1×1", 640, 20, -14, "shelf")); // borderline
    modes.push_back(
        wall_mode("air: half a wave along the height", 850, 30, -18, "port")); // 2.8 dB too low for borderline: 18 %
    modes[3].kind = solver::SoundMode::Kind::Air;
    modes[3].wall.reset();
    modes[3].band.reset();
    modes.push_back(wall_mode("front: 2×1", 1210, 50, -60, "front"));
    return modes;
}

inline void add_curves(solver::SoundResult& result, const std::vector<std::string>& boards)
{
    using solver::Source;
    result.sources = {{Source::Kind::Cone, "woofer", 0, 0}, {Source::Kind::Port, "port", 0, 1}};
    for (int k = 0; 20 * std::pow(2, k / 24.0) < 3000; ++k) result.frequency.push_back(20 * std::pow(2, k / 24.0));
    const auto n = static_cast<Eigen::Index>(result.frequency.size());
    const auto of_frequency = [&](auto formula) {
        Eigen::VectorXcd curve(n);
        for (Eigen::Index i = 0; i < n; ++i) curve(i) = formula(result.frequency[static_cast<std::size_t>(i)]);
        return curve;
    };
    for (const auto& [name, gain] : {std::pair{"axis", 1.0}, std::pair{"side, 2 m", 0.5}}) {
        solver::HeardCurves heard;
        heard.name = name;
        heard.at = {0.1, -1 / gain, 0.15};
        heard.direct = of_frequency([&](double f) { return gain * direct_sound(f); });
        heard.reference = heard.direct.cwiseAbs();
        heard.sources = {0.75 * heard.direct, 0.25 * heard.direct};
        heard.walls = Eigen::VectorXcd::Zero(n);
        for (const std::string& board : boards) {
            heard.boards.push_back(of_frequency([&](double f) {
                Complex sum = 0;
                for (const solver::SoundMode& mode : result.modes)
                    if (mode.part == board)
                        sum += resonance(f, mode.f_Hz, mode.Q, std::pow(10, mode.heard[0].level_dB / 20));
                return gain * sum * direct_sound(f);
            }));
            heard.walls += heard.boards.back();
        }
        heard.total = heard.direct + heard.walls;
        result.listeners.push_back(heard);
    }
    result.ways = {{"woofer way",
                    {"woofer"},
                    of_frequency([](double) { return 1.0; }),
                    {},
                    of_frequency(impedance_of_vented_box)}};
    result.ways[0].impedance =
        result.ways[0].impedance_still + of_frequency([](double f) { return resonance(f, 412.3, 50, 0.35); });
    const Eigen::VectorXcd x = of_frequency([](double f) { return 1e-3 / (1 + std::pow(f / 40, 2)); });
    const Eigen::VectorXcd v = of_frequency([](double f) { return resonance(f, 38, 3, 2.0); });
    result.motion = {{x, v}, {x, v}};
    result.power_direct = result.listeners[0].direct.cwiseAbs2() * (12.566 / 413);
    result.power_walls = result.listeners[0].walls.cwiseAbs2() * (12.566 / 413);
    result.power = result.power_direct + result.power_walls;
}

inline solver::SoundResult made_up_sound(std::vector<solver::SoundMode> modes,
                                         const std::vector<std::string>& boards = {"front", "shelf"})
{
    solver::SoundResult result;
    result.modes = std::move(modes);
    result.wall_modes = {mode_at(420, 0.95)};
    result.volts = 2.83;
    result.level_dB = 86;
    result.level_from = 200;
    result.level_to = 2000;
    add_curves(result, boards);
    result.net_volume = 14.26e-3;
    result.n_shell = 5400;
    result.n_air = 2100;
    result.n_panels = 560;
    result.n_wall_modes = 31;
    result.n_air_modes = 12;
    result.n_frequencies = static_cast<int>(result.frequency.size());
    result.radiation_error = 0.012;
    result.warnings = {"made up"};
    return result;
}

/// The pieces a report refers to, kept together.
struct SmallSound
{
    Cabinet cabinet = small_cabinet();
    Bookkeeping books = small_books();
    SoundSetting setting;
    solver::SoundResult result = made_up_sound(five_sound_modes());

    [[nodiscard]] app::SoundReport report() const
    {
        return {.cabinet = cabinet,
                .books = books,
                .setting = setting,
                .result = result,
                .outer_size = small_size,
                .accuracy = "normal",
                .shell_size = 0.033,
                .air_size = 0.028,
                .panel_sizes = {0.08, 0.038, 0.019},
                .seconds_read = 0.01,
                .seconds_mesh = 0.2};
    }
};

} // namespace stillwall::test
