#include "solver/verdict/flag.h"

#include "mesh/cabinet/build.h"
#include "solver/verdict/verdict.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

namespace stillwall::solver {

double rough_level_dB(double volume, double phi_drive, double loss, double f_Hz, double box_volume)
{
    if (!(loss > 0 && f_Hz > 0 && box_volume > 0))
        throw DomainError("rough level: loss, frequency and volume must be > 0");
    constexpr double bulk_modulus = 1.42e5; // [Pa] Air's ρc² at 20 °C, rounded up by 0.13 %: 0.01 dB
    const double omega = 2 * std::numbers::pi * f_Hz;
    const double force = std::abs(volume * phi_drive) * cone_mass_per_area / loss;
    const double pressure = bulk_modulus * volume * volume / (loss * omega * omega * box_volume);
    return 20 * std::log10(std::max(force + pressure, 1e-10));
}

namespace {

/// With a true minus sign.
std::string decibels(double level)
{
    const std::string digits = fmt::format("{:.0f}", std::abs(level));
    return (level < 0 && digits != "0" ? "−" : "") + digits;
}

struct Judgement
{
    Flag flag = Flag::Faint;
    std::string reason;
};

Judgement judge(const Mode& mode)
{
    if (mode.f_Hz < audible_from_Hz || mode.f_Hz > audible_to_Hz) return {Flag::Outside, "outside the audible band"};
    const double threshold = strict_detection_dB(mode.Q), above = mode.rough_level_dB - threshold;
    if (above >= -judgement_margin_dB)
        return {Flag::Rings,
                fmt::format("about {} ± {:.0f} dB against the cone; at Q {:.0f} trained ears notice from {} dB",
                            decibels(mode.rough_level_dB), judgement_margin_dB, mode.Q, decibels(threshold))};
    if (mode.rough_level_dB < -80) return {Flag::Faint, "moves no net air: outward and inward parts cancel"};
    return {Flag::Faint, fmt::format("about {} dB against the cone, {:.0f} dB below notice at Q {:.0f}",
                                     decibels(mode.rough_level_dB), -above, mode.Q)};
}

/// The strongest coupling of the largest cones.
double strongest_drive(const Mode& mode)
{
    double widest = 0, strongest = 0;
    for (const DriveCoupling& drive : mode.drives) widest = std::max(widest, drive.width);
    for (const DriveCoupling& drive : mode.drives)
        if (drive.width > 0.8 * widest) strongest = std::max(strongest, std::abs(drive.phi));
    return strongest;
}

} // namespace

void judge_modes(const Cabinet& cabinet, ModesResult& result)
{
    const double box_volume = bookkeeping(cabinet).net_volume_m3;
    for (Mode& mode : result.modes) {
        mode.rough_level_dB = rough_level_dB(mode.volume, strongest_drive(mode), mode.loss, mode.f_Hz, box_volume);
        const Judgement judgement = judge(mode);
        mode.flag = judgement.flag;
        mode.reason = judgement.reason;
    }
}

std::optional<std::size_t> worst_wall(const ModesResult& result)
{
    std::optional<std::size_t> worst;
    double worst_dB = 0;
    for (std::size_t m = 0; m < result.modes.size(); ++m) {
        const Mode& mode = result.modes[m];
        const double over = mode.rough_level_dB - strict_detection_dB(mode.Q);
        if (mode.moves_whole || !mode.on_mount.empty() || !mode.on_basket.empty() || (worst && over <= worst_dB))
            continue;
        worst = m;
        worst_dB = over;
    }
    return worst;
}

} // namespace stillwall::solver
