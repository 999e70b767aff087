// The key `learned`, and files to which it is added.

#include "app/input/cabinet_file.h"
#include "app/input/learned_file.h"
#include "mesh/cabinet/error.h"
#include "tests/app/test_library.h"

#include <catch2/catch.hpp>

using namespace stillwall;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;

namespace {

const std::string plain = "name: Box # a remark\n"
                          "cabinet: {shape: box, width: 200, height: 300, depth: 250}\n"
                          "boards: {all: {material: wood, thickness: 18}}\n"
                          "materials:\n"
                          "  wood: {E: 3 GPa, nu: 0.3, density: 700 kg/m3, loss: 0.02}\n";

CabinetPlan parsed(const std::string& text)
{
    return app::parse_cabinet(text, "box.yaml", {});
}

std::string complaint(const std::string& block)
{
    try {
        static_cast<void>(parsed(plain + block));
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

LearnedMaterial wood(double stiffness, double error)
{
    return {"wood", LearnedMaterial::Factor{stiffness, error}, {}, LearnedMaterial::Factor{1.5, 0.2}, {}};
}

} // namespace

TEST_CASE("learned: typical figures and ranges move", "[input][learned]")
{
    // Reference: factors by hand; an error of 2 % makes the range two of them to either side, e^±0.04. Tolerance:
    // round-off.
    const CabinetPlan plan = parsed(
        plain + "learned:\n  - {material: wood, stiffness: 0.9, stiffness_error: 2 %, loss: 1.5, loss_error: 20 %}\n");
    const Material& m = plan.materials.at(0);
    CHECK_THAT(m.E1.value, WithinRel(2.7e9, 1e-12));
    CHECK_THAT(m.G13.value, WithinRel(0.9 * 3e9 / 2.6, 1e-12)); // isotropic: all of them
    CHECK_THAT(m.E1.low, WithinRel(2.7e9 * std::exp(-0.04), 1e-12));
    CHECK_THAT(m.eta.high, WithinRel(0.03 * std::exp(0.4), 1e-12));
    CHECK(m.rho.value == 700);
}

TEST_CASE("learned: what is added is read again, and the rest stays byte for byte", "[input][learned]")
{
    // Reference: 0.9 of 3 GPa, then 1.1 of that. Tolerance: four decimals are written.
    for (const std::string& end : {std::string("\n"), std::string("\r\n")}) {
        std::string text;
        for (const char c : plain) text += c == '\n' ? end : std::string(1, c);
        const std::string once = app::with_learned(text, "box.yaml", {{wood(0.9, 0.02)}}, {"from three modes"});
        CHECK(once.substr(0, text.size()) == text);
        CHECK_THAT(once, Contains("  # from three modes" + end));
        CHECK_THAT(parsed(once).materials.at(0).E1.value, WithinRel(2.7e9, 1e-4));
        // Once more: relative to the cabinet as it is now.
        const std::string twice = app::with_learned(once, "box.yaml", {{wood(1.1, 0.01)}}, {});
        CHECK_THAT(parsed(twice).materials.at(0).E1.value, WithinRel(3e9 * 0.99, 1e-4));
        CHECK(twice.find("learned:") == twice.rfind("learned:"));
        CHECK(twice.substr(0, text.size()) == text);
    }
    const std::string cut = plain.substr(0, plain.size() - 1); // no line end at the end
    CHECK(app::with_learned(cut, "box.yaml", {{wood(0.9, 0.02)}}, {}).substr(0, plain.size()) == plain);
    // A block in the middle goes to the end; what follows it stays.
    const std::string middle = "learned:\n- {material: wood, stiffness: 0.9, stiffness_error: 2 %}\n# about\n" + plain;
    const std::string moved = app::with_learned(middle, "box.yaml", {{wood(1, 0.02)}}, {});
    CHECK_THAT(parsed(moved).materials.at(0).E1.value, WithinRel(2.7e9, 1e-4));
    CHECK_THROWS_WITH(app::with_learned("{name: Box}", "box.yaml", {}, {}), Contains("one map in braces"));
}

TEST_CASE("learned: a driver's motor on its basket", "[input][learned]")
{
    const std::string driven =
        plain + "openings:\n  - {name: woofer, board: front, shape: circle, diameter: 120, at: {x: 100, z: 150},\n"
                "     driver: {mass: 1.5 kg, basket: {motor_frequency: 600 Hz}}}\n";
    const auto basket = [](const std::string& text) { return parsed(text).openings.at(0).insert.basket.value(); };
    const Learned now{{}, {{"woofer", {0.9, 0.01}}}};
    const std::string once = app::with_learned(driven, "box.yaml", now, {});
    // Reference: by hand, 0.9 of 600 Hz, ± 2 %; rocking was estimated from the axial frequency and follows. Tolerance:
    // four decimals are written.
    CHECK_THAT(basket(once).axial_Hz.value, WithinRel(540.0, 1e-4));
    CHECK_THAT(basket(once).axial_Hz.high, WithinRel(540.0 * std::exp(0.02), 1e-4));
    CHECK_THAT(basket(once).rocking_Hz.value, WithinRel(324.0, 1e-4));
    const std::string twice = app::with_learned(once, "box.yaml", now, {});
    CHECK_THAT(basket(twice).axial_Hz.value, WithinRel(486.0, 1e-4));
    CHECK_THAT(complaint("learned:\n  - {driver: woofer, motor_frequency: 0.9, motor_frequency_error: 2 %}\n"),
               Contains("no driver 'woofer' on a basket in this cabinet"));
    CHECK_THAT(complaint("learned:\n  - {driver: woofer}\n"), Contains("needs motor_frequency"));
}

TEST_CASE("learned: what is refused", "[input][learned]")
{
    CHECK_THAT(complaint("learned:\n  - {material: woood, stiffness: 0.9, stiffness_error: 2 %}\n"),
               Contains("box.yaml:7:") && Contains("unknown material 'woood' in this cabinet, did you mean 'wood'?"));
    CHECK_THAT(complaint("learned:\n  - {material: wood}\n"), Contains("needs stiffness, shear or loss"));
    CHECK_THAT(complaint("learned:\n  - {material: wood, stiffness: 0.9}\n"),
               Contains("stiffness_error: key is missing"));
    CHECK_THAT(complaint("learned:\n  - {material: wood, loss_error: 2 %}\n"), Contains("stands without 'loss'"));
    CHECK_THAT(complaint("learned:\n  - {material: wood, stiffness: 9, stiffness_error: 2 %}\n"),
               Contains("learned[1].stiffness: must lie between 0.2 and 5"));
    CHECK_THAT(complaint("learned:\n  - {material: wood, loss: 1, loss_error: 2 %}\n  - {material: wood, loss: 1, "
                         "loss_error: 2 %}\n"),
               Contains("'wood' is listed twice"));
}
