// Boards kerfed to bend.
#include "mesh/cabinet/error.h"
#include "mesh/cabinet/kerfed.h"

#include <catch2/catch.hpp>

#include <numbers>

using namespace stillwall;
using Catch::Matchers::WithinRel;

namespace {

/// Stiffness of two plies against stretching, and against bending at no force, per modulus of the uncut board.
struct Beam
{
    double stretch = 0, bending = 0;
};

Beam beam_of(const KerfFactors& f, double d, double s)
{
    const double a = f.ribs * d, b = f.skin * s, apart = (d + s) / 2;
    return {a + b, (a * d * d + b * s * s) / 12 + a * b / (a + b) * apart * apart};
}

} // namespace

TEST_CASE("kerfs leave skin and full board in a row", "[build][curved]")
{
    const double t = 0.018;
    const double depth = GENERATE(0.006, 0.012, 0.015), pitch = GENERATE(0.008, 0.02);
    const Kerfs kerfs{pitch, depth, 0.003};
    const double s = t - depth, share = (0.003 + s / 2) / pitch;
    const Beam beam = beam_of(kerf_factors(kerfs, t), depth, s);
    // Reference: flexibilities in a row, by hand. Tolerance: bisection; where kerfs follow so closely that the ribs
    // carry
    //   nothing, the modulus left to them shows as 2 %.
    const double open = std::min(share, 1.0);
    CHECK_THAT(beam.stretch, WithinRel(1 / ((1 - open) / t + open / s), 1e-9));
    CHECK_THAT(beam.bending, WithinRel(1 / (12 * ((1 - open) / (t * t * t) + open / (s * s * s))), 0.02));
}

TEST_CASE("a kerfed lay-up", "[build][curved]")
{
    std::vector<Material> materials(1);
    Material& m = materials[0];
    m.name = "plate";
    for (Quantity* q : {&m.E1, &m.E2, &m.E3, &m.G12, &m.G13, &m.G23}) *q = {3e9, 2e9, 4e9, "", ""};
    m.rho = {700, 700, 700, "", ""};
    const Layup whole{{{0, 0.018, 0}}, "plate 18 mm"};
    const Kerfs kerfs{0.012, 0.014, 0.003};
    // Reference: the cut part weighs 1 − 3/12 of the uncut. Tolerance: round-off.
    const Layup cut = kerfed(whole, kerfs, true, std::numbers::pi / 2, materials);
    REQUIRE(cut.plies.size() == 2);
    CHECK_THAT(cut.thickness(), WithinRel(0.018, 1e-12));
    CHECK_THAT(cut.plies[0].thickness, WithinRel(0.014, 1e-12));
    const Material& ribs = materials[static_cast<std::size_t>(cut.plies[0].material)];
    CHECK_THAT(ribs.rho.value, WithinRel(0.75 * 700, 1e-12));
    // The grain runs up, along the kerfs: the modulus along it keeps 0.75, that round the curve almost nothing.
    CHECK_THAT(ribs.E1.value, WithinRel(0.75 * 3e9, 1e-12));
    CHECK(ribs.E2.value < 0.05 * 3e9);
    // Cut from the other side the plies are the other way round; filled, nothing is cut; a slanted ply is refused.
    CHECK_THAT(kerfed(whole, kerfs, false, 0, materials).plies[1].thickness, WithinRel(0.014, 1e-12));
    Kerfs filled = kerfs;
    filled.is_filled = true;
    CHECK(kerfed(whole, filled, true, 0, materials).plies.size() == 1);
    CHECK_THROWS_AS(kerfed(whole, kerfs, true, 0.3, materials), DomainError);
    CHECK_THROWS_AS(kerf_factors({0.012, 0.018, 0.003}, 0.018), DomainError);
}
