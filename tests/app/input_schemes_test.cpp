// Variants, things varied, choices: what they make of a file, and what is refused.

#include "app/input/cabinet_source.h"
#include "app/input/material_file.h"
#include "mesh/cabinet/units.h"

#include <catch2/catch.hpp>

using namespace stillwall;
using namespace stillwall::app;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinRel;
using units::mm;

namespace {

const MaterialLibrary& library()
{
    static const MaterialLibrary one = load_materials("materials");
    return one;
}

const std::string box =
    "name: box\n"
    "cabinet: {shape: box, width: 200, height: 300, depth: 250}\n"
    "boards:\n"
    "  all: {material: mdf, thickness: 18}\n"
    "braces:\n"
    "  - {name: shelf, plane: horizontal, at: 150, thickness: 12, windows: [{shape: circle, diameter: 80}]}\n"
    "  - {name: my shelf.2, plane: horizontal, at: 80, thickness: 12}\n";

CabinetSource source(const std::string& more = {})
{
    return {box + more, "box.yaml", library()};
}

std::string complaint(const std::string& more)
{
    try {
        const CabinetSource made = source(more);
        return "accepted";
    } catch (const InputError& error) {
        return error.what();
    }
}

Setting set(const std::string& path, const std::string& text, bool takes_out = false)
{
    return {path, text, takes_out, {"box.yaml", 9, 3}, "x"};
}

} // namespace

TEST_CASE("settings change the plan at their place", "[app][schemes]")
{
    // Exact: the figures written in the file and the settings, in metres; only the change of units rounds.
    const CabinetSource made = source();
    CHECK_THAT(made.plan({set("boards.all.thickness", "22")}).top.layup.thickness(), WithinRel(22 * mm, 1e-12));
    const CabinetPlan left = made.plan({set("boards.left.thickness", "1 in")}); // not in the file by itself
    CHECK_THAT(left.walls[3].layup.thickness(), WithinRel(25.4 * mm, 1e-12));
    CHECK_THAT(left.walls[1].layup.thickness(), WithinRel(18 * mm, 1e-12));
    CHECK_THAT(made.plan({set("braces.shelf.at", "200")}).braces[0].at, WithinRel(200 * mm, 1e-12));
    CHECK_THAT(made.plan({set("braces.1.at", "210")}).braces[0].at, WithinRel(210 * mm, 1e-12));
    CHECK_THAT(made.plan({set("braces.my shelf.2.at", "90")}).braces[1].at,
               WithinRel(90 * mm, 1e-12)); // a name with a dot
    CHECK_THAT(made.plan({set("braces.shelf.windows.1.diameter", "60")}).openings[0].width, WithinRel(60 * mm, 1e-12));
    CHECK(made.plan({set("braces.shelf", "", true)}).braces.size() == 1);
    CHECK(made.plan({set("braces.shelf", "", true), set("braces.my shelf.2", "", true)}).braces.empty());
    CHECK_THAT(made.plan({set("air.leakage", "7")}).sound.leakage_Q.value(),
               WithinRel(7.0, 1e-12)); // a section that was not there
    CHECK(made.scalar_at("braces.shelf.at") == "150");
    CHECK(made.scalar_at("boards.left.thickness").empty());
    // The file itself stays as it was.
    CHECK_THAT(made.plan().top.layup.thickness(), WithinRel(18 * mm, 1e-12));
}

TEST_CASE("a setting that goes nowhere names what is there", "[app][schemes]")
{
    const CabinetSource made = source();
    const auto refused = [&](const Setting& setting) -> std::string {
        try {
            static_cast<void>(made.plan({setting}));
            return "accepted";
        } catch (const InputError& error) {
            return error.what();
        }
    };
    CHECK(refused(set("braces.shelff.at", "1")) ==
          "box.yaml:9:3: x: there is no 'shelff' in braces, did you mean 'shelf'?");
    CHECK_THAT(refused(set("bords.all.thickness", "1")),
               Contains("there is no 'bords' in the file, did you mean 'boards'?"));
    CHECK_THAT(refused(set("braces.3.at", "1")), Contains("there is no '3' in braces"));
    CHECK_THAT(refused(set("boards.all.thickness.deep", "1")),
               Contains("boards.all.thickness holds nothing that could be changed"));
    CHECK_THAT(refused(set("boards.lid.thickness", "12")), Contains("boards.lid") && Contains("no such board"));
    CHECK_THAT(refused(set("boards.all.thickness", "thick")), Contains("boards.all.thickness") && Contains("'thick'"));
    CHECK_THAT(refused(set("", "1")), Contains("must be a path"));
    CHECK_THAT(refused(set("vary.1.over", "1")), Contains("'vary' cannot be changed by itself"));
    CHECK_THAT(refused(set("braces.gone", "", true)), Contains("there is no 'gone' in braces"));
}

