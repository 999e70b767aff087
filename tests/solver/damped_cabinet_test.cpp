// What layers, joints and mounts do to a cabinet: known laws and practice.

#include "tests/solver/cabinet_fixture.h"

#include <algorithm>
#include <cmath>
#include <numbers>

using namespace cabinet_fixture;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

/// The lowest mode in which a board holds more than the given share of the motion.
const solver::Mode& first_of(const solver::ModesResult& result, const CabinetPlan& plan, const std::string& board,
                             double share = 0.5)
{
    const auto index = static_cast<std::size_t>(build_cabinet(plan).board_index(board).value());
    const auto found = std::find_if(result.modes.begin(), result.modes.end(),
                                    [&](const solver::Mode& m) { return m.boards[index].kinetic > share; });
    REQUIRE(found != result.modes.end());
    return *found;
}

double share_of(const solver::Mode& mode, const std::string& part)
{
    double share = 0;
    for (const auto& loss : mode.losses)
        if (loss.part == part) share += loss.share;
    return share;
}

} // namespace

TEST_CASE("a removable back on a soft strip rings lower and shorter than the same back glued",
          "[solver][modes][joints]")
{
    // Practice: a screwed or gasketed back is the softest, most damped wall of a box (common practice, no source). By
    // hand: a 200 × 300 × 12 mm panel clamped rings about twice as high as hinged; the strip puts its own loss into the
    // joint.
    CabinetPlan glued = box(make({}));
    glued.walls[2] = wall("back", 0.012);
    CabinetPlan loose = glued;
    loosen_back(loose, 3e7, 2e7, 0.25);
    const auto a = analyse(glued), b = analyse(loose);
    const auto &back_glued = first_of(a, glued, "back"), &back_loose = first_of(b, loose, "back");
    CAPTURE(back_glued.f_Hz, back_loose.f_Hz, back_loose.loss);
    CHECK(back_loose.f_Hz < 0.85 * back_glued.f_Hz);
    CHECK(back_loose.f_Hz > 0.4 * back_glued.f_Hz);
    CHECK(back_loose.loss > 1.3 * back_glued.loss);
    CHECK(share_of(back_loose, "back") > 0.3); // board and joint together
    CHECK(share_of(back_glued, "back") < 1);
}

TEST_CASE("line springs a thousand times stiffer than wood are as good as glue", "[solver][modes][joints]")
{
    // Limit: k → ∞ joins the boards' edges rigidly in translation; what is left is the turning, free here, so the
    // back's mode lies between a hinged and a clamped plate, and the box's other modes are those of the box within a
    // few per cent.
    CabinetPlan glued = box(make({}));
    CabinetPlan stiff = glued;
    loosen_back(stiff, 1e13, 1e13, 0);
    CabinetPlan soft = glued;
    loosen_back(soft, 1e8, 1e8, 0);
    const auto a = analyse(glued), b = analyse(stiff), c = analyse(soft);
    REQUIRE(b.n_rigid == 6);
    REQUIRE(c.n_rigid == 6);
    CHECK(b.modes[0].f_Hz < a.modes[0].f_Hz * 1.001);
    CHECK(c.modes[0].f_Hz < b.modes[0].f_Hz);
}

TEST_CASE("a back on very soft springs moves as a rigid plate on them", "[solver][modes][joints]")
{
    // Reference by hand: the back, mass m_b, against the rest, m_r, on k per metre over its edge line: ω² = k L (1/m_b
    // + 1/m_r). The springs sit on the mid-lines of the box: 2 (182 + 282) mm. Tolerance 3 %: the plate bends a little,
    // and the wood beyond the line is lumped on it.
    CabinetPlan plan = box(make({}));
    plan.braces.clear();
    const double k = 2e5;
    loosen_back(plan, k, k, 0);
    const Cabinet cabinet = build_cabinet(plan);
    const Bookkeeping books = bookkeeping(cabinet);
    double m_back = 0;
    for (const PartLine& part : books.parts)
        if (part.name == "back") m_back = part.mass;
    const double line = 2 * (0.182 + 0.282);
    const double f = std::sqrt(k * line * (1 / m_back + 1 / (books.mass - m_back))) / (2 * std::numbers::pi);
    const auto result = analyse(plan, 400);
    // Six motions of the back on its springs come below the first wall mode; the one straight out has the hand's
    // frequency.
    const auto nearest = std::min_element(result.modes.begin(), result.modes.end(), [f](const auto& a, const auto& b) {
        return std::abs(a.f_Hz - f) < std::abs(b.f_Hz - f);
    });
    REQUIRE(nearest != result.modes.end());
    CHECK_THAT(nearest->f_Hz, WithinRel(f, 0.03));
}

