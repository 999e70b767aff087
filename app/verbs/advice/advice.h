#pragma once
// What to change first: a few changes weighed by derivatives, the best of them computed again.

#include "app/input/cabinet_source.h"
#include "app/workers/scheme_job.h"
#include "app/write/advice_report.h"
#include "app/write/progress.h"

namespace stillwall::app {

/// Weighs boards 3 mm thicker, braces moved, sheets of damping and a new brace by the derivatives of the worst wall
/// mode, computes the six most promising cabinets again at draft accuracy and keeps the three that help most. The worst
/// wall is the one farthest over notice; where nothing can be played by its rough level. Nothing that goes wrong here
/// spoils the run: what cannot be computed is left out.
/// @param plays  judge by the driven cabinet
/// @param worst_Hz  the worst wall mode of the run itself: higher ones than twice this are not computed again. 0: not
/// known
[[nodiscard]] AdviceReport advise(const CabinetSource& source, const CabinetPlan& plan, bool plays, double f_max,
                                  double worst_Hz, Progress& progress);

} // namespace stillwall::app
