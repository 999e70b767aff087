#include "app/verbs/modes/modes_report.h"

#include "app/write/numbers.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cassert>
#include <cmath>

namespace stillwall::app {

using LossKind = solver::LossShare::Kind;

std::vector<NamedShare> main_boards(const solver::Mode& mode, const Cabinet& cabinet)
{
    assert(mode.boards.size() == cabinet.boards.size());
    std::vector<NamedShare> shares;
    for (std::size_t i = 0; i < mode.boards.size(); ++i)
        shares.push_back({cabinet.boards[i].name, mode.boards[i].kinetic});
    // Twins of a symmetrical cabinet keep the boards' order, whatever round-off says.
    const auto printed = [](const NamedShare& share) { return std::round(1e3 * share.kinetic); };
    std::stable_sort(shares.begin(), shares.end(),
                     [&](const NamedShare& a, const NamedShare& b) { return printed(a) > printed(b); });

    const auto is_main = [](const NamedShare& share) { return share.kinetic >= 0.10; };
    const auto n_main = std::count_if(shares.begin(), shares.end(), is_main);
    const auto n_kept = std::clamp<std::ptrdiff_t>(n_main, 1, 3);
    if (static_cast<std::ptrdiff_t>(shares.size()) > n_kept) shares.erase(shares.begin() + n_kept, shares.end());
    return shares;
}

std::vector<solver::LossShare> main_losses(const solver::Mode& mode)
{
    std::vector<solver::LossShare> main;
    for (const solver::LossShare& loss : mode.losses)
        if (main.empty() || (loss.share >= 0.10 && main.size() < 3)) main.push_back(loss);
    return main;
}

bool losses_tell(const ModesReport& report)
{
    if (report.result.n_loss_rounds == 0) return false;
    const auto tells = [&](const solver::Mode& mode, const solver::LossShare& loss) {
        if (loss.kind == LossKind::Bar) return false; // wood like the boards'
        if (loss.kind != LossKind::Board) return loss.share > 0.05;
        const auto board = report.cabinet.board_index(loss.part);
        return board && std::abs(loss.share - mode.boards[static_cast<std::size_t>(*board)].strain) > 0.05;
    };
    const auto& modes = report.result.modes;
    return std::any_of(modes.begin(), modes.end(), [&](const solver::Mode& mode) {
        return std::any_of(mode.losses.begin(), mode.losses.end(),
                           [&](const solver::LossShare& loss) { return tells(mode, loss); });
    });
}

std::string loss_part(const solver::LossShare& loss)
{
    // A joint may bear the name of its board; a driver eats energy where it is held, or in its basket.
    if (loss.kind == LossKind::Joint) return "joint " + loss.part;
    if (loss.kind == LossKind::Driver) return loss.part + " mount";
    if (loss.kind == LossKind::Basket) return loss.part + " basket";
    return loss.part;
}

std::string q_words(const solver::Mode& mode)
{
    if (!(mode.loss > 0)) return "–";
    constexpr double noticed = 1.05; // a narrower band drowns in the rounding to two digits
    if (mode.Q_high < noticed * mode.Q && mode.Q < noticed * mode.Q_low) return significant(mode.Q, 2);
    const std::string high = std::isfinite(mode.Q_high) ? significant(mode.Q_high, 2) : "∞";
    return fmt::format("{} ({}–{})", significant(mode.Q, 2), significant(mode.Q_low, 2), high);
}

std::vector<std::size_t> modes_to_move(const std::vector<solver::JudgedMode>& judged)
{
    constexpr std::size_t n_loudest = 6, n_lowest = 3;
    std::vector<std::size_t> chosen = first_to_hear(judged);
    if (chosen.empty())
        for (std::size_t m = 0; m < std::min(n_lowest, judged.size()); ++m) chosen.push_back(m);
    if (chosen.size() > n_loudest) chosen.resize(n_loudest);
    std::sort(chosen.begin(), chosen.end());
    return chosen;
}

Drive strongest_drive(const solver::Mode& mode, double cabinet_mass)
{
    const auto harder = [](const solver::DriveCoupling& a, const solver::DriveCoupling& b) {
        return std::abs(a.phi) < std::abs(b.phi);
    };
    const auto best = std::max_element(mode.drives.begin(), mode.drives.end(), harder);
    if (best == mode.drives.end()) return {};
    const double compliance = best->phi * best->phi; // [1/kg]
    if (compliance * 100 * cabinet_mass < 1) return {};
    return {best->driver, 1 / compliance};
}

std::string verify_words(const solver::Verified& verified)
{
    if (verified.n_modes == 0) return "no mode to compute by a second solver";
    if (!verified.problem.empty()) return "THE SECOND SOLVER FAILED: " + verified.problem;
    return verified.agrees
               ? fmt::format("{} lowest modes again by a second solver: largest difference {:.0e} of the frequency",
                             verified.n_modes, verified.largest_difference)
               : fmt::format("TWO SOLVERS DISAGREE about the {} lowest modes, by up to {:.0e} of the frequency",
                             verified.n_modes, verified.largest_difference);
}

std::vector<std::string> mesh_words(const ModesReport& report)
{
    const auto worst = std::max_element(report.mesh_error.begin(), report.mesh_error.end());
    if (worst == report.mesh_error.end()) return {};
    std::vector<std::string> lines;
    if (const auto& again = report.meshed_again) {
        constexpr std::size_t most_listed = 3;
        const std::string boards = again->finer.size() > most_listed ? fmt::format("{} boards", again->finer.size())
                                                                     : fmt::format("{}", fmt::join(again->finer, ", "));
        lines.push_back(fmt::format("meshed again finer: {}, by estimate {:.1f} → {:.1f} % of frequency", boards,
                                    100 * again->error_before, 100 * *worst));
    }
    if (*worst > solver::promised_error(report.accuracy))
        lines.push_back(fmt::format("the mesh moves these modes by up to {:.1f} % (mode {}), by estimate", 100 * *worst,
                                    worst - report.mesh_error.begin() + 1));
    return lines;
}

std::string flag_word(solver::Flag flag)
{
    switch (flag) {
    case solver::Flag::Rings:
        return "rings";
    case solver::Flag::Faint:
        return "faint";
    case solver::Flag::Outside:
        return "outside";
    case solver::Flag::NotPlayed:
        return "not played";
    }
    assert(false);
    return {};
}

} // namespace stillwall::app
