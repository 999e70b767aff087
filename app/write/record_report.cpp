#include "app/write/record_report.h"

#include "app/write/numbers.h"
#include "app/write/text_table.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>

namespace stillwall::app {
namespace {

using Json = nlohmann::ordered_json;

std::string figure_words(const std::optional<double>& value, const BenchNote& note)
{
    if (!value) return "–";
    return with_minus(fmt::format("{:.6g}{}{}", *value, note.unit.empty() ? "" : " ", note.unit));
}

std::string verdict_words(const BenchNote& note)
{
    if (!note.measured) return "not measured";
    const std::optional<bool> is_within = note.is_within();
    return !is_within ? "–" : *is_within ? "yes" : "NO";
}

Json or_null(const std::optional<double>& value)
{
    return value ? Json(*value) : Json();
}

} // namespace

std::string record_text(const BenchRecord& record)
{
    if (record.empty()) return {};
    TextTable table;
    table.columns = {{"Measured at the bench", Align::Left, 34},
                     {"Stated", Align::Right},
                     {"Measured", Align::Right},
                     {"Off by", Align::Right},
                     {"Allowed", Align::Right},
                     {"Within", Align::Left},
                     {"Note", Align::Left, 30}};
    for (const BenchNote& note : record) {
        const std::optional<double> off = note.difference();
        table.rows.push_back({note.what, figure_words(note.stated, note), figure_words(note.measured, note),
                              off ? with_minus(fmt::format("{:+.4g}", *off)) : "–",
                              note.tolerance ? fmt::format("±{:.4g}", *note.tolerance) : "–", verdict_words(note),
                              note.note});
    }
    const auto n_out =
        std::count_if(record.begin(), record.end(), [](const BenchNote& n) { return n.is_within() == false; });
    std::string text = '\n' + table.text();
    if (n_out > 0) text += fmt::format("  Out of tolerance: {} of {}\n", n_out, record.size());
    return text;
}

std::string record_json(const BenchRecord& record)
{
    Json list = Json::array();
    for (const BenchNote& note : record) {
        const std::optional<bool> is_within = note.is_within();
        list.push_back({{"what", note.what},
                        {"stated", or_null(note.stated)},
                        {"measured", or_null(note.measured)},
                        {"unit", note.unit},
                        {"difference", or_null(note.difference())},
                        {"tolerance", or_null(note.tolerance)},
                        {"within", is_within ? Json(*is_within) : Json()},
                        {"note", note.note}});
    }
    return list.dump();
}

} // namespace stillwall::app
