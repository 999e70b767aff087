#pragma once
// The verb `explain`: cabinet file and what was measured → what makes each reading.

#include "app/write/page.h"
#include "app/write/streams.h"
#include "solver/modes/accuracy.h"

#include <CLI/CLI.hpp>

#include <filesystem>

namespace stillwall::app {

using solver::Accuracy;

struct ExplainRequest
{
    std::filesystem::path file;
    std::filesystem::path impedance, free_air; ///< empty: none
    std::vector<std::string> knocks;           ///< FILE@BOARD
    Accuracy accuracy = Accuracy::Normal;
    std::filesystem::path json, report, out; ///< empty: not written
    std::filesystem::path learn;             ///< the cabinet file with what was learned; empty: not written
    PageRuns* page = nullptr;                ///< where set, takes this run for a page that the caller writes
    bool has_pictures = true;

    [[nodiscard]] bool has_measured() const { return !impedance.empty() || !knocks.empty(); }
};

/// The options that name what was measured: --impedance, --free-air, --knock.
void add_measured_options(CLI::App& verb, ExplainRequest& request);

/// @throws InputError  before anything is written
/// @throws MeshError, SolverError, DomainError, RenderError, Error
void explain_measured(const ExplainRequest& request, const Streams& streams);

} // namespace stillwall::app
