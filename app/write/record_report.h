#pragma once
// The bench's record of a cabinet, for people and as JSON.

#include "app/input/bench_note.h"

namespace stillwall::app {

/// A table in which what is out of tolerance is flagged; empty for no record. At most 120 columns.
[[nodiscard]] std::string record_text(const BenchRecord& record);

/// An array: what, stated, measured, unit, difference, tolerance (in the unit), within (null: not to be told), note.
[[nodiscard]] std::string record_json(const BenchRecord& record);

} // namespace stillwall::app
