#include "solver/modes/internal/derivatives.h"

#include "mesh/core/morph.h"
#include "solver/linalg/parallel.h"

#include <optional>

namespace stillwall::solver::internal {
namespace {

/// φᵀK*φ and φᵀMφ of every mode in a varied cabinet.
std::vector<PairEnergy> energies_of(const SolvedCabinet& solved, const Cabinet& varied, const ShellMesh* moved)
{
    const ShellMesh& mesh = moved ? *moved : solved.mesh;
    LawCache laws = solved.known_laws;
    const Structure structure = build_structure(varied, mesh, solved.structure.reference_Hz, laws);
    if (structure.groups.size() != solved.structure.groups.size() ||
        structure.films.size() != solved.structure.films.size() ||
        structure.nodes.cols() != solved.structure.nodes.cols())
        throw DomainError("its structure changes with the step");
    const bool is_real = solved.energies.front().is_real;
    const auto energies = moved ? mode_energies(varied, mesh, structure, solved.phi, is_real)
                                : with_attachments(solved.energies, structure, solved.phi);
    std::vector<PairEnergy> result;
    for (std::size_t m = 0; m < energies.size(); ++m)
        result.push_back(pair_energy(energies[m], state_at(varied, structure, solved.modes[m].f_Hz())));
    return result;
}

std::vector<PairEnergy> probed(const SolvedCabinet& solved, const Variation& variation, double p)
{
    const Cabinet varied = variation.cabinet(p);
    if (!variation.is_length) return energies_of(solved, varied, nullptr);
    const ShellMesh moved = morph(solved.mesh, solved.cabinet, varied);
    return energies_of(solved, varied, &moved);
}

} // namespace

std::vector<Slope> derivative(const SolvedCabinet& solved, const Variation& variation)
{
    const double span = 2 * variation.probe;
    const auto high = probed(solved, variation, variation.probe), low = probed(solved, variation, -variation.probe);
    std::vector<Slope> slopes;
    for (std::size_t m = 0; m < solved.modes.size(); ++m)
        slopes.push_back(slope_of(solved.modes[m], (high[m].stiffness - low[m].stiffness) / span,
                                  (high[m].mass - low[m].mass) / span));
    return slopes;
}

Worth worth_of(const SolvedCabinet& solved, const std::vector<Variation>& variations)
{
    std::vector<std::optional<std::vector<Slope>>> slopes(variations.size());
    std::vector<std::string> failures(variations.size());
    Worth worth;
    if (solved.modes.empty()) return worth;
    for_each_item(variations.size(), [&](std::size_t i) {
        try {
            slopes[i] = derivative(solved, variations[i]);
        } catch (const Error& error) {
            // A neighbour touches, a board folds: this knob has no derivative, the others have.
            failures[i] = variations[i].knob.part + ": " + error.what();
        }
    });
    for (std::size_t i = 0; i < variations.size(); ++i) {
        if (!slopes[i]) {
            worth.left_out.push_back(failures[i]);
            continue;
        }
        worth.knobs.push_back(variations[i].knob);
        worth.slopes.push_back(std::move(*slopes[i]));
    }
    return worth;
}

} // namespace stillwall::solver::internal
