#pragma once
// Worth of every knob from one solution.

#include "solver/modes/internal/variations.h"
#include "solver/modes/slope.h"

namespace stillwall::solver::internal {

/// A solved cabinet: all that derivatives need.
struct SolvedCabinet
{
    const Cabinet& cabinet;
    const ShellMesh& mesh;
    const Structure& structure;
    const std::vector<ModeEnergy>& energies;
    const std::vector<LossyMode>& modes;
    const Eigen::MatrixXcd& phi;
    const LawCache& known_laws;
};

/// Derivatives of all modes by one knob: stiffness and mass of the cabinet a probe to either side, contracted with the
/// same shapes (Fox & Kapoor 1968: no derivative of the shape enters). Lengths that move nodes go through a morph of
/// the mesh: a derivative by shape, not a new mesh.
/// @throws Error when the varied cabinet cannot be built or morphed
[[nodiscard]] std::vector<Slope> derivative(const SolvedCabinet& solved, const Variation& variation);

/// All knobs, on two threads.
[[nodiscard]] Worth worth_of(const SolvedCabinet& solved, const std::vector<Variation>& variations);

} // namespace stillwall::solver::internal
