#pragma once
// A cabinet of two boards with three modes whose figures are easy to say by heart.

#include "app/verbs/modes/modes_report.h"
#include "app/write/cabinet_report.h"

namespace stillwall::test {

inline Board square_board(const std::string& name, Board::Kind kind)
{
    Board board;
    board.name = name;
    board.kind = kind;
    board.layup = {{{0, 0.018, 0}}, "mdf 18 mm"};
    board.outline = board.sawn = {{0, 0}, {0.2, 0}, {0.2, 0.3}, {0, 0.3}};
    return board;
}

inline Cabinet small_cabinet()
{
    Cabinet cabinet;
    cabinet.name = "two boards";
    cabinet.file = "two.yaml";
    cabinet.boards = {square_board("front", Board::Kind::Wall), square_board("shelf", Board::Kind::Brace)};
    Opening hole;
    hole.name = "woofer_hole";
    hole.centre = {0.1, 0.15};
    hole.width = hole.height = 0.15;
    hole.insert = {.kind = InsertPlan::Kind::Driver, .name = "woofer", .mass = 1.5};
    cabinet.boards[0].openings = {hole};
    return cabinet;
}

inline const Vector3d small_size{0.2, 0.318, 0.3}; ///< [m] outside

inline Bookkeeping small_books()
{
    Bookkeeping books;
    books.parts = {{"front", "mdf 18 mm", 0.3, 0.2, 0.018, 0.06, 0.8},
                   {"shelf", "mdf 18 mm", 0.3, 0.2, 0.018, 0.06, 0.8}};
    books.board_mass = 1.6;
    books.insert_mass = 1.5;
    books.mass = 3.1;
    books.gross_volume_m3 = 16.04e-3;
    books.net_volume_m3 = 14.26e-3;
    return books;
}

inline solver::Mode mode_at(double f_Hz, double share_front)
{
    solver::Mode mode;
    mode.f_Hz = f_Hz;
    mode.f_low_Hz = f_Hz - 24;
    mode.f_high_Hz = f_Hz + 24;
    mode.loss = 0.02;
    mode.Q = 50;
    mode.Q_low = 40;
    mode.Q_high = 65;
    mode.T60_s = 2.2 * 50 / f_Hz;
    mode.boards = {{share_front, share_front}, {1 - share_front, 1 - share_front}};
    mode.drives = {{"woofer", 0, 0.5}}; // feels 1 / 0.25 = 4 kg
    mode.shape_name = "front: 1×1";
    mode.residual = 1e-11;
    return mode;
}

inline solver::ModesResult three_modes()
{
    solver::ModesResult result;
    result.modes = {mode_at(412.3, 0.95), mode_at(640, 0.6), mode_at(1210, 0.05)};
    result.modes[1].f_high_Hz = 640 + 31;
    result.modes[2].drives[0].phi = 1e-3; // feels 10⁶ kg: hardly driven
    result.n_rigid = 6;
    result.rigid_max_Hz = 2e-4;
    result.n_below = 9;
    result.is_proved = true;
    result.residual_max = 3e-11;
    result.mass_model = 3.13;
    result.n_nodes = 900;
    result.n_unknowns = 5400;
    result.n_elements = 200;
    return result;
}

/// A change and the same slope of it in every mode.
struct MadeUpKnob
{
    solver::Knob knob;
    solver::Slope slope;
};

inline solver::Worth same_worth(const std::vector<MadeUpKnob>& knobs, std::size_t n_modes)
{
    solver::Worth worth;
    for (const MadeUpKnob& made : knobs) {
        worth.knobs.push_back(made.knob);
        worth.slopes.emplace_back(n_modes, made.slope);
    }
    return worth;
}

/// Unequal losses: what the column "Eaten by" is for.
inline void add_losses(solver::ModesResult& result)
{
    using Kind = solver::LossShare::Kind;
    result.n_loss_rounds = 2;
    for (solver::Mode& mode : result.modes)
        mode.losses = {{Kind::Layer, "sheet", 0.6},
                       {Kind::Joint, "back", 0.25},
                       {Kind::Board, "front", 0.09},
                       {Kind::Driver, "woofer", 0.06}};
}

/// Played: Q 50, whose lines lie at −8.0 and −2.4 dB.
inline solver::JudgedMode played_mode(double level_dB)
{
    solver::Resonance seen;
    seen.f_Hz = 405;
    seen.Q = 50;
    seen.worst = solver::ModeAtListener{level_dB, 405, solver::judge_heard({level_dB, 50, 405, 0.2})};
    return {solver::flag_of(seen.worst->verdict), "the woofer drives the front", 2.5, seen};
}

/// The first rings, the second is far too weak, the third lies outside what was played.
inline std::vector<solver::JudgedMode> three_judged()
{
    return {played_mode(0), played_mode(-40), {solver::Flag::Outside, "outside the band that was played", 0.1, {}}};
}

/// The pieces a report refers to, kept together.
struct SmallReport
{
    Cabinet cabinet = small_cabinet();
    Bookkeeping books = small_books();
    solver::ModesResult result = three_modes();
    std::vector<solver::JudgedMode> judged = three_judged();
    solver::SoundResult played;

    [[nodiscard]] app::ModesReport modes() const
    {
        return {.cabinet = cabinet,
                .books = books,
                .result = result,
                .judged = judged,
                .played = &played,
                .outer_size = small_size,
                .accuracy = solver::Accuracy::Normal,
                .f_max_Hz = 1500,
                .element_size = 0.033,
                .seconds_read = 0.01,
                .seconds_mesh = 0.2,
                .seconds_play = 0.5};
    }
    [[nodiscard]] app::CabinetReport check() const { return {cabinet, books, small_size}; }
};

} // namespace stillwall::test
