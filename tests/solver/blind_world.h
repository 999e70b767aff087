#pragma once
// Cabinets with secrets: what was drawn, what was built, and what a measurement of the built one shows. All figures
// invented.

#include "solver/explain/explain.h"
#include "tests/solver/sweep_circuits.h"

#include <random>

namespace blind {

using namespace stillwall;

/// Something that is truly in the sweep.
struct Truth
{
    solver::Cause cause = solver::Cause::Nothing;
    double f_Hz = 0, Q = 0, ohm = 0;
    std::optional<int> wall; ///< place in the built cabinet's modes
    std::string name;        ///< of a wave of the air
};

struct World
{
    CabinetPlan drawn; ///< what the explainer is told
    bool is_filled = false;
    solver::SoundResult built; ///< of the cabinet as it came out, on a finer mesh
    std::vector<Truth> truths;
    solver::Sweep in_box;
    std::optional<solver::Sweep> free_air;
};

/// Whose world it is: one that is as the explaining model thinks, or one of other wood, other glue, other coils.
enum class Kind
{
    Own,
    Foreign
};

/// A box of 15 to 22 mm fibreboard with one driver; half of them with a shelf, a port, a lining. As built: every
/// modulus, density and loss drawn from its range (95 % of them inside), each board's own modulus off by 3 %, thickness
/// by 0.1 mm, the driver's mass by 3 %; the driver has a wrinkle of its own in 6 of 10, something else in 1 of 10.
///
/// Foreign: joints are line springs between contact faces (1 to 20 GN/m²) instead of the solid slice's law; half of the
/// boxes of isotropic stock, which shears as stiffly through its thickness as in its plane; moduli up to 15 % off
/// besides, boards that differ by 6 % and 0.3 mm; the driver hangs on a basket that the drawing does not tell; in half
/// of them one or two loose things ring; in half the coil is a ladder (L, two R‖L) and no power law.
[[nodiscard]] World made(unsigned seed, Kind kind = Kind::Own);

/// The drawn cabinet's sound up to beyond the highest wrinkle, on the coarse mesh of `draft`.
struct Told
{
    Cabinet cabinet;
    solver::SoundResult sound;
};
[[nodiscard]] Told told(const World& world, double highest_Hz);

/// Modal assurance criterion of every built mode (rows) and told mode, over points on the walls, motion across them.
/// @source R. J. Allemang, D. L. Brown, Proc. IMAC 1 (1982) 110
[[nodiscard]] Eigen::MatrixXd likeness(const World& world, const Told& told);

} // namespace blind
