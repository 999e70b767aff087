#pragma once
// What must be said of metal boards, which lose more together than by themselves.

#include "mesh/cabinet/cabinet.h"

#include <string>

namespace stillwall::app {

/// A paragraph on the boards that count as bolted or glued together; empty without any.
[[nodiscard]] std::string assembled_note(const Cabinet& cabinet);

} // namespace stillwall::app
