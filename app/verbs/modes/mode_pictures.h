#pragma once
// Pictures, contact sheet and viewer file of a run of `modes`.

#include "app/verbs/modes/modes_report.h"
#include "app/write/streams.h"
#include "mesh/core/shell_mesh.h"

#include <filesystem>

namespace stillwall::app {

struct PictureTask
{
    std::filesystem::path folder; ///< created when missing
    bool all = false;             ///< a picture of every mode, not of the ringing ones only
    bool is_forgiving = true;     ///< a machine that cannot draw gets a warning instead of an error
};

/// Writes modes.vtu, mode-NN.png for each mode to be drawn and modes.png with all of them, and says where.
/// @throws RenderError, Error
void draw_modes(const ModesReport& report, const ShellMesh& mesh, const PictureTask& task, const Streams& streams);

} // namespace stillwall::app
