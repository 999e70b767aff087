#pragma once
// What a cabinet holds by itself, without a driver to play it: enough to say what rings in a knock.

#include "solver/drive/sound.h"

namespace stillwall::solver {

/// Walls and waves of the open air between rigid walls, each with frequency and Q: no levels, no impedance, no
/// sources. Of the air, whose losses lie in linings and leaks, Q is 30 (a judgement: bare boxes 50, lined ones 10).
/// @param walls  of the cabinet up to f_top
/// @param mesh   of the air inside
/// @param f_top  [Hz] > 0
/// @throws SolverError
[[nodiscard]] SoundResult unplayed_sound(const Cabinet& cabinet, ModesResult walls, const AirMesh& mesh, double f_top);

} // namespace stillwall::solver
