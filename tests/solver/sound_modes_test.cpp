// Resonances of the driven cabinet: frequency and Q under load, level, wrinkle, drive.

#include "sound_fixture.h"

#include "solver/drive/internal/resonance.h"

#include <numbers>

using namespace stillwall;
using namespace sound_fixture;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using solver::SoundMode;
using solver::SoundResult;
using Complex = std::complex<double>;

namespace {

constexpr double pi = std::numbers::pi;

const SoundMode& loudest(const SoundResult& result, SoundMode::Kind kind)
{
    const SoundMode* best = nullptr;
    for (const SoundMode& mode : result.modes)
        if (mode.kind == kind && (!best || mode.heard[0].level_dB > best->heard[0].level_dB)) best = &mode;
    REQUIRE(best);
    return *best;
}

/// The sealed box, and what is computed of it once for all cases.
const Stage& stage()
{
    static const Stage s(sealed_box());
    return s;
}

const SoundResult& result()
{
    static const SoundResult r = stage().sound();
    return r;
}

} // namespace

TEST_CASE("A mode's wrinkle is the basket's mobility seen through the motor", "[sound]")
{
    // Reference: the mode that moves the woofer's basket most: ΔZ = Bl² φ²/(η ω) / (1 − (fc/f)²)², fc of the cone on
    // the box: what reaches the basket is m a of the cone, larger than the motor's force by the springs' part.
    const SoundMode* best = nullptr;
    double most = 0;
    for (const SoundMode& mode : result().modes) {
        if (mode.kind != SoundMode::Kind::Wall) continue;
        const solver::Mode& wall = result().wall_modes[static_cast<std::size_t>(mode.wall.value())];
        const double height = wall.drives[0].phi * wall.drives[0].phi * mode.Q / (2 * pi * mode.f_Hz);
        if (height > most) most = height, best = &mode;
    }
    REQUIRE(best);
    const double fc = small_woofer().fs() * std::sqrt(1 + small_woofer().Vas() / result().net_volume);
    const double expected =
        small_woofer().Bl * small_woofer().Bl * most * std::pow(1 - std::pow(fc / best->f_Hz, 2), -2);
    INFO(best->name << " at " << best->f_Hz << " Hz, Q " << best->Q << ": " << best->wrinkles[0].ohm
                    << " ohm, by the formula " << expected);
    // Tolerance: the formula leaves out what the pressure inside, beyond a spring's, does to the front and the cone:
    // 8 % here, and half of that again for other meshes.
    CHECK_THAT(best->wrinkles[0].ohm, WithinRel(expected, 0.12));

    // Reference: what the curve shows: with Z = background + A/(1 + jQ(f/f₀ − f₀/f)) and a straight background,
    // A = 2 (Z(f₀) − ½ (Z(f₋) + Z(f₊))) at the half-power frequencies.
    Stage close = stage();
    const double f_0 = best->f_Hz, half = 0.5 / best->Q, low = f_0 * (std::sqrt(1 + half * half) - half);
    close.setting.frequencies = {low, f_0, f_0 * f_0 / low, close.setting.frequencies.back()};
    const SoundResult around = close.sound();
    const Eigen::VectorXcd& Z = around.ways[0].impedance;
    const Complex height = 2.0 * (Z[1] - 0.5 * (Z[0] + Z[2]));
    INFO("in the curve " << height << ", of the mode " << std::polar(best->wrinkles[0].ohm, best->wrinkles[0].phase));
    // Tolerance: Q under load is good to 5 % (see below), and 5 % of it are 5 % of this A; 3 % for a background that
    // bends.
    CHECK(std::abs(height - std::polar(best->wrinkles[0].ohm, best->wrinkles[0].phase)) < 0.08 * std::abs(height));
    CHECK(best->force_share > 0.7);
    CHECK(best->driver == "woofer");
}

