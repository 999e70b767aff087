// Worth of the parts: derivatives of frequency and loss against solving the changed cabinet again.

#include "mesh/core/morph.h"
#include "solver/modes/internal/variations.h"
#include "tests/solver/cabinet_fixture.h"

#include <algorithm>
#include <cmath>

using namespace cabinet_fixture;
using solver::Knob;
using solver::internal::Variation;

namespace {

constexpr double f_max = 800, element_size = 0.08;

/// Something of everything: two woods, a stiff sheet, a film under a sheet whose modulus grows with frequency, a loose
/// back, a driver on a gasket with its motor on a basket, feet.
CabinetPlan cabinet_with_everything()
{
    CabinetPlan plan = box(make({}));
    plan.materials.push_back(make({.name = "ply", .E = 8e9, .rho = 680, .loss = 0.012}));
    plan.materials.push_back(make({.name = "bitumen", .E = 1e9, .rho = 1700, .loss = 0.3}));
    plan.materials.push_back(film(0.4e6, 1.5e6, 0.9));
    plan.walls[3].layup.plies[0].material = 1;
    add_driver(plan, 1.5);
    plan.openings[0].insert.mount = {exactly(2e7), exactly(0.2)};
    plan.openings[0].insert.basket = {Basket::Kind::Cast, exactly(0.15), exactly(0),
                                      exactly(650),       exactly(390),  exactly(0.02)};
    loosen_back(plan, 5e7, 2e7, 0.15);
    add_layer(plan, "right", {{2, 0.004, 0}});
    add_layer(plan, "left", {{3, 0.0005, 0}, {1, 0.003, 0}}, 0.6);
    SupportPlan feet;
    feet.name = "feet";
    feet.board = "bottom";
    feet.points = {{0.03, 0.03}, {0.17, 0.03}, {0.17, 0.22}, {0.03, 0.22}};
    feet.stiffness = {2e4, 2e4, 5e4};
    feet.loss = exactly(0.15);
    plan.supports = {feet};
    return plan;
}

struct Solved
{
    CabinetPlan plan = cabinet_with_everything();
    Cabinet cabinet = build_cabinet(plan);
    ShellMesh mesh = mesh::mesh_shell(cabinet, {.element_size = element_size});
    solver::ModesResult result;

    Solved()
    {
        solver::ModesOptions options;
        options.f_max = f_max;
        options.worth_of = &plan;
        result = solver::analyse_modes(cabinet, mesh, options);
    }

    /// Solves the cabinet with one knob turned, on the same elements.
    [[nodiscard]] std::vector<solver::Mode> turned(const Variation& variation, double p) const
    {
        const Cabinet varied = variation.cabinet(p);
        solver::ModesOptions options;
        options.f_max = f_max;
        return solver::analyse_modes(varied, variation.is_length ? morph(mesh, cabinet, varied) : mesh, options).modes;
    }
};

const Solved& solved()
{
    static const Solved once;
    return once;
}

void check_knob(const Variation& variation)
{
    const Solved& base = solved();
    const auto& worth = *base.result.worth;
    const auto found = std::find_if(worth.knobs.begin(), worth.knobs.end(), [&](const Knob& k) {
        return k.kind == variation.knob.kind && k.part == variation.knob.part && k.ply == variation.knob.ply;
    });
    CAPTURE(static_cast<int>(variation.knob.kind), variation.knob.part, variation.knob.ply);
    REQUIRE(found != worth.knobs.end());
    const auto& slopes = worth.slopes[static_cast<std::size_t>(found - worth.knobs.begin())];
    const double p = variation.probe;
    const auto up = base.turned(variation, p), down = base.turned(variation, -p);
    REQUIRE(up.size() == slopes.size());
    REQUIRE(down.size() == slopes.size());
    double f_scale = 0, loss_scale = 0;
    for (const auto& slope : slopes) {
        f_scale = std::max(f_scale, std::abs(slope.ln_f));
        loss_scale = std::max(loss_scale, std::abs(slope.loss));
    }
    // Tolerance 2e-4 of the largest slope among the modes (worst measured 1.0e-4): the difference's own truncation,
    // (step/scale)² of about 1e-5, ten times that where modes lie close together, as those of a motor on its basket do.
    // A knob whose largest effect is below 1e-9 per unit is only round-off. The cabinet's motions as a whole on its
    // feet are left out: there λ is 1e-8 of the stiffness, and the difference of two solutions is round-off.
    for (std::size_t m = 0; m < slopes.size(); ++m) {
        if (base.result.modes[m].moves_whole) continue;
        CAPTURE(base.result.modes[m].f_Hz);
        CHECK(std::abs(std::log(up[m].f_Hz / down[m].f_Hz) / (2 * p) - slopes[m].ln_f) <= 2e-4 * f_scale + 1e-9);
        CHECK(std::abs((up[m].loss - down[m].loss) / (2 * p) - slopes[m].loss) <= 2e-4 * loss_scale + 1e-9);
    }
}

} // namespace

TEST_CASE("every knob has a derivative, and it is that of the solution", "[solver][modes][worth]")
{
    const Solved& base = solved();
    REQUIRE(base.result.modes.size() >= 5);
    REQUIRE(base.result.worth);
    for (const auto& sentence : base.result.worth->left_out) FAIL_CHECK(sentence);
    // One knob of each kind and part of interest; their code paths are all there are.
    for (const Variation& v : solver::internal::variations_of(base.plan, base.cabinet)) {
        const bool is_board = v.knob.kind <= Knob::Kind::Loss;
        if (!is_board || v.knob.part == "left" || (v.knob.part == "shelf" && v.knob.kind == Knob::Kind::Thickness))
            check_knob(v);
    }
}

TEST_CASE("a thicker wall, a lighter driver and a shelf in the middle do what they do in practice",
          "[solver][modes][worth]")
{
    // Reference: signs known beforehand. Mass lowers frequencies; a wall's own thickness raises the mode it moves in
    // most.
    const auto& result = solved().result;
    for (std::size_t k = 0; k < result.worth->knobs.size(); ++k) {
        const Knob& knob = result.worth->knobs[k];
        for (std::size_t m = 0; m < result.modes.size(); ++m) {
            CAPTURE(knob.part, result.modes[m].f_Hz);
            if (knob.kind == Knob::Kind::DriverMass || knob.kind == Knob::Kind::Density)
                CHECK(result.worth->slopes[k][m].ln_f < 1e-12);
            if (knob.kind == Knob::Kind::Loss) CHECK(result.worth->slopes[k][m].loss > 0);
        }
    }
}
