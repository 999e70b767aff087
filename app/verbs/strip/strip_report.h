#pragma once
// What the strips of a board told: for people, as JSON, and as an entry for a cabinet file's materials.

#include "app/input/material_file.h"
#include "app/input/strip_file.h"

#include <string>
#include <vector>

namespace stillwall::app {

struct StripReport
{
    const StripPlan& plan;
    const std::vector<solver::StripResult>& results; ///< as plan.strips
};

/// One line of a material entry.
struct EntryLine
{
    std::string key;
    Quantity figure; ///< SI; ignored when missing
    bool is_missing = false;
    std::string comment; ///< where it comes from, or what would give it
};

struct MaterialEntry
{
    std::string name;
    std::string stock;            ///< whose figures stand where nothing was measured; empty for none
    std::vector<EntryLine> lines; ///< every key the entry needs, in the order of examples/FORMAT.md

    [[nodiscard]] bool is_complete() const;
};

/// Metal, plastic and stone whose strip shows no softness through the thickness: E, nu, density, loss. All others: the
/// nine constants; what strips and file do not tell is the stock's, with its range. Ranges of what was measured reach
/// two standard deviations to either side, as those of the library.
/// @throws InputError  when the file's constants repeat a measured one or make the whole impossible, or its stock is
/// none
[[nodiscard]] MaterialEntry material_entry(const StripReport& report, const MaterialLibrary& library);

/// The stock the plan names, or the nearest of its kind of board in density, moduli and thickness; null for none.
/// @throws InputError  no such stock
[[nodiscard]] const Stock* stock_for(const StripReport& report, const MaterialLibrary& library);

/// The entry as YAML to be pasted into a cabinet file; what is missing stands there as comments.
[[nodiscard]] std::string material_yaml(const StripReport& report, const MaterialEntry& entry);

/// What to keep in mind about a strip, and what to do next; a sentence each.
[[nodiscard]] std::vector<std::string> strip_notes(const PlacedStrip& strip, const solver::StripResult& result);
[[nodiscard]] std::vector<std::string> strip_next_steps(const PlacedStrip& strip, const solver::StripResult& result);

/// Words for where E/G comes from.
[[nodiscard]] std::string ratio_words(const solver::StripResult& result);
/// "bending 1".
[[nodiscard]] std::string mode_words(const solver::ModeReading& mode);
/// "any direction", "along", "across".
[[nodiscard]] std::string direction_words(StripDirection direction);

/// Tables for people, at most 120 columns wide, without the entry.
[[nodiscard]] std::string strip_text(const StripReport& report);
/// All figures with their units in the keys.
/// @throws SolverError when a figure is not finite
[[nodiscard]] std::string strip_json(const StripReport& report, const MaterialEntry& entry);

} // namespace stillwall::app
