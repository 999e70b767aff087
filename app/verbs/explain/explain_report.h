#pragma once
// What was measured on a cabinet and what explains it: for people and as JSON.

#include "solver/explain/explain.h"

#include <string>
#include <vector>

namespace stillwall::app {

struct ExplainReport
{
    const Cabinet& cabinet;
    const Bookkeeping& books;
    Vector3d outer_size = Vector3d::Zero(); ///< [m]
    const solver::SoundResult& sound;
    const solver::Explanation& explanation;
    const solver::Sweep* sweep = nullptr;              ///< in the box; null: only knocks
    const solver::FeaturesResult* impedance = nullptr; ///< null: only knocks
    const solver::FeaturesResult* free_air = nullptr;
    std::vector<std::string> understood; ///< per measured file
    std::vector<std::string> warnings;   ///< one sentence each
    std::vector<std::string> picture_of; ///< per reading: file of the mode's picture, empty for none
};

/// Answer, table with odds, tests that tell causes apart, notes. At most 120 columns.
[[nodiscard]] std::string explain_text(const ExplainReport& report);
/// All figures with their units in the keys.
/// @throws SolverError when a figure is not finite
[[nodiscard]] std::string explain_json(const ExplainReport& report);

/// Of a cause in the list: "left, right: sides breathe 1×1".
[[nodiscard]] std::string cause_name(const ExplainReport& report, const solver::CauseOdds& cause);
/// "wall", "air", "port", "rocking", "driver", "none".
[[nodiscard]] std::string cause_word(const ExplainReport& report, const solver::CauseOdds& cause);
/// What to do and what each of the two causes would show; a few sentences.
[[nodiscard]] std::string proof_words(const ExplainReport& report, const solver::ExplainedReading& reading);
/// "> 99 %", "96 %", "< 1 %": never certain.
[[nodiscard]] std::string odds_words(double odds);
/// Where a reading was taken: "impedance" or "knock on left".
[[nodiscard]] std::string measurement_word(const ExplainReport& report, const solver::ToExplain& reading);

} // namespace stillwall::app