TEST_CASE("Frequency and Q under load are those of the played peak", "[sound]")
{
    const solver::Player player = stage().player();
    const auto walls = solver::internal::wall_resonances(player, stage().work.lambda, stage().modes.modes, 20, 800);
    const SoundMode& loud = loudest(result(), SoundMode::Kind::Wall);
    const auto found =
        std::find_if(walls.begin(), walls.end(), [&](const auto& r) { return r.mode.wall == loud.wall; });
    REQUIRE(found != walls.end());
    const auto amplitude = [&](double f) { return std::abs((found->y.transpose() * player.play(f).walls)(0)) / f; };
    double from = loud.f_Hz * (1 - 1 / loud.Q), to = loud.f_Hz * (1 + 1 / loud.Q);
    for (int i = 0; i < 25; ++i) {
        const double a = from + (to - from) / 3, b = to - (to - from) / 3;
        (amplitude(a) < amplitude(b) ? from : to) = amplitude(a) < amplitude(b) ? a : b;
    }
    const double peak = (from + to) / 2, top = amplitude(peak);
    INFO(loud.name << " " << loud.f_Hz << " Hz, played peak " << peak << ", Q " << loud.Q);
    // Reference: the peak of the played cabinet, found by thirds, and its half-power points. Tolerance: the drive
    // changes over the peak's width, which pulls it by some hundredths of 1/Q and tilts the two sides by as much.
    CHECK_THAT(peak, WithinRel(loud.f_Hz, 0.1 / loud.Q));
    const double half = 0.5 * loud.f_Hz / loud.Q;
    CHECK_THAT(amplitude(peak + half) / top, WithinRel(std::sqrt(0.5), 0.05));
    CHECK_THAT(amplitude(peak - half) / top, WithinRel(std::sqrt(0.5), 0.05));
    // Reference: all walls' sound there. Tolerance: 3 dB because the other walls add to it in whatever phase, and a
    // third of its pressure, the most they have here, makes as much.
    const solver::Played played = player.play(peak);
    const double all = 20 * std::log10(std::abs(played.from_walls(0)) / std::abs(played.direct(0)));
    INFO("level " << loud.heard[0].level_dB << " dB, all walls at the peak " << all);
    CHECK(std::abs(all - loud.heard[0].level_dB) < 3);
}

TEST_CASE("Air outside and inside adds mass and loss to a wall mode", "[sound]")
{
    for (const SoundMode& mode : result().modes) {
        if (mode.kind != SoundMode::Kind::Wall ||
            std::abs(mode.heard[0].level_dB - loudest(result(), SoundMode::Kind::Wall).heard[0].level_dB) > 10)
            continue;
        const solver::Mode& wall = result().wall_modes[static_cast<std::size_t>(mode.wall.value())];
        INFO(mode.name << ": " << wall.f_Hz << " to " << mode.f_Hz << " Hz, Q " << wall.Q << " to " << mode.Q);
        CHECK(mode.Q < wall.Q); // radiates
        // Reference: 18 mm of 750 kg/m³: 13.5 kg/m²; air 0.05 to 0.3 kg/m² a side, 0.2 to 2 % of f; the air spring may
        // take some back.
        CHECK(mode.f_Hz < 1.002 * wall.f_Hz);
        CHECK(mode.f_Hz > 0.97 * wall.f_Hz);
    }
}

