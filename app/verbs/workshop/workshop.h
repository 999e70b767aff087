#pragma once
// What `workshop` finds of a cabinet, for a page.

#include "app/input/cabinet_source.h"
#include "app/write/page.h"

namespace stillwall::app {

/// Its JSON, and its drawings: the boards laid out, then each part.
/// @param cabinet, books  of `plan`
/// @throws InputError  a part that no board for sale holds
[[nodiscard]] PageRun workshop_run(const CabinetSource& source, const CabinetPlan& plan, const Cabinet& cabinet,
                                   const Bookkeeping& books);

} // namespace stillwall::app
