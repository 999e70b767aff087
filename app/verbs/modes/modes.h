#pragma once
// The verb `modes`: cabinet file → modes → table, files, pictures.

#include "app/write/page.h"
#include "app/write/streams.h"
#include "solver/modes/accuracy.h"

#include <filesystem>
#include <optional>

namespace stillwall::app {

using solver::Accuracy;

/// Which modes get a picture of their own; the contact sheet always shows all.
enum class Pictures
{
    None,
    Flagged,
    All
};

struct ModesRequest
{
    std::filesystem::path file;
    std::optional<double> upper_Hz; ///< overrides the file's upper frequency
    Accuracy accuracy = Accuracy::Normal;
    std::filesystem::path json, csv, report; ///< empty: not written
    PageRuns* page = nullptr;                ///< where set, takes this run for a page that the caller writes
    std::filesystem::path out;               ///< folder of pictures and viewer file; empty: stillwall-out/<file stem>
    bool worth = false;                      ///< also find what moves the ringing modes
    bool verify = false;                     ///< also the lowest modes by a second solver; fine accuracy always does
    bool plays = true;                       ///< play the cabinet where its drivers' figures are known
    bool has_advice = true;                  ///< look for the changes worth most
    /// What the user asked for; nothing said: flagged modes, and a machine that cannot draw is forgiven.
    std::optional<Pictures> pictures;
};

/// @throws InputError  before anything is written
/// @throws MeshError, SolverError, RenderError, Error
void compute_modes(const ModesRequest& request, const Streams& streams);

} // namespace stillwall::app
