#include "solver/drive/box_tuning.h"

#include "mesh/cabinet/build.h"
#include "mesh/cabinet/build_sound.h"
#include "mesh/cabinet/opening.h"
#include "solver/drive/internal/build_player.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numbers>

namespace stillwall::solver {
namespace {

constexpr double exact_enough = 1e-6; ///< of the tuning

/// Ports of one chamber that ask for a tuning, as places in CabinetPlan::openings.
struct Tuned
{
    std::vector<std::size_t> ports;
    std::size_t chamber = 0;
    double wanted = 0; ///< [Hz]
};

const Board& board_of(const Cabinet& cabinet, const OpeningPlan& port)
{
    return cabinet.board(cabinet.board_index(port.board).value());
}

std::string key_of(const OpeningPlan& port)
{
    return "openings." + port.name + ".port.tuning";
}

/// All its ports as long, and their holes as many times as wide.
CabinetPlan changed(CabinetPlan plan, const Cabinet& cabinet, const Tuned& tuned, double length, double wider = 1)
{
    for (const std::size_t i : tuned.ports) {
        OpeningPlan& port = plan.openings[i];
        for (double* size : {&port.width, &port.height, &port.corner_radius}) *size *= wider;
        port.insert.port_length = length;
        port.insert.volume = opening_area(Opening{port}) * (length - board_of(cabinet, port).thickness());
    }
    return plan;
}

/// Nothing when it cannot be built.
std::optional<double> tuning_of(const CabinetPlan& plan, const Tuned& tuned)
{
    try {
        const Cabinet cabinet = build_cabinet(plan);
        const auto tunings = chamber_tunings(cabinet, Chambers(cabinet));
        return tuned.chamber < tunings.size() ? tunings[tuned.chamber] : std::nullopt;
    } catch (const InputError&) {
        return std::nullopt;
    }
}

/// Where a falling (or rising) function of x meets a value between two ends that lie on both sides of it; nothing when
/// they do not.
template <typename Function> std::optional<double> meeting(const Function& f, double low, double high, double value)
{
    const auto at_low = f(low), at_high = f(high);
    if (!at_low || !at_high || (*at_low - value) * (*at_high - value) > 0) return std::nullopt;
    const bool is_falling = *at_low > *at_high;
    for (int i = 0; i < 60; ++i) {
        const double middle = (low + high) / 2;
        const auto now = f(middle);
        if (!now) return std::nullopt;
        if (std::abs(*now / value - 1) < exact_enough) return middle;
        (is_falling == (*now > value) ? low : high) = middle;
    }
    return (low + high) / 2;
}

[[noreturn]] void refuse(const CabinetPlan& plan, const Cabinet& cabinet, const Tuned& tuned, double least,
                         double longest)
{
    const OpeningPlan& port = plan.openings[tuned.ports.front()];
    const std::string key = key_of(port);
    const auto mm = [](double length) { return fmt::format("{:.4g} mm", length * 1e3); };
    if (longest <= least)
        throw InputError(port.where, key, "there is no room for a tube behind '" + port.name + "'; move it");
    const auto of_length = [&](double length) { return tuning_of(changed(plan, cabinet, tuned, length), tuned); };
    const auto high = of_length(least), low = of_length(longest);
    std::string text = fmt::format("no tube that fits gives {:.4g} Hz", tuned.wanted);
    if (high && low)
        text += fmt::format(": {} to {} of length give {:.3g} to {:.3g} Hz", mm(least), mm(longest), *high, *low);
    const bool is_too_low = low && tuned.wanted < *low;
    // With room to spare to both sides: a long tube for a low tuning, a short one for a high one.
    const double trial = least + (longest - least) * (is_too_low ? 0.5 : 0.25);
    const auto factor =
        meeting([&](double wider) { return tuning_of(changed(plan, cabinet, tuned, trial, wider), tuned); },
                is_too_low ? 0.2 : 1.0, is_too_low ? 1.0 : 2.5, tuned.wanted);
    text += factor ? fmt::format("; a hole {} wide would, with a tube of about {}", mm(port.width * *factor), mm(trial))
            : is_too_low ? "; make the hole smaller"
                         : "; make the hole larger, or add a port";
    throw InputError(port.where, key, text);
}

void tune(CabinetPlan& plan, const Cabinet& cabinet, const Tuned& tuned)
{
    double least = 0, longest = std::numeric_limits<double>::infinity();
    for (const std::size_t i : tuned.ports) {
        const OpeningPlan& port = plan.openings[i];
        least = std::max({least, board_of(cabinet, port).thickness(), 2 * port.insert.flare});
        longest = std::min(longest, longest_tube(cabinet, port.name));
    }
    const auto length = longest > least
                            ? meeting([&](double l) { return tuning_of(changed(plan, cabinet, tuned, l), tuned); },
                                      least, longest, tuned.wanted)
                            : std::nullopt;
    if (!length) refuse(plan, cabinet, tuned, least, longest);
    plan = changed(std::move(plan), cabinet, tuned, *length);
}

} // namespace

std::optional<double> box_tuning(const std::vector<const SourceModel*>& sources, double volume, const Air& air)
{
    double inverse_mass = 0, stiffening = 0; // Σ 1/M [m⁴/kg], Σ 1/(M² C)
    for (const SourceModel* m : sources) {
        if (m->port) {
            const double ends = 0.85 + 0.61; // flanged inside, nearly free outside
            const double L_over_S = m->port->mass_over_density() + ends / std::sqrt(std::numbers::pi * m->port->area());
            inverse_mass += 1 / (air.density * L_over_S);
        } else if (is_passive(*m)) {
            inverse_mass += m->area * m->area / m->cone->Mms;
            stiffening += m->area * m->area / (m->cone->Mms * m->cone->Mms * m->cone->Cms);
        }
    }
    if (!(inverse_mass > 0)) return std::nullopt;
    return std::sqrt(inverse_mass * air.bulk_modulus() / volume + stiffening / inverse_mass) / (2 * std::numbers::pi);
}

std::vector<std::optional<double>> chamber_tunings(const Cabinet& cabinet, const Chambers& chambers)
{
    const std::vector<SourceModel> all = internal::sources_of(cabinet);
    std::vector<std::vector<const SourceModel*>> own(chambers.all().size());
    for (const SourceModel& m : all)
        if (const auto chamber = chambers.behind(m.source.board, m.source.opening))
            own[static_cast<std::size_t>(*chamber)].push_back(&m);
    std::vector<std::optional<double>> tunings;
    for (std::size_t i = 0; i < own.size(); ++i)
        tunings.push_back(box_tuning(own[i], chambers.all()[i].volume, air_at(cabinet.temperature)));
    return tunings;
}

CabinetPlan with_tuned_ports(CabinetPlan plan, const std::vector<PortTuning>& tunings)
{
    if (tunings.empty()) return plan;
    const Cabinet cabinet = build_cabinet(plan);
    const Chambers chambers(cabinet);
    std::map<int, Tuned> by_chamber;
    for (const auto& [name, hertz] : tunings) {
        const auto port = std::find_if(plan.openings.begin(), plan.openings.end(),
                                       [&name = name](const OpeningPlan& opening) { return opening.name == name; });
        const int board = cabinet.board_index(port->board).value();
        const auto& holes = cabinet.board(board).openings;
        const auto hole =
            std::find_if(holes.begin(), holes.end(), [&](const Opening& o) { return o.name == port->name; });
        const auto chamber = chambers.behind(board, static_cast<int>(hole - holes.begin()));
        if (!chamber || cabinet.board(board).kind == Board::Kind::Brace)
            throw InputError(port->where, key_of(*port), "a tuning needs a port in an outer wall; give its length");
        Tuned& tuned = by_chamber[*chamber];
        if (!tuned.ports.empty() && tuned.wanted != hertz)
            throw InputError(port->where, key_of(*port),
                             fmt::format("{:.4g} Hz is not the {:.4g} Hz that '{}' of the same chamber asks for; one "
                                         "volume has one tuning",
                                         hertz, tuned.wanted, plan.openings[tuned.ports.front()].name));
        tuned.wanted = hertz;
        tuned.chamber = static_cast<std::size_t>(*chamber);
        tuned.ports.push_back(static_cast<std::size_t>(port - plan.openings.begin()));
    }
    for (const auto& [chamber, tuned] : by_chamber) tune(plan, cabinet, tuned);
    return plan;
}

} // namespace stillwall::solver
