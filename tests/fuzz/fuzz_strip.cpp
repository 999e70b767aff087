// Any bytes at all: a strip file is read, evaluated and told, or refused with an InputError of one line. Moduli and
// losses are finite and in order, and a complete material entry can be pasted into a cabinet file. Driver as of
// fuzz_cabinet.

#include "app/input/cabinet_file.h"
#include "app/input/material_file.h"
#include "app/verbs/strip/strip_report.h"
#include "tests/app/test_library.h"
#include "tests/fuzz/fuzz_check.h"

#include <algorithm>
#include <cmath>
#include <cstdint>

using namespace stillwall;
using fuzz::check_message;
using fuzz::require;

namespace {

void check_figures(const app::MaterialEntry& entry)
{
    for (const app::EntryLine& line : entry.lines) {
        if (line.is_missing) continue;
        const Quantity& q = line.figure;
        require(std::isfinite(q.low) && std::isfinite(q.high), "figure is finite");
        require(q.low <= q.value && q.value <= q.high, "figure lies in its range");
        const bool may_be_nought = line.key.starts_with("nu") || line.key.starts_with("loss");
        require(may_be_nought || q.low > 0, "figure is above zero");
    }
}

void check_pasted(const app::MaterialEntry& entry, const std::string& yaml)
{
    const bool is_taken = std::any_of(library().stocks.begin(), library().stocks.end(),
                                      [&](const app::Stock& stock) { return stock.info.name == entry.name; });
    if (!entry.is_complete() || is_taken) return;
    const std::string cabinet = "name: fuzz\ncabinet: {shape: box, width: 200, height: 300, depth: 250}\n"
                                "boards: {all: {material: mdf, thickness: 18}}\n" +
                                yaml;
    try {
        static_cast<void>(app::parse_cabinet(cabinet, "pasted.yaml", library()));
    } catch (const InputError& error) {
        std::fprintf(stderr, "%s\n%s\n", error.what(), yaml.c_str());
        require(false, "entry can be pasted");
    }
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    try {
        const app::StripPlan plan = app::parse_strips(text, "fuzz.yaml");
        std::vector<solver::StripResult> results;
        for (const app::PlacedStrip& strip : plan.strips) results.push_back(app::evaluate(strip));
        const app::StripReport report{plan, results};
        const app::MaterialEntry entry = app::material_entry(report, library());
        check_figures(entry);
        check_pasted(entry, app::material_yaml(report, entry));
        require(!app::strip_text(report).empty() && !app::strip_json(report, entry).empty(), "report is told");
    } catch (const InputError& error) {
        check_message(error.what());
    }
    return 0;
}
