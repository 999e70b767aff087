// Any bytes at all: a strip file is read, evaluated and told, or refused with an InputError of one line. The entry's figures
// are finite and in order. Driver as of fuzz_cabinet.

#include "app/output/strip_report.h"
#include "tests/fuzz/fuzz_check.h"

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
        const app::MaterialEntry entry = app::material_entry(report);
        check_figures(entry);
        require(!app::material_yaml(report, entry).empty(), "entry is told");
        require(!app::strip_text(report).empty() && !app::strip_json(report, entry).empty(), "report is told");
    } catch (const InputError& error) {
        check_message(error.what());
    }
    return 0;
}