TEST_CASE("a soft-mounted driver bounces on its gasket", "[solver][modes][mount]")
{
    // Reference by hand: ω² = k (1/m + 1/M) for a rigid box of mass M; the baffle is stiff at this frequency. Tolerance
    // 3 %: what the baffle yields in series: about 1e7 N/m in the middle, by the clamped plate's formula, takes 1 %
    // off.
    CabinetPlan plan = box(make({}));
    plan.braces.clear();
    add_driver(plan, 2.0);
    plan.openings[0].z = 0.15; // in the middle: off it, the box would turn as well
    plan.openings[0].insert.mount = {figure(2e5, 0.5 * 2e5, 3 * 2e5), figure(0.2, 0.1, 0.4)};
    const double M = bookkeeping(build_cabinet(plan)).mass - 2.0;
    const double f = std::sqrt(2e5 * (1 / 2.0 + 1 / M)) / (2 * std::numbers::pi);
    const auto result = analyse(plan, 600);
    const auto nearest = std::min_element(result.modes.begin(), result.modes.end(), [f](const auto& a, const auto& b) {
        return std::abs(a.f_Hz - f) < std::abs(b.f_Hz - f);
    });
    REQUIRE(nearest != result.modes.end());
    CHECK_THAT(nearest->f_Hz, WithinRel(f, 0.03));
    CHECK_THAT(nearest->loss, WithinRel(0.2, 0.1));
    CHECK(share_of(*nearest, "woofer") > 0.9);
    // f ∝ √k and Q ∝ 1/loss, since the gasket holds nearly all of the strain; nothing else has a range. Tolerances 3
    // and 5 %: what the baffle yields: by hand 2e5/1e7 = 2 % of the energy, to which the frequency's exponent falls
    // short of 1/2; Q follows the loss itself.
    CHECK_THAT(nearest->f_low_Hz, WithinRel(nearest->f_Hz * std::sqrt(0.5), 0.03));
    CHECK_THAT(nearest->f_high_Hz, WithinRel(nearest->f_Hz * std::sqrt(3.0), 0.03));
    CHECK_THAT(nearest->Q_low, WithinRel(nearest->Q / 2, 0.05));
    CHECK_THAT(nearest->Q_high, WithinRel(nearest->Q * 2, 0.05));
}

TEST_CASE("a cabinet on feet carries their range", "[solver][modes][mount]")
{
    // Reference: f ∝ √k for a rigid box that bounces on feet: their range 0.25 to 4 gives f/2 to 2 f. Tolerance 1 %:
    // feet of 5e4 N/m against boards of 1e7 N/m.
    CabinetPlan plan = box(make({}));
    SupportPlan feet;
    feet.name = "feet";
    feet.board = "bottom";
    feet.points = {{0.03, 0.03}, {0.17, 0.03}, {0.17, 0.22}, {0.03, 0.22}};
    feet.stiffness = Vector3d::Constant(5e4);
    feet.stiffness_range = figure(1, 0.25, 4);
    feet.loss = figure(0.15, 0.1, 0.3);
    plan.supports = {feet};
    const auto result = analyse(plan, 1500);
    const auto standing =
        std::count_if(result.modes.begin(), result.modes.end(), [](const solver::Mode& m) { return m.moves_whole; });
    CHECK(standing == 6);
    for (const solver::Mode& mode : result.modes) {
        CAPTURE(mode.f_Hz);
        if (!mode.moves_whole) {
            // Walls ring far above: of their energy the feet hold about (f of the feet/f)², by hand 0.2 % at 500 Hz.
            // Tolerance 1 %.
            CHECK_THAT(mode.f_high_Hz, WithinRel(mode.f_low_Hz, 0.01));
            continue;
        }
        CHECK_THAT(mode.f_low_Hz, WithinRel(mode.f_Hz / 2, 0.01));
        CHECK_THAT(mode.f_high_Hz, WithinRel(mode.f_Hz * 2, 0.01));
        CHECK_THAT(mode.Q_low, WithinRel(mode.Q / 2, 0.01));
        CHECK_THAT(mode.Q_high, WithinRel(mode.Q * 1.5, 0.01));
    }
}

