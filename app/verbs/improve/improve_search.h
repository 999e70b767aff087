#pragma once
// The search behind `improve`: stock by enumeration, numbers by optimisation, limits before anything is computed.

#include "app/input/cabinet_source.h"
#include "app/verbs/improve/improve_report.h"
#include "app/workers/scheme_job.h"
#include "app/write/progress.h"

namespace stillwall::app {

struct ImproveLimits
{
    int tries = 120;   ///< cabinets computed in the search
    unsigned seed = 1; ///< of the sample where there are too many combinations
    int jobs = 0;
};

/// Fills `tried`, `front` (unchecked), counts.
/// @throws InputError  when the limits leave nothing, saying which one bites
void search_improvements(const CabinetSource& source, const SchemeTask& task, const ImproveLimits& limits,
                         ImproveReport& report, Progress& progress);

} // namespace stillwall::app
