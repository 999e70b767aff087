// A driver's flange let into its board: the ring of board under it is thinner, from outside; weights on boards.

#include "mesh/cabinet/opening.h"
#include "solver/structure/structure.h"
#include "tests/solver/cabinet_fixture.h"

using namespace stillwall;
using namespace cabinet_fixture;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

CabinetPlan with_flange(double diameter, double recess)
{
    CabinetPlan plan = box(make({}));
    add_driver(plan, 1);
    plan.openings.back().z = 0.15;
    plan.braces.clear();
    plan.openings.back().insert.body.flange_diameter = diameter;
    plan.openings.back().insert.body.recess = recess;
    return plan;
}

/// Mass that the finite elements carry [kg].
double meshed_mass(const CabinetPlan& plan)
{
    const Cabinet cabinet = build_cabinet(plan);
    const ShellMesh mesh = mesh::mesh_shell(cabinet, {0.05});
    solver::LawCache laws;
    const solver::Structure structure = solver::build_structure(cabinet, mesh, 500, laws);
    return solver::assemble_structure(cabinet, mesh, structure).mass;
}

} // namespace

TEST_CASE("a board under a rebate is what is left, at its own height", "[solver][rebate]")
{
    CabinetPlan plan = with_flange(0.12, 0.005);
    plan.walls[0].layup.plies = {{0, 0.006, 0}, {0, 0.008, 0.3}, {0, 0.004, 0}}; // inside to outside
    const Cabinet cabinet = build_cabinet(plan);
    const solver::Stack stack = solver::make_stack(cabinet, 0, {}, {}, 0);
    // Reference: 5 mm from outside take the outer ply of 4 mm and 1 mm of the next. Tolerance: round-off.
    REQUIRE(stack.plies.size() == 2);
    CHECK_THAT(stack.plies[0].thickness, WithinAbs(0.006, 1e-15));
    CHECK_THAT(stack.plies[1].thickness, WithinAbs(0.007, 1e-15));
    const solver::Section s = solver::make_section(stack.plies, cabinet.materials, 0, stack.leaves.at(0).z_bottom);
    // Reference: a homogeneous plate from −9 to +4 mm, E' = E/(1 − ν²): A = E' t, B = E' (z₂² − z₁²)/2, D = E' (z₂³ −
    // z₁³)/3, mass ρ t. Tolerance: round-off.
    const double E = 3e9 / (1 - 0.09), low = -0.009, high = 0.004;
    CHECK_THAT(s.C(0, 0), WithinRel(E * (high - low), 1e-12));
    CHECK_THAT(s.C(0, 3), WithinRel(E * (high * high - low * low) / 2, 1e-9));
    CHECK_THAT(s.C(3, 3), WithinRel(E * (std::pow(high, 3) - std::pow(low, 3)) / 3, 1e-12));
    CHECK_THAT(s.mass, WithinRel(750 * 0.013, 1e-12));
}

TEST_CASE("the mesh loses the rebate's wood and carries a board's weights", "[solver][rebate]")
{
    const double flush = meshed_mass(with_flange(0.12, 0));
    // Reference: ρ π/4 (0.12² − 0.08²) · 9 mm = 42.4 g; the flange keeps 40 mm off the walls' middles: a joint's strip
    // of 13.5 mm counts as covered where the flange lies over as much beside it. Tolerance: the ring crosses elements,
    // whose curved sides count as chords: 1 % of it.
    const double ring = 750 * rebate_volume(build_cabinet(with_flange(0.12, 0.009)).boards[0].openings[0]);
    CHECK_THAT(ring, WithinRel(750 * std::acos(-1.0) / 4 * (0.12 * 0.12 - 0.08 * 0.08) * 0.009, 1e-12));
    CHECK_THAT(flush - meshed_mass(with_flange(0.12, 0.009)), WithinRel(ring, 0.01));

    CabinetPlan loaded = with_flange(0.12, 0);
    MassPlan crossover;
    crossover.name = "crossover";
    crossover.board = "bottom";
    crossover.x = 0.1;
    crossover.y = 0.12;
    crossover.mass = 0.7;
    loaded.masses = {crossover, crossover};
    loaded.masses[1].name = "ballast";
    loaded.masses[1].width = 0.1;
    loaded.masses[1].height = 0.06;
    // Reference: twice 0.7 kg, as a point and spread. Tolerance: round-off of the sums.
    CHECK_THAT(meshed_mass(loaded) - flush, WithinRel(1.4, 1e-9));
    CHECK_THAT(bookkeeping(build_cabinet(loaded)).mass - bookkeeping(build_cabinet(with_flange(0.12, 0))).mass,
               WithinRel(1.4, 1e-9));
}

TEST_CASE("a rebate over the whole front is a thinner front", "[solver][rebate]")
{
    // Reference: the same wood described as a front of 13 mm, its outer face 5 mm further back, so that the inside and
    // the other boards stay. By hand a panel's frequency goes as its thickness, 13/18: some of the lowest modes must
    // fall by a fifth at least. Tolerance: the corner's strips stand about another middle and reach over another
    // thickness: 4 %.
    const solver::ModesResult let_in = analyse(with_flange(1, 0.005)), flush = analyse(with_flange(1, 0));
    CabinetPlan thin = with_flange(1, 0);
    thin.walls[0].layup.plies = {{0, 0.013, 0}};
    thin.outline = {{0, 0.005}, {0.2, 0.005}, {0.2, 0.25}, {0, 0.25}};
    const solver::ModesResult reference = analyse(thin);
    const auto f = [](const solver::ModesResult& result, std::size_t i) { return result.modes.at(i).f_Hz; };
    CHECK(f(let_in, 0) < 0.85 * f(flush, 0));
    for (const std::size_t i : {0U, 1U}) {
        CAPTURE(i, f(let_in, i), f(reference, i), f(flush, i));
        CHECK_THAT(f(let_in, i), WithinRel(f(reference, i), 0.04));
    }
}
