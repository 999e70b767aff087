// Own materials that take from a stock what they do not say, and the warning for those that say too little.

#include "app/input/cabinet_source.h"
#include "app/input/stock_material.h"
#include "tests/app/test_library.h"

#include <catch2/catch.hpp>

#include <algorithm>

using namespace stillwall;
using namespace stillwall::app;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;

namespace {

CabinetSource box_of(const std::string& materials, const std::string& front = "18")
{
    return {"name: Box\ncabinet: {shape: box, width: 200, height: 340, depth: 260}\nmaterials:\n  mine: " + materials +
                "\nboards: {all: {material: mine, thickness: 18}, front: {thickness: " + front + "}}\n",
            "box.yaml", library()};
}

Material material_of(const std::string& materials)
{
    return box_of(materials).plan().materials.at(0);
}

std::string refusal(const std::string& materials)
{
    try {
        static_cast<void>(box_of(materials));
        return "accepted";
    } catch (const InputError& error) {
        return error.what();
    }
}

bool is_same(const Quantity& a, const Quantity& b)
{
    return a.value == b.value && a.low == b.low && a.high == b.high;
}

} // namespace

TEST_CASE("like a stock: own figures stand, the rest is the stock's with its ranges", "[app][input][like]")
{
    const Material stock = board_material(library(), "mdf", 0.018);
    const Material m = material_of("{like: mdf, E: [2.9 GPa, 3.1 GPa, 3.3 GPa]}");
    CHECK(m.name == "mine (12 to 19 mm)");
    CHECK_FALSE(m.is_isotropic);
    CHECK(m.E1.value == 3.1e9);
    CHECK(m.E2.low == 2.9e9);
    CHECK(is_same(m.E3, stock.E3));
    CHECK(is_same(m.G13, stock.G13));
    CHECK(is_same(m.G23, stock.G13));
    CHECK(is_same(m.rho, stock.rho));
    CHECK(is_same(m.eta, stock.eta));
    // Reference: G12 goes with E, by hand 3.1 / (2 · 1.25). Tolerance: round-off of the product.
    CHECK_THAT(m.G12.value, WithinRel(1.24e9, 1e-12));

    const Material twisted = material_of("{like: mdf, E: 3.1 GPa, G12: 1.3 GPa, G13: 0.2 GPa, density: 720 kg/m3}");
    CHECK(twisted.G12.value == 1.3e9);
    CHECK(twisted.G13.high == 0.2e9);
    CHECK(twisted.G23.value == 0.2e9);
    CHECK(twisted.rho.value == 720);
    CHECK(is_same(twisted.nu13, stock.nu13));
}

TEST_CASE("like a stock: boards of another thickness class are another material", "[app][input][like]")
{
    const CabinetPlan plan = box_of("{like: mdf, G13: 0.2 GPa}", "22").plan();
    REQUIRE(plan.materials.size() == 2);
    for (const Material& m : plan.materials) {
        const bool is_thick = m.name == "mine (19 to 30 mm)";
        CHECK((is_thick || m.name == "mine (12 to 19 mm)"));
        CHECK(is_same(m.E1, board_material(library(), "mdf", is_thick ? 0.022 : 0.018).E1));
        CHECK(m.G13.value == 0.2e9);
    }
}

TEST_CASE("like wood, plywood and plastic", "[app][input][like]")
{
    const Material beech = material_of("{like: beech, E1: 13 GPa}");
    CHECK(beech.name == "mine");
    CHECK(beech.E1.value == 13e9);
    CHECK(is_same(beech.G23, board_material(library(), "beech", 0.018).G23));

    // Plywood becomes one material that bends as its plies do. Reference: the handbook's 18 mm row, 10,048 MPa along
    // and 206 MPa of planar shear; own figure across. Tolerance: the library's fit to these rows.
    const Material ply = material_of("{like: birch_plywood, E2: 7.4 GPa}");
    CHECK_THAT(ply.E1.value, WithinRel(10.048e9, 2e-3));
    CHECK(ply.E2.value == 7.4e9);
    CHECK_THAT(ply.G13.value * 5 / 6, WithinRel(0.206e9, 0.01));
    CHECK(ply.G13.low < ply.G13.value);

    CHECK(material_of("{like: acrylic, E: 3 GPa}").is_isotropic);
}

