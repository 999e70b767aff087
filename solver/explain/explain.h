#pragma once
// From what was measured on a finished cabinet and what its model says to a cause for every reading.

#include "solver/explain/odds.h"
#include "solver/explain/proof.h"

#include <optional>

namespace stillwall::solver {

/// Knocks on one board.
struct KnockedBoard
{
    int board = 0;
    KnockResult result;
};

struct Measured
{
    const Sweep* sweep = nullptr;              ///< of the impedance in the box; null: only knocks
    const FeaturesResult* impedance = nullptr; ///< its wrinkles
    const Sweep* free_air_sweep = nullptr;     ///< of the driver alone; null: none
    const FeaturesResult* free_air = nullptr;
    std::vector<KnockedBoard> knocks;
};

/// The driver's own humps in the box, measured and by the model.
struct BoxCheck
{
    BoxKind kind = BoxKind::OneHump;
    std::vector<Hump> measured, model;            ///< ascending; equal in number, or the model's empty
    double tuning_measured = 0, tuning_model = 0; ///< [Hz] where |Z| without the coil's part is least between two humps
    double largest_ratio = 1; ///< measured over the model's |Z|, where they are farthest apart below 300 Hz
};

struct ExplainedReading
{
    ToExplain reading;
    std::vector<CauseOdds> causes; ///< most likely first
    std::optional<Proof> proof;    ///< of the two most likely; nothing when the first is surer than 99 %
};

struct Explanation
{
    std::size_t way = 0; ///< whose impedance it was taken for
    Suspects suspects;
    Evidence evidence;
    OddsResult odds;
    std::vector<ExplainedReading> readings; ///< impedance first, then the knocked boards, each ascending
    std::optional<BoxCheck> box;
    /// Candidates that should have shown in the impedance (chance over a half) but explain none of its readings.
    std::vector<int> missing;
};

/// How many humps a driver's impedance may have in this box: one where nothing but drivers and plates sits in its
/// walls' holes, so that a tall closed box's wave is not taken for a tuning; else the sweep says.
[[nodiscard]] BoxKind box_kind_of(const Cabinet& cabinet);

/// The way whose impedance by the model is nearest to the sweep (r.m.s. of ln |Z| over what both cover).
[[nodiscard]] std::size_t nearest_way(const SoundResult& sound, const Sweep& sweep);

/// @param sound  of the cabinet up to beyond the highest reading
[[nodiscard]] Explanation explain(const Cabinet& cabinet, const SoundResult& sound, bool is_filled,
                                  const Measured& measured, const Doubt& doubt = {});

} // namespace stillwall::solver
