#include "solver/verdict/flag.h"

#include "mesh/cabinet/air.h"
#include "mesh/cabinet/build.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

namespace stillwall::solver {

double coupling_of(double volume, double phi_drive, double loss, double f_Hz, double box_volume)
{
    if (!(loss > 0 && f_Hz > 0 && box_volume > 0))
        throw DomainError("coupling: loss, frequency and volume must be > 0");
    const double omega = 2 * std::numbers::pi * f_Hz;
    const double pressure = Air{}.bulk_modulus() * volume / (omega * omega * box_volume);
    return std::abs(volume * (pressure - cone_mass_per_area * phi_drive)) / loss;
}

namespace {

/// The strongest coupling of the largest cones.
double strongest_coupling(const Mode& mode, double box_volume)
{
    double widest = 0;
    for (const DriveCoupling& drive : mode.drives) widest = std::max(widest, drive.width);
    double strongest = mode.drives.empty() ? coupling_of(mode.volume, 0, mode.loss, mode.f_Hz, box_volume) : 0;
    for (const DriveCoupling& drive : mode.drives)
        if (drive.width > 0.8 * widest)
            strongest = std::max(strongest, coupling_of(mode.volume, drive.phi, mode.loss, mode.f_Hz, box_volume));
    return strongest;
}

bool is_audible_band(double f_Hz)
{
    return f_Hz >= audible_from_Hz && f_Hz <= audible_to_Hz;
}

double rank_of(const JudgedMode& mode)
{
    return mode.played && mode.played->worst ? mode.played->worst->verdict.over_strict_dB
                                             : 20 * std::log10(std::max(mode.coupling, 1e-10));
}

} // namespace

std::vector<JudgedMode> judge_unplayed(const Cabinet& cabinet, const std::vector<Mode>& modes)
{
    const double box_volume = bookkeeping(cabinet).net_volume_m3;
    std::vector<JudgedMode> judged(modes.size());
    double strongest = 0;
    for (std::size_t m = 0; m < modes.size(); ++m) {
        if (modes[m].loss > 0) judged[m].coupling = strongest_coupling(modes[m], box_volume);
        if (is_audible_band(modes[m].f_Hz)) strongest = std::max(strongest, judged[m].coupling);
    }
    for (std::size_t m = 0; m < modes.size(); ++m) {
        JudgedMode& mode = judged[m];
        if (!is_audible_band(modes[m].f_Hz))
            mode = {Flag::Outside, "outside the audible band", mode.coupling, {}};
        else if (strongest > 0 && mode.coupling == strongest)
            mode.reason = "the most strongly driven that moves air";
        else if (const double share = strongest > 0 ? mode.coupling / strongest : 0; share >= 0.005)
            mode.reason = fmt::format("coupled {:.2g} times as strongly as the strongest", share);
        else
            mode.reason = "hardly driven, or outward and inward parts cancel";
    }
    return judged;
}

Flag flag_of(const Verdict& verdict)
{
    if (verdict.word == Audibility::OutOfBand) return Flag::Outside;
    return may_be_heard(verdict) ? Flag::Rings : Flag::Faint;
}

std::vector<std::size_t> first_to_hear(const std::vector<JudgedMode>& judged)
{
    constexpr std::size_t most_unplayed = 6;
    constexpr double least_coupling = 0.1; // of the strongest
    double strongest = 0;
    for (const JudgedMode& mode : judged)
        if (mode.flag == Flag::NotPlayed) strongest = std::max(strongest, mode.coupling);
    std::vector<std::size_t> first;
    for (std::size_t m = 0; m < judged.size(); ++m) {
        const bool is_strong = judged[m].flag == Flag::NotPlayed && judged[m].coupling > least_coupling * strongest;
        if (judged[m].flag == Flag::Rings || is_strong) first.push_back(m);
    }
    std::stable_sort(first.begin(), first.end(),
                     [&](std::size_t a, std::size_t b) { return rank_of(judged[a]) > rank_of(judged[b]); });
    if (strongest > 0 && first.size() > most_unplayed) first.resize(most_unplayed);
    return first;
}

std::optional<std::size_t> worst_wall(const std::vector<Mode>& modes, const std::vector<JudgedMode>& judged)
{
    const bool is_played =
        std::any_of(judged.begin(), judged.end(), [](const JudgedMode& mode) { return mode.played.has_value(); });
    std::optional<std::size_t> worst;
    for (std::size_t m = 0; m < modes.size(); ++m) {
        if (modes[m].moves_whole || !modes[m].on_mount.empty() || !modes[m].on_basket.empty() ||
            judged[m].flag == Flag::Outside)
            continue;
        if (is_played && !(judged[m].played && judged[m].played->worst)) continue;
        if (!worst || rank_of(judged[m]) > rank_of(judged[*worst])) worst = m;
    }
    return worst;
}

} // namespace stillwall::solver
