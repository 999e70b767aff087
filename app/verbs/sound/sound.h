#pragma once
// The verb `sound`: cabinet file → what it plays, and whether anyone hears the box → text, files, plots.

#include "app/write/page.h"
#include "app/write/streams.h"
#include "solver/modes/accuracy.h"

#include <filesystem>
#include <optional>

namespace stillwall::app {

using solver::Accuracy;

struct SoundRequest
{
    std::filesystem::path file;
    Accuracy accuracy = Accuracy::Normal;
    std::optional<double> volts;                        ///< [V] r.m.s., overrides the file's voltage or level
    bool all = false;                                   ///< list inaudible modes too
    std::filesystem::path json, csv, modes_csv, report; ///< empty: not written
    PageRuns* page = nullptr;                           ///< where set, takes this run for a page that the caller writes
    std::filesystem::path out;                          ///< folder of plots; empty: stillwall-out/<file stem>
    bool has_advice = true;                             ///< look for the changes worth most
    bool has_plots = true;
};

/// @throws InputError  before anything is written
/// @throws MeshError, SolverError, DomainError, Error
void compute_sound(const SoundRequest& request, const Streams& streams);

} // namespace stillwall::app
