#pragma once
// What several verbs have in common.

#include "app/input/cabinet_source.h"
#include "app/write/cabinet_report.h"
#include "app/write/page.h"
#include "app/write/progress.h"
#include "app/write/stopwatch.h"
#include "app/write/streams.h"
#include "solver/choose/advice.h"
#include "solver/modes/accuracy.h"

#include <CLI/CLI.hpp>

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace stillwall::app {

using solver::Accuracy;

/// Where pictures and plots of a cabinet go: the folder of --out, or when that is empty stillwall-out/NAME, NAME being
/// the file's stem, or its folder's when the file is called "cabinet".
[[nodiscard]] std::filesystem::path output_folder(const std::filesystem::path& out, const std::filesystem::path& file);

/// Each as a line of its own on the stream of errors.
void print_warnings(const std::vector<std::string>& notes, const Streams& streams);

/// Looks for what to change first, prints it and, where the run writes a JSON, writes that again with it.
/// @param json  empty: not written
/// @param document  the run's JSON as it was written; empty where nobody asked for it
/// @return the JSON with the advice
std::string give_advice(const CabinetSource& source, const CabinetPlan& plan, const solver::AdviceTask& task,
                        const std::filesystem::path& json, const std::string& document, Progress& progress,
                        const Streams& streams);

/// Whether a run's JSON goes anywhere: to a file, or into a page.
template <class Request> [[nodiscard]] bool wants_document(const Request& request)
{
    return !request.json.empty() || !request.report.empty() || request.page != nullptr;
}

/// The option --report.
void add_report_option(CLI::App& verb, std::filesystem::path& report);

/// What the page tells of the cabinet itself: as `check --json`.
[[nodiscard]] PageRun cabinet_run(const CabinetReport& report, const BenchRecord& record);
[[nodiscard]] PageRun cabinet_run(const CabinetSource& source);

/// What `check --json` writes.
[[nodiscard]] std::string check_document(const CabinetReport& report, const BenchRecord& record);

/// Writes the page and says where it is.
void finish_page(const std::filesystem::path& file, const std::string& title, const PageRuns& runs,
                 const Streams& streams);
void finish_page(const std::filesystem::path& file, const Cabinet& cabinet, const PageRuns& runs,
                 const Streams& streams);

/// The option --accuracy; `meshes` is what it makes finer: "the mesh".
void add_accuracy(CLI::App& verb, Accuracy& accuracy, const std::string& meshes);

} // namespace stillwall::app
