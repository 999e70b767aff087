#include "solver/choose/figures.h"

#include "mesh/cabinet/build.h"

#include <algorithm>

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
    return !mode.moves_whole && mode.on_mount.empty();
}

void pick(SchemeFigures& figures)
{
    for (std::size_t i = 0; i < figures.modes.size(); ++i) {
        const SchemeMode& mode = figures.modes[i];
        const int here = static_cast<int>(i);
        const bool is_wall = mode.kind == SoundMode::Kind::Wall;
        if (is_wall && mode.is_board && figures.first < 0) figures.first = here;
        if (!mode.is_heard) continue;
        const auto at = [&](int j) -> const SchemeMode& { return figures.modes[static_cast<std::size_t>(j)]; };
        if (is_wall && (figures.loudest < 0 || mode.level_dB > at(figures.loudest).level_dB)) figures.loudest = here;
        if (figures.worst < 0 || mode.over_dB > at(figures.worst).over_dB) figures.worst = here;
        figures.n_audible += is_wall && mode.word == Audibility::Audible;
        figures.n_borderline += is_wall && mode.word == Audibility::Borderline;
        figures.n_air_heard += !is_wall && mode.word != Audibility::Inaudible;
    }
}

std::string most_moving(const Mode& mode, const Cabinet& cabinet)
{
    const auto most = std::max_element(mode.boards.begin(), mode.boards.end(),
                                       [](const BoardShare& a, const BoardShare& b) { return a.kinetic < b.kinetic; });
    return most == mode.boards.end() ? std::string()
                                     : cabinet.boards.at(static_cast<std::size_t>(most - mode.boards.begin())).name;
}

} // namespace

SchemeFigures figures_of(const Cabinet& cabinet, const ModesResult& result)
{
    SchemeFigures figures;
    add_books(cabinet, figures);
    for (const Mode& mode : result.modes) {
        SchemeMode one;
        one.name = mode.shape_name;
        one.board = most_moving(mode, cabinet);
        one.f_Hz = mode.f_Hz;
        one.f_low_Hz = mode.f_low_Hz;
        one.f_high_Hz = mode.f_high_Hz;
        one.Q = mode.Q;
        one.rough_dB = mode.rough_level_dB;
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
        one.kind = mode.kind;
        one.name = mode.name;
        one.board = mode.board ? cabinet.board(*mode.board).name : mode.through;
        one.f_Hz = mode.f_Hz;
        one.f_low_Hz = mode.f_low_Hz;
        one.f_high_Hz = mode.f_high_Hz;
        one.Q = mode.Q;
        if (!mode.heard.empty()) {
            const ModeAtListener& heard = mode.heard.at(static_cast<std::size_t>(mode.worst));
            one.is_heard = true;
            one.level_dB = heard.level_dB;
            one.over_dB = heard.verdict.over_strict_dB;
            one.word = heard.verdict.word;
        }
        if (mode.wall) {
            columns.push_back(*mode.wall);
            one.is_board = is_of_boards(result.wall_modes.at(static_cast<std::size_t>(*mode.wall)));
        }
        if (mode.kind == SoundMode::Kind::Port && !figures.tuning_Hz) figures.tuning_Hz = mode.f_Hz;
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
        if (figures.modes[i].kind == SoundMode::Kind::Wall) walls.push_back(i);
    return walls;
}

std::optional<double> loudest_over_notice(const SchemeFigures& figures)
{
    std::optional<double> most;
    for (const SchemeMode& mode : figures.modes)
        if (mode.kind == SoundMode::Kind::Wall && mode.is_heard)
            most = std::max(most.value_or(mode.over_dB), mode.over_dB);
    return most;
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