TEST_CASE("like: what is refused", "[app][input][like][errors]")
{
    CHECK_THAT(refusal("{like: mdff, E: 3 GPa}"), Contains("box.yaml:4:16") && Contains("did you mean"));
    CHECK_THAT(refusal("{like: mdf, E1: 3 GPa}"), Contains("box.yaml:4:25") && Contains("mdf has no such figure"));
    CHECK_THAT(refusal("{like: beech, E: 3 GPa}"), Contains("E1, E2"));
    CHECK_THAT(refusal("{like: butyl_foil, loss: 0.3}"), Contains("damping layer"));
    CHECK_THAT(refusal("{like: mdf, nu12: 1.2}"), Contains("not positive definite"));
    CHECK_THAT(refusal("{like: mdf, E: 3 kg}"), Contains("box.yaml:4:24"));
}

TEST_CASE("wood given by E alone warns with its place and the stock to name", "[app][input][like]")
{
    const auto notes = [](const std::string& materials) { return box_of(materials).notes(); };
    const auto board = notes("{E: 3.2 GPa, nu: 0.3, density: 740 kg/m3, loss: 0.02}");
    REQUIRE(board.size() == 1);
    CHECK_THAT(board.front(), Contains("box.yaml:4:9: materials.mine: ") && Contains("{like: mdf, E: …}"));
    CHECK(notes("{E: 11 GPa, nu: 0.3, density: 650 kg/m3, loss: 0.01}").size() == 1);
    // Steel, foam, and whoever says all or what it is like.
    CHECK(notes("{E: 205 GPa, nu: 0.3, density: 7850 kg/m3, loss: 0.001}").empty());
    CHECK(notes("{E: 0.5 GPa, nu: 0.3, density: 400 kg/m3, loss: 0.01}").empty());
    CHECK(notes("{like: mdf, E: 3.2 GPa}").empty());
    CHECK(notes("{like: acrylic, E: 3.2 GPa}").empty());
}

namespace {

/// Loss factor and name of a board's only ply.
struct Loss
{
    std::string name;
    double value = 0;
};

Loss loss_of(const CabinetPlan& plan, const Layup& layup)
{
    const Material& m = plan.materials.at(static_cast<std::size_t>(layup.plies.at(0).material));
    CHECK(m.eta2.value == m.eta.value);
    return {m.name, m.eta.value};
}

CabinetPlan metal_box(const std::string& cabinet, const std::string& boards, const std::string& more = "")
{
    return CabinetSource("name: Box\ncabinet: {shape: box, width: 200, height: 340, depth: 260" + cabinet +
                             "}\nboards: {all: {material: aluminium, thickness: 6}" + boards + "}\n" + more,
                         "box.yaml", library())
        .plan();
}

} // namespace

TEST_CASE("boards of metal lose as an assembly does unless they are welded", "[app][input][materials]")
{
    const double bare = board_material(library(), "aluminium", 0.006).eta.value;
    const double together = assembled_loss(find_stock(library(), "aluminium"), 0.006).value().value;
    REQUIRE(together > 3 * bare);

    const CabinetPlan bolted = metal_box("", ", top: {welded: yes}, left: {material: mdf, thickness: 18}",
                                         "braces: [{name: shelf, plane: horizontal, at: 170}]\n"
                                         "damping: [{name: sheet, board: back, material: aluminium, thickness: 2}]\n");
    CHECK(loss_of(bolted, bolted.walls[0].layup).value == together);
    CHECK(loss_of(bolted, bolted.walls[0].layup).name == "aluminium (assembled)");
    CHECK(loss_of(bolted, bolted.braces[0].layup).value == together);
    CHECK(loss_of(bolted, bolted.top.layup).value == bare);
    CHECK(loss_of(bolted, bolted.top.layup).name == "aluminium");
    CHECK(loss_of(bolted, bolted.walls[3].layup).name == "mdf (12 to 19 mm)");
    CHECK(loss_of(bolted, bolted.layers[0].layup).value == bare); // bonded to a face
    CHECK(bolted.walls[0].layup.label == "aluminium 6 mm");

    const CabinetPlan welded = metal_box(", welded: yes", ", back: {welded: no}");
    CHECK(loss_of(welded, welded.walls[0].layup).value == bare);
    CHECK(loss_of(welded, welded.walls[2].layup).value == together);
    CHECK(welded.materials.size() == 2);

    const CabinetPlan own = metal_box("", ", back: {material: mine}, top: {material: alike}, left: {material: quiet}",
                                      "materials:\n"
                                      "  mine: {E: 70 GPa, nu: 0.33, density: 2700 kg/m3, loss: 0.0002}\n"
                                      "  alike: {like: aluminium, E: 71 GPa}\n"
                                      "  quiet: {like: aluminium, loss: 0.02}\n");
    CHECK(loss_of(own, own.walls[2].layup).value == 0.0002);
    CHECK(loss_of(own, own.top.layup).value == together);
    CHECK(loss_of(own, own.walls[3].layup).value == 0.02);
}