TEST_CASE("a magnet pressed to the shelf stiffens the baffle", "[solver][modes][mount]")
{
    CabinetPlan plan = box(make({}));
    plan.braces[0].plane = BracePlan::Plane::SideToSide;
    plan.braces[0].at = 0.12;
    add_driver(plan, 2.0);
    plan.openings[0].z = 0.15; // middle of the front
    CabinetPlan tied = plan;
    InsertPlan& insert = tied.openings[0].insert;
    insert.rear_tie = {"shelf", 0.1, {figure(2e7, 1e7, 4e7), {}}};
    const auto a = analyse(plan, 1500), b = analyse(tied, 1500);
    // The woofer's bounce on the baffle goes up: the tie works in parallel with the baffle's own stiffness.
    const solver::Mode &free = first_of(a, plan, "front"), &held = first_of(b, plan, "front");
    CHECK(held.f_Hz > 1.05 * free.f_Hz);
    // Reference: without the tie nothing has a range (Tolerance: round-off), with it comes its own: a spring of half to
    // twice the stiffness that holds part of the energy moves f by less than √2.
    CHECK_THAT(free.f_high_Hz, WithinRel(free.f_low_Hz, 1e-9));
    CHECK(held.f_high_Hz > 1.01 * held.f_Hz);
    CHECK(held.f_high_Hz < std::sqrt(2.0) * held.f_Hz);
}

TEST_CASE("a stiff sheet bonded to all of a board is a thicker board", "[solver][modes][layers]")
{
    // Reference: a law: 12 mm of wood with 6 mm of the same wood as a layer on its clear face against 18 mm outright:
    // the same section between the neighbours. Tolerance 4 %: the layer ends at the neighbours' faces, and inner sizes
    // differ by half the layer.
    CabinetPlan layered = box(make({}));
    layered.braces.clear();
    layered.walls[1] = wall("right", 0.012);
    layered.walls[3] = wall("left", 0.012);
    CabinetPlan thick = layered;
    thick.walls[1] = wall("right", 0.018);
    thick.walls[3] = wall("left", 0.018);
    add_layer(layered, "right", {{0, 0.006, 0}});
    add_layer(layered, "left", {{0, 0.006, 0}});
    const auto a = analyse(layered, 1200), b = analyse(thick, 1200);
    CHECK_THAT(first_of(a, layered, "left", 0.2).f_Hz, WithinRel(first_of(b, thick, "left", 0.2).f_Hz, 0.04));
}

TEST_CASE("bitumen on a thin wall damps as Oberst's formula says", "[solver][modes][layers]")
{
    // Reference: Oberst & Frankenfeld, Acustica 2 (1952) 181: a uniform free layer gives all bending of the wall the
    // same loss, that of the layered section; what the mode strains elsewhere loses 0.01. Tolerance 10 %: near its
    // edges the wall is held by joints, whose strips are stretched and sheared as well as bent.
    CabinetPlan plan = box(make({.loss = 0.01}));
    plan.materials.push_back(make({.name = "bitumen", .E = 1e9, .rho = 1700, .loss = 0.3}));
    plan.walls[1] = wall("right", 0.009);
    add_layer(plan, "right", {{1, 0.004, 0}});
    const double e = 1.0 / 3, h = 4.0 / 9, E1 = 3e9, t = 0.009;
    const double z =
        E1 * t * t * (-(e * h * (1 + h)) / (2 * (1 + e * h))) * -1 / (E1 * t); // neutral plane above the wall's middle
    const double D1 = E1 * t * t * t / 12 + E1 * t * z * z;
    const double D2 = e * E1 * (std::pow(h * t, 3) / 12 + h * t * std::pow(t * (1 + h) / 2 - z, 2));
    const double oberst = (0.01 * D1 + 0.3 * D2) / (D1 + D2);
    const auto result = analyse(plan, 1200);
    const auto& mode = first_of(result, plan, "right", 0.6);
    const double strained = mode.boards[1].strain; // walls in outline order: front, right
    CAPTURE(oberst, strained, mode.f_Hz, mode.loss);
    CHECK_THAT(mode.loss, WithinRel(strained * oberst + (1 - strained) * 0.01, 0.1));
    CHECK(share_of(mode, "layer on right") > 0.5);
}