TEST_CASE("variants take out, change and add", "[app][schemes]")
{
    // Exact: the figures written in the variants, in metres; only the change of units rounds.
    const CabinetSource made =
        source("variants:\n"
               "  - {name: thick, change: {boards.all.thickness: 25, boards.front: {thickness: 30}}}\n"
               "  - name: other brace\n"
               "    remove: [braces.shelf, braces.my shelf.2]\n"
               "    add:\n"
               "      braces: [{name: upright, plane: side_to_side, at: 120, thickness: 15}]\n"
               "  - {name: sheets, add: {damping: [{name: s, board: [left, right], material: bitumen_sheet, thickness: "
               "2}]}}\n");
    REQUIRE(made.variants() == std::vector<std::string>{"thick", "other brace", "sheets"});
    CHECK_THAT(made.variant(0).walls[0].layup.thickness(), WithinRel(30 * mm, 1e-12));
    CHECK_THAT(made.variant(0).bottom.layup.thickness(), WithinRel(25 * mm, 1e-12));
    REQUIRE(made.variant(1).braces.size() == 1);
    CHECK(made.variant(1).braces[0].name == "upright");
    CHECK(made.variant(2).layers.size() == 2);
    CHECK(made.plan().braces.size() == 2);
    CHECK(made.variant_of_text("{name: t, change: {braces.shelf.at: 140}}").braces[0].at == 140 * mm);
}

TEST_CASE("variants that make no sense", "[app][schemes]")
{
    CHECK_THAT(complaint("variants:\n  - {name: a, change: {braces.shelff.at: 100}}\n"),
               Contains("box.yaml:9:") && Contains("did you mean 'shelf'?"));
    CHECK_THAT(complaint("variants:\n  - {name: a, remove: braces.gone}\n"), Contains("there is no 'gone' in braces"));
    CHECK_THAT(complaint("variants:\n  - {name: a}\n"), Contains("changes nothing"));
    CHECK_THAT(complaint("variants:\n  - {name: a, change: {boards.all.thickness: -3}}\n"),
               Contains("box.yaml:9:") && Contains("boards.all.thickness"));
    CHECK_THAT(complaint("variants:\n  - {name: a, remove: braces.shelf}\n  - {name: a, remove: braces.shelf}\n"),
               Contains("name 'a' is taken"));
    CHECK_THAT(complaint("variants:\n  - {name: a, add: {boards: [x]}}\n"), Contains("'boards' is no list"));
    CHECK_THAT(complaint("variants:\n  - {name: a, add: {braces: {name: x}}}\n"),
               Contains("must be a list of parts to add"));
    CHECK_THAT(complaint("variants:\n  - {name: a, chnge: {x: 1}}\n"), Contains("did you mean 'change'?"));
}

