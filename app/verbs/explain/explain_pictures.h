#pragma once

#include "app/verbs/explain/explain_report.h"
#include "app/write/streams.h"

#include <filesystem>

namespace stillwall::app {

/// A picture of the wall mode that most likely makes each reading, explain-NN.png by the reading's number, and says
/// where. A machine that cannot draw gets a warning.
/// @return per reading the picture's path, empty where there is none
std::vector<std::string> draw_causes(const ExplainReport& report, const std::filesystem::path& folder,
                                     const Streams& streams);

} // namespace stillwall::app