TEST_CASE("a constrained layer trades frequency for loss", "[solver][modes][layers]")
{
    // Derived from Ross, Kerwin & Ungar 1959 for spans of 0.2 to 0.3 m: two equal 9 mm leaves over a 0.5 mm film of G
    // about 1 MPa peak near η = 0.3 η of the film, and ring at 0.65 to 0.76 of a solid wall of the same thickness. In a
    // cabinet the neighbours take part: a wider range is allowed.
    CabinetPlan solid = box(make({}));
    solid.braces.clear();
    CabinetPlan damped = solid;
    damped.materials.push_back(film(1e6, 1e6, 1.0));
    for (std::size_t w : {1, 3}) {
        auto& plies = damped.walls[w].layup.plies;
        plies = {{0, 0.009, 0}, {1, 0.0005, 0}, {0, 0.009, 0}};
        solid.walls[w].layup.plies[0].thickness = 0.0185;
    }
    const auto a = analyse(solid, 1200), b = analyse(damped, 1200);
    const auto &stiff = first_of(a, solid, "left", 0.2), &lossy = first_of(b, damped, "left", 0.2);
    CAPTURE(stiff.f_Hz, lossy.f_Hz, lossy.loss);
    CHECK(lossy.f_Hz / stiff.f_Hz > 0.55);
    CHECK(lossy.f_Hz / stiff.f_Hz < 0.85);
    CHECK(lossy.loss > 0.08);
    CHECK(lossy.loss < 0.35);
}

TEST_CASE("a thin foil on soft mastic has no modes of its own in the band", "[solver][modes][layers]")
{
    // Reference by hand: the foil slides on the mastic at √(G/(h m))/2π with its own mass and half the mastic's, 0.27
    // + 1.6 kg/m²: 1.4 kHz. Below 900 Hz the box with the foil has the modes of the bare box. Tolerance 3 %: mass
    // 1 % of the box, stiffness 2 %.
    CabinetPlan bare = box(make({}));
    CabinetPlan foiled = bare;
    foiled.materials.push_back(make({.name = "mastic", .E = 2 * 1.49 * 0.3e6, .rho = 1600, .loss = 0.7, .nu = 0.49}));
    foiled.materials.push_back(make({.name = "foil", .E = 70e9, .rho = 2700, .loss = 1e-3}));
    add_layer(foiled, "right", {{1, 0.002, 0}, {2, 0.0001, 0}}, 0.6);
    const auto a = analyse(bare, 900), b = analyse(foiled, 900);
    REQUIRE(a.modes.size() == b.modes.size());
    for (std::size_t m = 0; m < a.modes.size(); ++m) CHECK_THAT(b.modes[m].f_Hz, WithinRel(a.modes[m].f_Hz, 0.03));
}

TEST_CASE("the loss of every mode is told part by part", "[solver][modes][law]")
{
    // Reference: the shares' definition and T60 = 2.2 Q/f. Tolerance: round-off; of the shares, of sums over all
    // integration points.
    CabinetPlan plan = box(make({}));
    plan.materials.push_back(film(0.4e6, 1.5e6, 0.9));
    loosen_back(plan, 5e7, 2e7, 0.15);
    add_layer(plan, "left", {{1, 0.0005, 0}, {0, 0.003, 0}}, 0.6);
    const auto result = analyse(plan);
    REQUIRE(result.is_proved);
    for (const auto& mode : result.modes) {
        double sum = 0;
        for (const auto& loss : mode.losses) sum += loss.share;
        CHECK_THAT(sum, WithinAbs(1, 1e-9)); // definition
        CHECK(mode.loss > 0.015); // no part loses less than 0.02 of its energy but the slivers under a patch's edge
        CHECK_THAT(mode.T60_s, WithinRel(2.2 * mode.Q / mode.f_Hz, 1e-12));
    }
}