TEST_CASE("Bare faces that absorb give an air mode the Q of their admittance", "[sound]")
{
    CabinetPlan plan = sealed_box();
    plan.openings[0].insert.closed_back = true; // nothing else damps the air
    plan.sound.wall_absorption = 0.05;
    const Stage tight(plan);
    const solver::Player player = tight.player();
    const auto modes = solver::internal::air_resonances(
        player, std::vector<std::string>(static_cast<std::size_t>(player.cabinet.air.mode_Hz.size()), "air"), 300, 800);
    REQUIRE(!modes.empty());
    // Reference: half a wave along the height h: ∮ψ² dS = 2 wd + (2 wh + 2 dh)/2, ∫ψ² dV = wdh/2; Q = (ω/c) ∫ψ² dV/(β
    // ∮ψ² dS).
    const double w = 0.164, d = 0.214, h = 0.264, c = player.cabinet.air.air.sound_speed;
    const double beta = solver::admittance_of(0.05), omega = pi * c / h;
    const double Q = omega / c * (w * d * h / 2) / (beta * (2 * w * d + w * h + d * h));
    INFO("Q " << modes[0].mode.Q << " at " << modes[0].mode.f_Hz << ", by hand " << Q << " at " << omega / (2 * pi));
    // Tolerance: the hole's 66 cm² do not absorb: 2 % of the faces, on one where ψ² is half and more of its mean: up to
    // 4 %. Of the frequency 0.4 % because the elements have 70 mm, an eighth of the wave.
    CHECK_THAT(modes[0].mode.Q, WithinRel(Q, 0.04));
    CHECK_THAT(modes[0].mode.f_Hz, WithinRel(omega / (2 * pi), 0.004));
}

TEST_CASE("A level in decibels sets the volts, and everything else follows", "[sound]")
{
    CabinetPlan plan = sealed_box();
    plan.sound.level_dB = 80;
    plan.sound.level_from = 200;
    plan.sound.level_to = 600;
    const Cabinet cabinet = build_cabinet(plan);
    const SoundSetting setting = build_sound(plan, cabinet);
    const solver::SoundMeshes meshes{stage().shell, stage().air, stage().outer, stage().tops};
    const SoundResult quiet = solver::analyse_sound(cabinet, setting, meshes, {});
    // Reference: the level asked for, and the same cabinet at its own volts, by the ratio of the volts. Tolerance of
    // the level: round-off of a logarithm; of the rest 1e-6, because round-off decides which directions of that size
    // stay in a basis.
    CHECK_THAT(quiet.level_dB, WithinAbs(80, 1e-9));
    const double factor = quiet.volts / result().volts;
    CHECK_THAT(std::abs(quiet.listeners[0].total[10]),
               WithinRel(factor * std::abs(result().listeners[0].total[10]), 1e-6));
    CHECK_THAT(quiet.power[10], WithinRel(factor * factor * result().power[10], 1e-6));
    // Reference: the mean over the band by hand, from the curve (the axis listener stands where the level holds).
    // Tolerance: 0.2 dB because 12 points an octave stand against 24, which weigh the band's ends otherwise.
    double sum = 0;
    int n = 0;
    for (std::size_t i = 0; i < quiet.frequency.size(); ++i) {
        if (quiet.frequency[i] < 200 || quiet.frequency[i] > 600) continue;
        sum += std::norm(quiet.listeners[0].direct[static_cast<Eigen::Index>(i)]);
        ++n;
    }
    CHECK_THAT(10 * std::log10(sum / n / 4e-10), WithinAbs(80, 0.2));
    // Verdicts do not hang on the volts: the same to the 1e-6 of above.
    CHECK(quiet.modes.size() == result().modes.size());
    CHECK_THAT(quiet.modes[0].heard[0].level_dB, WithinAbs(result().modes[0].heard[0].level_dB, 1e-6));
}

TEST_CASE("Boards add up to the walls, sources and walls to the total", "[sound]")
{
    // Reference: the sums' own terms.
    const auto& heard = result().listeners[0];
    for (const Eigen::Index i : {3, 30, 50}) {
        Complex boards = 0, all = heard.walls[i];
        for (const auto& board : heard.boards) boards += board[i];
        for (const auto& source : heard.sources) all += source[i];
        // Tolerance: 1 % because each is interpolated over frequency by itself; round-off where sums are formed.
        CHECK(std::abs(boards - heard.walls[i]) < 0.01 * std::abs(heard.walls[i]));
        CHECK(std::abs(all - heard.total[i]) < 1e-12 * std::abs(heard.total[i]));
    }
}
