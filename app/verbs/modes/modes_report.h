#pragma once
// What a run of `modes` found, in the three forms it is handed out: text, JSON, CSV.

#include "app/workers/meshed_modes.h"
#include "mesh/cabinet/cabinet.h"
#include "solver/drive/sound.h"
#include "solver/modes/accuracy.h"
#include "solver/verdict/flag.h"

#include <optional>
#include <string>
#include <vector>

namespace stillwall::app {

/// Everything the printers need; refers to the caller's data, owns only small values.
struct ModesReport
{
    const Cabinet& cabinet;
    const Bookkeeping& books;
    const solver::ModesResult& result;
    const std::vector<solver::JudgedMode>& judged; ///< one per mode
    const solver::SoundResult* played = nullptr;   ///< null: drivers' figures are missing, or it could not be played
    Vector3d outer_size = Vector3d::Zero();        ///< [m] width, depth, height
    solver::Accuracy accuracy = solver::Accuracy::Normal;
    double f_max_Hz = 0;
    double element_size = 0; ///< [m]
    double seconds_read = 0, seconds_mesh = 0, seconds_play = 0;
    std::vector<double> mesh_error{}; ///< [-] estimated, of each mode's frequency (solver/modes/mesh_error.h)
    std::optional<MeshedAgain> meshed_again{};
};

/// Lines: that and where the boards were meshed again; what the mesh does to the modes where that is more than the
/// accuracy promises.
[[nodiscard]] std::vector<std::string> mesh_words(const ModesReport& report);

/// A board named by its share in a mode.
struct NamedShare
{
    std::string board;
    double kinetic = 0; ///< [-]
};

/// The boards with at least 10 % of a mode's kinetic energy, largest first, at most three; the largest alone
/// when none reaches that.
[[nodiscard]] std::vector<NamedShare> main_boards(const solver::Mode& mode, const Cabinet& cabinet);

/// The parts that eat at least 10 % of what a mode loses, largest first, at most three; the largest alone when none
/// reaches that; none when nothing is lost.
[[nodiscard]] std::vector<solver::LossShare> main_losses(const solver::Mode& mode);

/// Whether the losses say more than the motion does: something beside the boards eats over 5 %, or some board eats 5 %
/// more or less of a mode's loss than it holds of its strain energy. Never with one loss factor everywhere.
[[nodiscard]] bool losses_tell(const ModesReport& report);

/// A part as the loss column names it: "left", "joint back panel", "woofer mount".
[[nodiscard]] std::string loss_part(const solver::LossShare& loss);

/// Q with its band: "33 (27–41)"; the band is left out when it is narrower than 5 % to either side, "–" when nothing is
/// lost.
[[nodiscard]] std::string q_words(const solver::Mode& mode);

/// The driver that couples hardest to a mode and the mass it feels.
struct Drive
{
    std::string driver;
    double effective_mass = 0; ///< 1/φ² [kg]: the mode answers this driver's force like so many kg
};

/// Empty name when no driver couples: no drivers, or all feel more than 100 times the cabinet's mass.
[[nodiscard]] Drive strongest_drive(const solver::Mode& mode, double cabinet_mass);

/// The word for a flag: "rings", "faint", "outside", "not played".
[[nodiscard]] std::string flag_word(solver::Flag flag);

/// What came of computing the lowest modes by a second solver: "20 lowest modes again by a second solver: largest
/// difference 3e-13 of the frequency".
[[nodiscard]] std::string verify_words(const solver::Verified& verified);

/// The table for people: header, a row per mode, what moves the ringing ones when asked for, legend, totals. At most
/// 120 columns wide.
[[nodiscard]] std::string modes_text(const ModesReport& report);

/// All figures with their units in the keys.
/// @throws SolverError when a figure is not finite
[[nodiscard]] std::string modes_json(const ModesReport& report);

/// Indices of the modes whose knobs are told: the first to hear, at most six; without any the three lowest. Ascending.
[[nodiscard]] std::vector<std::size_t> modes_to_move(const std::vector<solver::JudgedMode>& judged);

/// What a builder can change about these modes, a table each; empty when the worth was not asked for. At most 120
/// columns wide.
[[nodiscard]] std::string worth_text(const ModesReport& report);

/// One line per mode, a header row, decimal points.
[[nodiscard]] std::string modes_csv(const ModesReport& report);

} // namespace stillwall::app
