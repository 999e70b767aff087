#include "app/input/internal/read_record.h"

#include <fmt/format.h>

#include <cmath>

namespace stillwall::app {
namespace {

constexpr double most = 1e9;

/// A figure in the entry's own unit, which stands by itself: what is weighed in grams may be so compared in grams.
double figure(const YamlNode& node)
{
    if (node.is_scalar()) {
        const std::string text = node.text();
        const std::size_t space = text.find_first_of(" \t");
        if (space != std::string::npos && text.find_first_of("0123456789") < space)
            node.fail(fmt::format("write the number alone, {}, and its unit under 'unit'", text.substr(0, space)));
    }
    return node.number({-most, most});
}

/// "0.5", or "5 %" of what is stated.
double tolerance_of(const YamlNode& node, const BenchNote& note)
{
    if (!note.stated) node.fail("needs 'stated', of which it is the tolerance");
    const bool is_share = node.is_scalar() && node.text().ends_with('%');
    if (!is_share) {
        const double allowed = figure(node);
        if (allowed < 0) node.fail("is the most that it may be off to either side, so 0 or more");
        return allowed;
    }
    return node.ratio({0, 1}) * std::abs(*note.stated);
}

BenchNote read_note(const YamlNode& entry)
{
    entry.only_keys({"what", "stated", "measured", "unit", "tolerance", "note"});
    BenchNote note{
        .what = entry.at("what").text(), .stated = {}, .measured = {}, .unit = {}, .tolerance = {}, .note = {}};
    if (const auto stated = entry.find("stated")) note.stated = figure(*stated);
    if (const auto measured = entry.find("measured")) note.measured = figure(*measured);
    if (!note.stated && !note.measured) entry.fail("holds no figure: give 'stated', 'measured' or both");
    if (const auto unit = entry.find("unit")) note.unit = unit->text();
    if (const auto tolerance = entry.find("tolerance")) note.tolerance = tolerance_of(*tolerance, note);
    if (const auto words = entry.find("note")) note.note = words->text();
    return note;
}

} // namespace

std::optional<bool> BenchNote::is_within() const
{
    const std::optional<double> off = difference();
    if (!off || !tolerance) return std::nullopt;
    const double round_off = 1e-9 * (std::abs(*stated) + std::abs(*measured)); // 10.3 − 10 is a little over 0.3
    return std::abs(*off) <= *tolerance + round_off;
}

BenchRecord read_record(const YamlNode& record)
{
    BenchRecord notes;
    for (const YamlNode& entry : record.items()) notes.push_back(read_note(entry));
    return notes;
}

} // namespace stillwall::app
