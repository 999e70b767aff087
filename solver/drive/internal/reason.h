#pragma once

#include "solver/drive/sound.h"

namespace stillwall::solver::internal {

/// Why a resonance got its word, in one sentence.
[[nodiscard]] std::string reason_of(const SoundMode& mode);

} // namespace stillwall::solver::internal
