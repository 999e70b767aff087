#pragma once

#include "app/verbs/explain/explain_report.h"
#include "mesh/cabinet/learned.h"
#include "solver/explain/comb.h"
#include "solver/explain/learn.h"

namespace stillwall::app {

/// What the readings whose cause is a wall with odds over 80 % teach; the walls' modes are computed anew at each step.
/// @param f_max  [Hz] of those modes
[[nodiscard]] solver::LearnResult learn_from(const ExplainReport& report, const CabinetPlan& plan,
                                             const ShellMesh& mesh, double f_max);

/// How else all readings could fall upon the walls, when the boards are stiffer or softer alike.
[[nodiscard]] std::vector<solver::CombFit> comb_of(const ExplainReport& report);

/// Why nothing may be learned where two ways are both likely; empty: one is by far the likeliest.
[[nodiscard]] std::string slip_words(const std::vector<solver::CombFit>& combs);

/// The figures that were learned, by material and driver.
[[nodiscard]] Learned learned_of(const solver::LearnResult& result);

/// For people: what became known and how well, or why nothing was changed.
[[nodiscard]] std::string learned_text(const solver::LearnResult& result);

} // namespace stillwall::app
