// The bench's record: what is read, what is refused, what is out of tolerance.

#include "app/input/cabinet_source.h"
#include "app/input/material_file.h"
#include "app/write/record_report.h"
#include "mesh/cabinet/error.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

using namespace stillwall;
using namespace stillwall::app;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;

namespace {

BenchRecord record(const std::string& entries)
{
    static const MaterialLibrary library = load_materials("materials");
    const std::string box = "name: box\n"
                            "cabinet: {shape: box, width: 200, height: 300, depth: 250}\n"
                            "boards: {all: {material: mdf, thickness: 18}}\n"
                            "record:\n";
    return CabinetSource(box + entries, "box.yaml", library).record();
}

std::string complaint(const std::string& entry)
{
    try {
        static_cast<void>(record("  - " + entry + "\n"));
        return "accepted";
    } catch (const InputError& error) {
        return error.what();
    }
}

} // namespace

TEST_CASE("a bench's record tells what is out of tolerance", "[app][record]")
{
    // Reference: by hand: 15.6 − 14.5 = 1.1 of 0.725 allowed; 10.3 − 10 = 0.3 of 0.3, the end included.
    // Tolerance: round-off of differences of decimal numbers.
    const BenchRecord notes = record("  - {what: mass, stated: 14.5, measured: 15.6, unit: g, tolerance: 5 %}\n"
                                     "  - {what: edge, stated: 10, measured: 10.3, tolerance: 0.3}\n"
                                     "  - {what: over the edge, stated: 10, measured: 9.699, tolerance: 0.3}\n"
                                     "  - {what: pair, measured: -0.4, unit: dB, note: at one place}\n"
                                     "  - {what: coil, stated: 1.5, unit: mH, tolerance: 5 %}\n");
    REQUIRE(notes.size() == 5);
    CHECK_THAT(notes[0].difference().value(), WithinAbs(1.1, 1e-12));
    CHECK_THAT(notes[0].tolerance.value(), WithinAbs(0.725, 1e-12));
    CHECK(notes[0].is_within() == false);
    CHECK(notes[1].is_within() == true);
    CHECK(notes[2].is_within() == false);
    CHECK_FALSE(notes[3].is_within().has_value());
    CHECK_FALSE(notes[4].is_within().has_value());

    const std::string text = record_text(notes);
    CHECK_THAT(text, Contains("15.6 g") && Contains("+1.1") && Contains("±0.725") && Contains("NO"));
    CHECK_THAT(text, Contains("not measured") && Contains("Out of tolerance: 2 of 5"));
    CHECK(record_text({}).empty());
    const auto json = nlohmann::json::parse(record_json(notes));
    CHECK(json[0]["within"] == false);
    CHECK(json[3]["within"].is_null());
    CHECK(json[3]["note"] == "at one place");
    CHECK(json[4]["measured"].is_null());
}

TEST_CASE("what of a bench's record is refused, and the mend", "[app][record]")
{
    CHECK_THAT(complaint("{what: mass, stated: 14.5 g}"),
               Contains("box.yaml:5:26") && Contains("write the number alone, 14.5, and its unit under 'unit'"));
    CHECK_THAT(complaint("{what: mass}"), Contains("give 'stated', 'measured' or both"));
    CHECK_THAT(complaint("{stated: 1}"), Contains("what") && Contains("missing"));
    CHECK_THAT(complaint("{what: mass, measured: 1, tolerance: 5 %}"), Contains("needs 'stated'"));
    CHECK_THAT(complaint("{what: mass, stated: 1, tolerance: -1}"), Contains("0 or more"));
    CHECK_THAT(complaint("{what: mass, stated: 1, tolerance: 500 %}"), Contains("must lie between"));
    CHECK_THAT(complaint("{what: mass, state: 1}"), Contains("state") && Contains("stated"));
    CHECK_THAT(complaint("{what: mass, stated: many}"), Contains("record"));
}

TEST_CASE("the printed figures, pasted back, give the same record", "[app][record]")
{
    // Exact: the JSON's figures written as an entry are read as they were.
    const BenchRecord notes = record("  - {what: mass, stated: 14.5, measured: 15.6, unit: g, tolerance: 5 %}\n");
    const auto one = nlohmann::json::parse(record_json(notes))[0];
    const BenchRecord again =
        record("  - {what: " + one["what"].get<std::string>() + ", stated: " + one["stated"].dump() +
               ", measured: " + one["measured"].dump() + ", unit: g, tolerance: " + one["tolerance"].dump() + "}\n");
    CHECK(record_json(again) == record_json(notes));
}
