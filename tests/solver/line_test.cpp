// A folded line: its length from the drawing, its waves by name, and its frequencies against those of a pipe.

#include "sound_fixture.h"

#include "mesh/cabinet/air_line.h"
#include "solver/air/acoustic.h"
#include "solver/drive/line_name.h"

#include <numbers>

using namespace stillwall;
using namespace sound_fixture;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;

namespace {

constexpr double pi = std::numbers::pi;
// Inside 164 × 214 × 964 mm; a plate from the bottom, 18 mm thick, leaves 98 mm before and behind it, and above.
constexpr double width = 0.164, leg = 0.098, tall = 0.964;
// Two legs along their middles up to that of the turn, and across.
constexpr double middle_length = 2 * (tall - leg / 2) + leg + 0.018;

CabinetPlan folded()
{
    CabinetPlan plan = sealed_box();
    plan.outline = {{0, 0}, {0.2, 0}, {0.2, 0.25}, {0, 0.25}};
    plan.height = 1.0;
    BracePlan fold;
    fold.name = "fold";
    fold.plane = BracePlan::Plane::SideToSide;
    fold.at = 0.125;
    fold.layup = plan.top.layup;
    fold.z_to = 0.982 - leg;
    plan.braces = {fold};
    plan.openings = {driver("woofer", "front", 0.1, 0.1)};
    plan.sound.f_from = 15;
    plan.sound.f_to = 160;
    return plan;
}

OpeningPlan mouth()
{
    OpeningPlan opening = hole("mouth", "back", 0.09, 0.1, 0.07);
    opening.shape = OpeningPlan::Shape::Rectangle;
    opening.width = 0.12;
    opening.height = 0.07;
    return opening;
}

} // namespace

TEST_CASE("a folded line is measured along its middle", "[air][line]")
{
    const Cabinet cabinet = build_cabinet(folded());
    const Chambers chambers(cabinet);
    const std::map<int, AirLine> lines = air_lines(cabinet, chambers);
    REQUIRE(lines.size() == 1);
    // Reference: the middles of the legs by hand. Tolerance: slices are round where the line turns, which cuts its two
    // corners by up to a quarter of the leg each: 49 of 1946 mm.
    CHECK_THAT(lines.at(0).length(), WithinRel(middle_length, 0.03));
    CHECK_THAT(lines.at(0).section(), WithinRel(width * leg, 0.08));

    // The same room with an open plate is none.
    CabinetPlan open = folded();
    open.braces[0].z_to = 0.3;
    const Cabinet box = build_cabinet(open);
    CHECK(air_lines(box, Chambers(box)).empty());
}

TEST_CASE("a shut line rings as a shut pipe, and its waves are named along it", "[air][line]")
{
    const Cabinet cabinet = build_cabinet(folded());
    const AirMesh air = mesh::mesh_air(cabinet, {.element_size = 0.06});
    const auto rigid = solver::rigid_wall_air(
        cabinet, air, {}, solver::internal::openings_of(solver::internal::sources_of(cabinet)), 300);
    const solver::LineNames names(cabinet, air);
    for (int n = 1; n <= 3; ++n) {
        // Reference: pipe shut at both ends, f = n c/(2 L). Where the air moves fastest in the turn (odd n) each of its
        // two corners counts as 0.559 of its length, as a square corner of a sheet does for a current (handbook
        // figure, from memory); where it rests there (even n) the turn counts by its room. Tolerance: the corners are
        // only 18 mm apart, and 0.06 m elements: 1 %.
        const double L = middle_length - (n % 2 == 1 ? 2 * (1 - 0.559) * leg : 0);
        CHECK_THAT(rigid.mode_Hz[n], WithinRel(n * rigid.air.sound_speed / (2 * L), 0.01));
        const auto name = names.name(rigid.Psi.col(n).cast<std::complex<double>>());
        REQUIRE(name.has_value());
        constexpr std::array<const char*, 3> waves{"half a wave", "a whole wave", "1 1/2 waves"};
        CHECK_THAT(*name, Contains(waves.at(static_cast<std::size_t>(n - 1))) && Contains("along the line, 1.9 m"));
    }
    CHECK_FALSE(names.name(rigid.Psi.col(0).cast<std::complex<double>>()).has_value()); // uniform
}

TEST_CASE("an open line rings as a pipe open at one end, and has no tuning of the box", "[sound][line]")
{
    CabinetPlan plan = folded();
    plan.openings.push_back(mouth());
    const solver::SoundResult result = Stage(plan, 0.1, 0.08, 0.08).sound();
    std::optional<double> quarter;
    for (const solver::SoundMode& mode : result.modes) {
        CHECK_THAT(mode.name, !Contains("tuning of the box"));
        if (mode.name == "air: a quarter wave along the line, 1.9 m") quarter = mode.f_Hz;
    }
    REQUIRE(quarter.has_value());
    // Reference: a pipe shut at one end with a plug of mass at the other, 1 = k l S/S_m (tan θ + tan k s). l is the
    // board's 18 mm and the mouth's ends, 1.46 a for a = √(S_m/π) as in the tuning's estimate; s = 52 mm of leg lie
    // beyond the mouth; θ is the phase of the rest, from which the two corners of the turn, half way, take 2 (1 −
    // 0.559) of a leg's width as mass (above). Tolerance: the mouth takes 73 % of the line's width and half its
    // section, where its inner end correction falls from 0.85 a down to 0.3 a: 0.03 m times S/S_m = 1.9 in 2.1 m, 2.6
    // %; and 1 % as above.
    const double S = width * leg, S_m = 0.12 * 0.07, l = 0.018 + 1.46 * std::sqrt(S_m / pi), s = 0.052;
    const double half = (middle_length - s) / 2, missing = 2 * (1 - 0.559) * leg;
    double low = 1e-3, high = pi / (2 * middle_length);
    for (int i = 0; i < 60; ++i) {
        const double k = (low + high) / 2;
        const double theta = std::atan2(1, 1 / std::tan(k * half) + k * missing) + k * half;
        (k * l * S / S_m * (std::tan(theta) + std::tan(k * s)) < 1 ? low : high) = k;
    }
    INFO("quarter wave " << *quarter << " Hz, by the pipe " << low * 343.2 / (2 * pi));
    CHECK_THAT(*quarter, WithinRel(low * 343.2 / (2 * pi), 0.036));
}
