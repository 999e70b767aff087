// A port that gives its tuning: the length that follows, as it is read, printed and refused.

#include "app/input/cabinet_source.h"
#include "mesh/cabinet/build.h"
#include "solver/drive/box_tuning.h"

#include "tests/app/test_library.h"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include <cmath>

using namespace stillwall;
using namespace stillwall::app;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

std::string box_with(const std::string& port, const std::string& more = "")
{
    return "name: t\ncabinet: {shape: box, width: 240, height: 400, depth: 300}\n"
           "boards: {all: {material: mdf, thickness: 18}}\n"
           "openings:\n"
           "- {name: woofer, board: front, shape: circle, diameter: 140, at: {x: 120, z: 280}, driver: {mass: 2 kg}}\n"
           "- {name: tube, board: back, shape: circle, diameter: 50, at: {x: 120, z: 80}, port: {mass: 0.1 kg, " +
           port + "}}\n" + more;
}

CabinetPlan plan_of(const std::string& text)
{
    return CabinetSource(text, "t.yaml", library()).plan();
}

std::vector<std::optional<double>> tunings_of(const CabinetPlan& plan)
{
    const Cabinet cabinet = build_cabinet(plan);
    return solver::chamber_tunings(cabinet, Chambers(cabinet));
}

const InsertPlan& port_of(const CabinetPlan& plan)
{
    return plan.openings.at(1).insert;
}

std::string refusal_of(const std::string& text)
{
    try {
        static_cast<void>(plan_of(text));
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

} // namespace

TEST_CASE("a tuning gives the length that gives the tuning", "[app][input][tuning]")
{
    for (const double wanted : {35.0, 42.0, 55.0}) {
        const CabinetPlan plan = plan_of(box_with(fmt::format("tuning: {} Hz", wanted)));
        const double length = port_of(plan).port_length.value();
        // Reference: the resonator by hand: ω² = c² S/(V (L + 1.46 a)), with V what walls and the tube behind its
        // board leave. Tolerance: the root is sought to 1e-6; c differs from the rounded 343.2 m/s by less than 1e-3.
        constexpr double pi = 3.14159265358979, a = 0.025, S = pi * a * a;
        const double V = 0.204 * 0.364 * 0.264 - S * (length - 0.018);
        CHECK_THAT(343.2 / (2 * pi) * std::sqrt(S / (V * (length + 1.46 * a))), WithinRel(wanted, 1e-3));
        // Reference: the figure that `check` prints; the length goes back as printed. Tolerance: 0.1 Hz is what the
        // format page promises of the printed length.
        CHECK_THAT(tunings_of(plan).at(0).value(), WithinRel(wanted, 1e-5));
        const CabinetPlan pasted = plan_of(box_with(fmt::format("length: {:.1f} mm", length * 1e3)));
        CHECK_THAT(tunings_of(pasted).at(0).value(), WithinAbs(wanted, 0.1));
    }
}

TEST_CASE("the tuning is of the port's own chamber", "[app][input][tuning]")
{
    const std::string shelf = "braces: [{name: shelf, plane: horizontal, at: 180}]\n";
    const CabinetPlan plan = plan_of(box_with("tuning: 65 Hz", shelf));
    const auto tunings = tunings_of(plan);
    REQUIRE(tunings.size() == 2);
    const auto tuned = tunings[0] ? tunings[0] : tunings[1];
    // Reference: what was asked. Tolerance: the root's, 1e-6.
    CHECK_THAT(tuned.value(), WithinRel(65.0, 1e-5));
    CHECK_FALSE((tunings[0] && tunings[1]));
}

TEST_CASE("two ports of one chamber get one length", "[app][input][tuning]")
{
    const std::string other = "- {name: second, board: back, shape: circle, diameter: 40, at: {x: 120, z: 200}, port: "
                              "{mass: 0.1 kg, tuning: 55 Hz}}\n";
    const CabinetPlan plan = plan_of(box_with("tuning: 55 Hz", other));
    CHECK(plan.openings.at(1).insert.port_length == plan.openings.at(2).insert.port_length);
    // Reference: what was asked. Tolerance: the root's, 1e-6.
    CHECK_THAT(tunings_of(plan).at(0).value(), WithinRel(55.0, 1e-5));
    CHECK_THAT(refusal_of(box_with("tuning: 50 Hz", other)), Contains("one volume has one tuning"));
}

TEST_CASE("a tuning out of reach is refused with the reach and a hole that would do", "[app][input][tuning]")
{
    for (const char* wanted : {"20 Hz", "85 Hz"}) {
        const std::string text = refusal_of(box_with(std::string("tuning: ") + wanted));
        CHECK_THAT(text, Contains("t.yaml:6:3: openings.tube.port.tuning: no tube that fits gives") &&
                             Contains("of length give") && Contains("a hole") && Contains("wide would"));
        // The hole it names, put in, is accepted.
        const std::size_t at = text.find("a hole ") + 7;
        std::string mended = box_with(std::string("tuning: ") + wanted);
        mended.replace(mended.find("diameter: 50"), 12, "diameter: " + text.substr(at, text.find(" wide") - at));
        CHECK(refusal_of(mended).empty());
    }
    CHECK_THAT(refusal_of(box_with("tuning: 400 Hz")), Contains("make the hole larger, or add a port"));
    CHECK_THAT(refusal_of(box_with("tuning: 42 Hz, length: 100")), Contains("give one of tuning and length"));
    CHECK_THAT(refusal_of(box_with("tuning: 42 Hz, volume: 1 l")), Contains("follows from the length"));
    CHECK_THAT(refusal_of(box_with("tuning: 42 mm")), Contains("Hz"));
}
