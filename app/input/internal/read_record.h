#pragma once
// `record` of a cabinet file.

#include "app/input/bench_note.h"
#include "app/input/internal/yaml_node.h"

namespace stillwall::app {

/// @throws InputError
[[nodiscard]] BenchRecord read_record(const YamlNode& record);

} // namespace stillwall::app
