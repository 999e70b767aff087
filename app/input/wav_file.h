#pragma once
// A recorded sound from disk: WAV, AIFF, FLAC and what else is kept without loss, at any rate.

#include "solver/measured/recording.h"

#include <filesystem>
#include <string>

namespace stillwall::app {

struct ReadRecording
{
    solver::Recording recording;
    std::string understood; ///< one line: length, rate, format, which channel
};

/// Of several channels the loudest.
/// @throws InputError  not a sound file, empty, longer than 10 minutes, slower than 2 kHz, samples that are no numbers
[[nodiscard]] ReadRecording read_recording(const std::filesystem::path& file);

} // namespace stillwall::app
