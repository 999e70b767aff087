// Laws of the mode analysis on a plain box, where the answers are known beforehand.

#include "mesh/core/build.h"
#include "mesh/gmsh/mesher.h"
#include "solver/modes/analysis.h"

#include <catch2/catch.hpp>

#include <cmath>

using namespace stillwall;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

Quantity figure(double value, double low, double high) { return {value, low, high, {}, {}}; }

/// Isotropic, one loss factor; only the modulus has a range.
Material wood(double low, double high)
{
    const double E = 3e9, nu = 0.3, G = E / (2 * (1 + nu));
    Material m;
    m.name = "wood";
    m.E1 = m.E2 = m.E3 = figure(E, low * E, high * E);
    m.G12 = m.G13 = m.G23 = figure(G, low * G, high * G);
    m.nu12 = m.nu13 = m.nu23 = figure(nu, nu, nu);
    m.rho = figure(750, 750, 750);
    m.eta = m.eta2 = figure(0.02, 0.02, 0.02);
    m.is_isotropic = true;
    return m;
}

WallPlan wall(const std::string& name)
{
    WallPlan w;
    w.name = name;
    w.layup.plies = {{0, 0.018, 0}};
    return w;
}

/// A small box with a shelf, so that corners and Tee joints are in it.
CabinetPlan box()
{
    CabinetPlan plan;
    plan.name = "box";
    plan.materials = {wood(0.8, 1.25)};
    plan.outline = {{0, 0}, {0.2, 0}, {0.2, 0.25}, {0, 0.25}};
    plan.height = 0.3;
    plan.walls = {wall("front"), wall("right"), wall("back"), wall("left")};
    plan.top = wall("top");
    plan.bottom = wall("bottom");
    BracePlan shelf;
    shelf.name = "shelf";
    shelf.at = 0.14;
    shelf.layup.plies = {{0, 0.018, 0}};
    plan.braces = {shelf};
    return plan;
}

solver::ModesResult analyse(const CabinetPlan& plan)
{
    const Cabinet cabinet = build_cabinet(plan);
    solver::ModesOptions options;
    options.f_max = 1500;
    return solver::analyse_modes(cabinet, mesh::mesh_shell(cabinet, {.element_size = 0.06}), options);
}

} // namespace

TEST_CASE("one loss factor everywhere is every mode's loss factor", "[solver][modes][law]")
{
    // Reference: modal strain energy: Σ η U / Σ U = η when η is the same in boards and joints.
    // Tolerance: the line stiffness that holds a joint's twist is a penalty and holds under 0.2 % of a mode's energy.
    const auto result = analyse(box());
    REQUIRE(result.modes.size() > 3);
    for (const auto& mode : result.modes) {
        CAPTURE(mode.f_Hz);
        CHECK_THAT(mode.loss, WithinRel(0.02, 2e-3));
    }
}

TEST_CASE("a modulus common to all boards moves every frequency by its root", "[solver][modes][law]")
{
    // Reference: ω² ∝ E: the band of E from 0.8 to 1.25 times runs from √0.8 to √1.25.
    // Tolerance: 0.3 %: the penalty on a joint's twist does not scale with E, and the derivative is a central difference.
    const auto result = analyse(box());
    for (const auto& mode : result.modes) {
        CAPTURE(mode.f_Hz);
        CHECK_THAT(mode.f_high_Hz / mode.f_Hz, WithinRel(std::sqrt(1.25), 3e-3));
        CHECK_THAT(mode.f_low_Hz / mode.f_Hz, WithinRel(std::sqrt(0.8), 3e-3));
    }
}

TEST_CASE("shares of a mode's energy sum to one", "[solver][modes][law]")
{
    // Reference: definition. Tolerance: round-off of some hundred additions.
    for (const auto& mode : analyse(box()).modes) {
        double kinetic = 0, strain = 0;
        for (const auto& share : mode.boards) {
            kinetic += share.kinetic;
            strain += share.strain;
        }
        CHECK_THAT(kinetic, WithinAbs(1, 1e-12));
        CHECK_THAT(strain, WithinAbs(1, 1e-12));
    }
}
