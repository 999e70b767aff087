#pragma once
// What a scheme is compared by: the few figures of one computed cabinet that a choice hangs on.

#include "solver/choose/signature.h"
#include "solver/drive/sound.h"

#include <optional>

namespace stillwall::solver {

/// A resonance of a scheme.
struct SchemeMode
{
    SoundMode::Kind kind = SoundMode::Kind::Wall;
    std::string name;  ///< "left, right: sides breathe 1×1"
    std::string board; ///< that sounds or moves most; of air the source through which it is heard
    double f_Hz = 0;
    double f_low_Hz = 0, f_high_Hz = 0; ///< band; 0: none
    double Q = 0;
    bool is_heard = false; ///< has a level: it was held against the direct sound
    double level_dB = 0;   ///< against the direct sound, at the worst listener
    double over_dB = 0;    ///< level over what trained ears find in noise
    Audibility word = Audibility::Inaudible;
    double rough_dB = -200; ///< walls that were not played: first guess of the level, see verdict/flag.h
    bool is_board = true;   ///< boards bend: neither the whole cabinet on its feet nor a driver on its mount
};

struct SchemeFigures
{
    bool is_played = false;              ///< levels come from the driven cabinet; else there are none
    std::vector<SchemeMode> modes;       ///< ascending in frequency
    Signature signature;                 ///< of the wall modes, in the order they have in `modes`
    int first = -1;                      ///< the first mode in which boards bend
    int loudest = -1;                    ///< wall mode with the highest level
    int worst = -1;                      ///< mode of any kind farthest over notice
    int n_audible = 0, n_borderline = 0; ///< of the walls
    int n_air_heard = 0;                 ///< waves of the air that are audible or borderline
    std::optional<double> tuning_Hz;     ///< of ports or passive radiators
    double mass = 0, board_mass = 0;     ///< [kg]
    double net_volume = 0;               ///< [m³]
    double board_area = 0;               ///< [m²]
};

/// Of the boards by themselves: frequencies, no levels.
[[nodiscard]] SchemeFigures figures_of(const Cabinet& cabinet, const ModesResult& result);

/// Of the played cabinet.
[[nodiscard]] SchemeFigures figures_of(const Cabinet& cabinet, const SoundResult& result);

/// Places in `modes` of the wall modes, in the columns' order of the signature.
[[nodiscard]] std::vector<std::size_t> wall_modes(const SchemeFigures& figures);

/// How far the wall mode nearest to being heard lies over what trained ears find in noise [dB]; nothing when none was
/// played.
[[nodiscard]] std::optional<double> loudest_over_notice(const SchemeFigures& figures);

/// Wall modes of `from` found again in `to`; places are those of `modes`.
[[nodiscard]] std::vector<Met> met_again(const SchemeFigures& from, const SchemeFigures& to);

} // namespace stillwall::solver
