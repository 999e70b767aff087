#include "solver/choose/figures.h"

#include "mesh/cabinet/build.h"
#include "solver/modes/shape_name.h"

#include <algorithm>
#include <cmath>

namespace stillwall::solver {
namespace {

void add_books(const Cabinet& cabinet, SchemeFigures& figures)
{
    const Bookkeeping books = bookkeeping(cabinet);
    figures.mass = books.mass;
    figures.board_mass = books.board_mass;
    figures.net_volume = books.net_volume_m3;
    figures.board_area = books.board_area;
}

/// Whether boards bend in it.
bool is_of_boards(const Mode& mode)
{
    return !mode.moves_whole && mode.on_mount.empty() && mode.on_basket.empty();
}

/// Whether a verdict was given: not where the cabinet does not play.
bool is_judged(const SchemeMode& mode)
{
    return mode.worst && mode.worst->verdict.word != Audibility::OutOfBand;
}

void pick(SchemeFigures& figures)
{
    for (std::size_t i = 0; i < figures.modes.size(); ++i) {
        const SchemeMode& mode = figures.modes[i];
        const bool is_wall = mode.kind == Resonance::Kind::Wall;
        if (is_wall && mode.is_board && !figures.first) figures.first = i;
        if (!is_judged(mode)) continue;
        const SchemeMode *loudest = figures.at(figures.loudest), *worst = figures.at(figures.worst);
        if (is_wall && (!loudest || over_notice_dB(mode) > over_notice_dB(*loudest))) figures.loudest = i;
        if (!worst || over_notice_dB(mode) > over_notice_dB(*worst)) figures.worst = i;
        const Audibility word = mode.worst->verdict.word;
        figures.n_audible += is_wall && word == Audibility::Audible;
        figures.n_borderline += is_wall && word == Audibility::Borderline;
        figures.n_air_heard += !is_wall && may_be_heard(mode.worst->verdict);
    }
}

/// The first board in the mode's name.
std::string named_board(const Mode& mode, const Cabinet& cabinet)
{
    const std::vector<int> boards = leading_boards(mode);
    return boards.empty() ? std::string() : cabinet.board(boards.front()).name;
}

} // namespace

const SchemeMode* SchemeFigures::at(std::optional<std::size_t> place) const
{
    return place ? &modes.at(*place) : nullptr;
}

SchemeFigures figures_of(const Cabinet& cabinet, const ModesResult& result)
{
    SchemeFigures figures;
    add_books(cabinet, figures);
    const std::vector<JudgedMode> judged = judge_unplayed(cabinet, result.modes);
    for (std::size_t m = 0; m < result.modes.size(); ++m) {
        const Mode& mode = result.modes[m];
        SchemeMode one;
        one.name = mode.shape_name;
        one.part = named_board(mode, cabinet);
        one.f_Hz = mode.f_Hz;
        if (mode.f_high_Hz > 0) one.band = FrequencyBand{mode.f_low_Hz, mode.f_high_Hz};
        one.Q = mode.Q;
        one.coupling = judged[m].coupling;
        one.is_board = is_of_boards(mode);
        figures.modes.push_back(one);
    }
    figures.signature = signature_of(cabinet, result.drawn, result.shapes);
    pick(figures);
    return figures;
}

SchemeFigures figures_of(const Cabinet& cabinet, const SoundResult& result)
{
    SchemeFigures figures;
    figures.is_played = true;
    add_books(cabinet, figures);
    std::vector<Eigen::Index> columns;
    for (const SoundMode& mode : result.modes) {
        SchemeMode one;
        static_cast<Resonance&>(one) = mode;
        if (mode.wall) {
            columns.push_back(*mode.wall);
            const Mode& wall = result.wall_modes.at(static_cast<std::size_t>(*mode.wall));
            one.is_board = is_of_boards(wall);
            one.part = named_board(wall, cabinet);
        }
        if (mode.kind == Resonance::Kind::Port && !figures.tuning_Hz) figures.tuning_Hz = mode.f_Hz;
        figures.modes.push_back(one);
    }
    Eigen::MatrixXd shapes(result.shapes.rows(), static_cast<Eigen::Index>(columns.size()));
    for (std::size_t k = 0; k < columns.size(); ++k)
        shapes.col(static_cast<Eigen::Index>(k)) = result.shapes.col(columns[k]);
    figures.signature = signature_of(cabinet, result.drawn, shapes);
    pick(figures);
    return figures;
}

std::vector<std::size_t> wall_modes(const SchemeFigures& figures)
{
    std::vector<std::size_t> walls;
    for (std::size_t i = 0; i < figures.modes.size(); ++i)
        if (figures.modes[i].kind == Resonance::Kind::Wall) walls.push_back(i);
    return walls;
}

std::optional<double> loudest_over_notice(const SchemeFigures& figures)
{
    const SchemeMode* loudest = figures.at(figures.loudest);
    return loudest ? over_notice_dB(*loudest) : std::nullopt;
}

double nearness_dB(const SchemeMode& mode)
{
    if (const std::optional<double> over = over_notice_dB(mode)) return *over;
    if (mode.coupling) return 20 * std::log10(std::max(*mode.coupling, 1e-10));
    throw DomainError("a mode that was neither played nor has a coupling");
}

std::optional<std::size_t> worst_wall(const SchemeFigures& figures)
{
    std::optional<std::size_t> worst;
    for (std::size_t i = 0; i < figures.modes.size(); ++i) {
        const SchemeMode& mode = figures.modes[i];
        if (mode.kind != Resonance::Kind::Wall || !mode.is_board || (figures.is_played && !is_judged(mode))) continue;
        if (!worst || nearness_dB(mode) > nearness_dB(figures.modes[*worst])) worst = i;
    }
    return worst;
}

std::vector<Met> met_again(const SchemeFigures& from, const SchemeFigures& to)
{
    const std::vector<std::size_t> a = wall_modes(from), b = wall_modes(to);
    const auto frequencies = [](const SchemeFigures& figures, const std::vector<std::size_t>& places) {
        std::vector<double> f;
        for (const std::size_t i : places) f.push_back(figures.modes[i].f_Hz);
        return f;
    };
    const std::vector<Met> walls = met_again(from.signature, frequencies(from, a), to.signature, frequencies(to, b));
    std::vector<Met> met(from.modes.size());
    for (std::size_t i = 0; i < walls.size(); ++i)
        if (walls[i].mode >= 0)
            met[a[i]] = {static_cast<int>(b[static_cast<std::size_t>(walls[i].mode)]), walls[i].likeness};
    return met;
}

} // namespace stillwall::solver
