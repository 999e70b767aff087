#include "solver/modes/bending_wave.h"

#include "mesh/cabinet/error.h"
#include "solver/structure/section/section.h"

#include <cmath>
#include <numbers>

namespace stillwall::solver {

double bending_wavelength(const Cabinet& cabinet, const Board& board, double along, double f_Hz)
{
    if (!(f_Hz > 0)) throw DomainError("bending wave: frequency must be > 0");
    const Section s = make_section(board.layup, cabinet.materials, board.grain - along);
    const double omega = 2 * std::numbers::pi * f_Hz;
    const double D = s.C(3, 3), shear = s.mass * omega * omega / s.C(6, 6);
    const double k2 = (shear + std::sqrt(shear * shear + 4 * s.mass * omega * omega / D)) / 2;
    return 2 * std::numbers::pi / std::sqrt(k2);
}

} // namespace stillwall::solver