TEST_CASE("values of what is varied", "[app][schemes]")
{
    const auto values = [](const std::string& over) { return axis_from_words("a.b", over).values; };
    CHECK(values("12, 15,18 mm") == std::vector<std::string>{"12", "15", "18 mm"});
    CHECK(values("120 to 200 by 20") == std::vector<std::string>{"120", "140", "160", "180", "200"});
    CHECK(values("0 to 1 in 5") == std::vector<std::string>{"0", "0.25", "0.5", "0.75", "1"});
    CHECK(values("0.1 to 0.3 by 0.1 ") == std::vector<std::string>{"0.1", "0.2", "0.3"}); // no value lost to round-off
    CHECK(values("20 % to 60 % by 20 %") == std::vector<std::string>{"20 %", "40 %", "60 %"});
    CHECK(values("-10 to 10 mm in 3") == std::vector<std::string>{"-10 mm", "0 mm", "10 mm"});
    CHECK(values("1 to 9").size() == 9);
    CHECK(axis_from_words("a.b, c.d", "1").paths == std::vector<std::string>{"a.b", "c.d"});
    for (const char* bad : {"20 to 20", "30 to 20", "a to b", "1 to 5 by 0", "1 to 5 by -1", "1 to 5 in 1",
                            "1 to 5 in 2.5", "1 mm to 5 in", "", ",", "0 to 1 by 0.0000001", "1 to nan"}) {
        CAPTURE(bad);
        CHECK_THROWS_AS(values(bad), InputError);
    }
    CHECK_THAT(complaint("vary:\n  - {change: boards.all.thickness, over: 18 to 12}\n"),
               Contains("the range is empty"));
    CHECK_THAT(complaint("vary:\n  - {change: boards.all.thickness, over: []}\n"), Contains("box.yaml:9:"));
    CHECK_THAT(complaint("vary:\n  - {change: boards.all.thickness, over: [12, 12]}\n"), Contains("listed twice"));
    CHECK_THAT(
        complaint("vary:\n  - {change: a.b, over: [1]}\n  - {change: a.c, over: [1]}\n  - {change: a.d, over: [1]}\n"),
        Contains("one or two things at a time, got 3"));
}

TEST_CASE("choices and limits", "[app][schemes]")
{
    // Exact: the limits as written, in SI units; only the change of units rounds.
    const CabinetSource made =
        source("improve:\n"
               "  aim: lightest\n"
               "  choices:\n"
               "    - {change: [boards.left.thickness, boards.right.thickness], over: [12, 15]}\n"
               "    - {change: braces.shelf.at, within: 100 to 200}\n"
               "    - {without: braces.my shelf.2}\n"
               "  limits: {mass: 8 kg, net_volume: 9 l, price: 30, first_mode: 200 Hz}\n"
               "workshop:\n"
               "  kerf: 2.5\n"
               "  turn_parts: yes\n"
               "  sheets: [{material: mdf, thickness: 18, length: 2440, width: 1220, price: 40}]\n");
    REQUIRE(made.improve().has_value());
    const ImproveAsk& ask = *made.improve();
    CHECK(ask.aim == solver::Aim::Lightest);
    REQUIRE(ask.choices.size() == 3);
    CHECK(ask.choices[0].paths.size() == 2);
    CHECK(ask.choices[1].within->low == 100);
    CHECK(ask.choices[2].takes_out);
    CHECK_THAT(*ask.most_mass, WithinRel(8.0, 1e-12));
    CHECK_THAT(*ask.least_volume, WithinRel(0.009, 1e-12));
    CHECK_THAT(*ask.least_first_Hz, WithinRel(200.0, 1e-12));
    CHECK_THAT(made.workshop().kerf, WithinRel(2.5e-3, 1e-12));
    CHECK_FALSE(made.workshop().keeps_grain);
    REQUIRE(made.workshop().sheets.size() == 1);
    CHECK(made.workshop().sheets[0].material == made.plan().top.layup.label); // so that parts find their board

    CHECK_THAT(complaint("improve: {aim: loudest, choices: [{without: braces.shelf}]}\n"), Contains("improve.aim"));
    CHECK_THAT(complaint("improve: {aim: quietest}\n"), Contains("improve.choices: key is missing"));
    CHECK_THAT(complaint("improve: {choices: [{change: a.b}]}\n"), Contains("needs 'over'") && Contains("'within'"));
    CHECK_THAT(complaint("improve: {choices: [{change: a.b, within: 5 to 5}]}\n"), Contains("the range is empty"));
    CHECK_THAT(complaint("improve: {choices: [{change: a.b, within: 5 to 9 by 1}]}\n"), Contains("takes no step"));
    CHECK_THAT(complaint("improve: {choices: [{without: a.b}], limits: {mass: 3}}\n"), Contains("improve.limits.mass"));
    CHECK_THAT(complaint("workshop: {sheets: [{material: mdf, thickness: 18, length: 60, width: 49}]}\n"),
               Contains("workshop.sheets"));
    CHECK_THAT(complaint("workshop: {trim: 30, sheets: [{material: mdf, thickness: 18, length: 60, width: 60}]}\n"),
               Contains("nothing is left of this board"));
}
