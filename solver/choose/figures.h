#pragma once
// What a scheme is compared by: the few figures of one computed cabinet that a choice hangs on.

#include "solver/choose/signature.h"
#include "solver/drive/sound.h"
#include "solver/verdict/flag.h"

#include <optional>

namespace stillwall::solver {

/// A resonance of a scheme. `part` of a wall mode is the first board in its name, played or not, so that a mode is
/// called the same in every table.
struct SchemeMode : Resonance
{
    std::optional<double> coupling; ///< [-] walls that were not played: how strongly driven, see verdict/flag.h
    bool is_board = true;           ///< boards bend: neither the whole cabinet on its feet nor a driver on its mount
};

struct SchemeFigures
{
    bool is_played = false;              ///< levels come from the driven cabinet; else there are none
    std::vector<SchemeMode> modes;       ///< ascending in frequency
    Signature signature;                 ///< of the wall modes, in the order they have in `modes`
    std::optional<std::size_t> first;    ///< place in `modes` of the first one in which boards bend
    std::optional<std::size_t> loudest;  ///< likewise of the wall mode farthest over notice: that told of the walls
    std::optional<std::size_t> worst;    ///< likewise of the mode of any kind farthest over notice
    int n_audible = 0, n_borderline = 0; ///< of the walls
    int n_air_heard = 0;                 ///< waves of the air that are audible or borderline
    std::optional<double> tuning_Hz;     ///< of ports or passive radiators
    double mass = 0, board_mass = 0;     ///< [kg]
    double net_volume = 0;               ///< [m³]
    double board_area = 0;               ///< [m²]

    /// The mode at a place that may be none; null for none.
    [[nodiscard]] const SchemeMode* at(std::optional<std::size_t> place) const;
};

/// Of the boards by themselves: frequencies and couplings, no levels.
[[nodiscard]] SchemeFigures figures_of(const Cabinet& cabinet, const ModesResult& result);

/// Of the played cabinet.
[[nodiscard]] SchemeFigures figures_of(const Cabinet& cabinet, const SoundResult& result);

/// Places in `modes` of the wall modes, in the columns' order of the signature.
[[nodiscard]] std::vector<std::size_t> wall_modes(const SchemeFigures& figures);

/// How far `loudest` lies over what trained ears find in noise [dB]; nothing when none was played.
[[nodiscard]] std::optional<double> loudest_over_notice(const SchemeFigures& figures);

/// How near a mode is to the ear beside others of the same run [dB]: its level over what trained ears find in noise,
/// the coupling's logarithm where it was not played.
/// @throws DomainError  a mode without either
[[nodiscard]] double nearness_dB(const SchemeMode& mode);

/// Place of the wall mode nearest to the ear in which boards bend.
[[nodiscard]] std::optional<std::size_t> worst_wall(const SchemeFigures& figures);

/// Wall modes of `from` found again in `to`; places are those of `modes`.
[[nodiscard]] std::vector<Met> met_again(const SchemeFigures& from, const SchemeFigures& to);

} // namespace stillwall::solver
