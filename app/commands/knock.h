#pragma once

#include "solver/measured/knock.h"

namespace stillwall::app {

/// analyse_knocks() with what is wrong with the recordings as a fault of the input.
/// @throws InputError
[[nodiscard]] solver::KnockResult knocks_of(const std::vector<solver::Recording>& recordings,
                                            const solver::KnockSetting& setting);

} // namespace stillwall::app
