// Laws of the mode analysis on a plain box, where the answers are known beforehand.

#include "tests/solver/cabinet_fixture.h"

#include <algorithm>
#include <cmath>

using namespace cabinet_fixture;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

/// Only the modulus has a range.
Material wood_of_range()
{
    return make({.low = 0.8, .high = 1.25});
}

} // namespace

TEST_CASE("one loss factor everywhere is every mode's loss factor", "[solver][modes][law]")
{
    // Reference: modal strain energy: Σ η U / Σ U = η when η is the same in boards and joints.
    // Tolerance: the line stiffness that holds a joint's twist is a penalty and holds under 0.2 % of a mode's energy.
    const auto result = analyse(box(wood_of_range()));
    REQUIRE(result.modes.size() > 3);
    for (const auto& mode : result.modes) {
        CAPTURE(mode.f_Hz);
        CHECK_THAT(mode.loss, WithinRel(0.02, 2e-3));
    }
}

TEST_CASE("a modulus common to all boards moves every frequency by its root", "[solver][modes][law]")
{
    // Reference: ω² ∝ E: the band of E from 0.8 to 1.25 times runs from √0.8 to √1.25.
    // Tolerance: 0.3 %: the penalty on a joint's twist does not scale with E, and the derivative is a central
    // difference.
    const auto result = analyse(box(wood_of_range()));
    for (const auto& mode : result.modes) {
        CAPTURE(mode.f_Hz);
        CHECK_THAT(mode.f_high_Hz / mode.f_Hz, WithinRel(std::sqrt(1.25), 3e-3));
        CHECK_THAT(mode.f_low_Hz / mode.f_Hz, WithinRel(std::sqrt(0.8), 3e-3));
    }
}

TEST_CASE("a second solver agrees on a lossy cabinet with springs in it", "[solver][modes]")
{
    CabinetPlan plan = box(wood_of_range());
    loosen_back(plan, 4e7, 1e7, 0.1);
    const Cabinet cabinet = build_cabinet(plan);
    const ShellMesh mesh = mesh::mesh_shell(cabinet, {.element_size = 0.06});
    solver::ModesOptions options;
    options.f_max = 1500;
    CHECK_FALSE(solver::analyse_modes(cabinet, mesh, options).verified);
    options.verify = true;
    const solver::ModesResult result = solver::analyse_modes(cabinet, mesh, options);
    REQUIRE(result.n_loss_rounds > 0); // not one loss factor everywhere
    REQUIRE(result.verified);
    CHECK(result.verified->n_modes == std::min<int>(20, static_cast<int>(result.modes.size())));
    CHECK(result.verified->agrees);
    // Reference: the second solver's own frequencies. Tolerance: verify.h's reasons; measured below 1e-10.
    CHECK(result.verified->largest_difference < 1e-8);
}

TEST_CASE("shares of a mode's energy sum to one", "[solver][modes][law]")
{
    // Reference: definition. Tolerance: round-off of some hundred additions.
    for (const auto& mode : analyse(box(wood_of_range())).modes) {
        double kinetic = 0, strain = 0;
        for (const auto& share : mode.boards) {
            kinetic += share.kinetic;
            strain += share.strain;
        }
        CHECK_THAT(kinetic, WithinAbs(1, 1e-12));
        CHECK_THAT(strain, WithinAbs(1, 1e-12));
    }
}
