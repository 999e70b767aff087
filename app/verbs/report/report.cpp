#include "app/input/cabinet_source.h"
#include "app/verbs/common/commands.h"
#include "app/verbs/common/computation.h"
#include "app/verbs/explain/explain.h"
#include "app/verbs/modes/modes.h"
#include "app/verbs/sound/sound.h"
#include "app/verbs/workshop/workshop.h"
#include "app/write/cabinet_report.h"
#include "mesh/cabinet/build.h"
#include "solver/choose/scheme.h"

#include <CLI/CLI.hpp>

#include <memory>
#include <sstream>

namespace stillwall::app {
namespace {

namespace fs = std::filesystem;

constexpr const char* example =
    "\nExample:\n"
    "  stillwall report examples/07-vented-two-way/vented.yaml --out vented.html\n"
    "\nThe page holds the cabinet, what its boards ring at and, where the drivers' figures are known, "
    "what is heard of it;\n"
    "what explains the sweeps and knocks that are given; cut list, boards laid out and "
    "drawings. It opens in any\n"
    "browser, needs no network and prints to A4.";

struct ReportRequest
{
    fs::path file, out;
    Accuracy accuracy = Accuracy::Normal;
    bool has_advice = true;
    ExplainRequest measured; ///< names of files only
};

/// The boards are analysed once: what is played holds their resonances too.
void add_resonances(const ReportRequest& request, bool plays, PageRuns& runs, const Streams& quiet)
{
    if (plays) {
        SoundRequest sound;
        sound.file = request.file;
        sound.accuracy = request.accuracy;
        sound.has_advice = request.has_advice;
        sound.has_plots = false;
        sound.page = &runs;
        compute_sound(sound, quiet);
        return;
    }
    ModesRequest modes;
    modes.file = request.file;
    modes.accuracy = request.accuracy;
    modes.pictures = Pictures::None;
    modes.plays = false;
    modes.has_advice = request.has_advice;
    modes.page = &runs;
    compute_modes(modes, quiet);
}

void add_measured(const ReportRequest& request, PageRuns& runs, const Streams& quiet)
{
    ExplainRequest explain = request.measured;
    explain.file = request.file;
    explain.accuracy = request.accuracy;
    explain.has_pictures = false;
    explain.page = &runs;
    explain_measured(explain, quiet);
}

void report_cabinet(const ReportRequest& request, const Streams& streams)
{
    require_page(request.out, "--out");
    const CabinetSource source(request.file);
    const CabinetPlan plan = source.plan();
    const Cabinet cabinet = build_cabinet(plan);
    const Bookkeeping books = bookkeeping(cabinet);

    // The verbs' own text is left to them: the page holds what it says.
    std::ostringstream nowhere;
    const Streams quiet{nowhere, streams.err, streams.err_is_terminal};
    PageRuns runs{cabinet_run({cabinet, books, outer_size(plan)}, source.record())};
    add_resonances(request, solver::can_play(plan), runs, quiet);
    if (request.measured.has_measured()) add_measured(request, runs, quiet);
    runs.push_back(workshop_run(source, plan, cabinet, books));
    finish_page(request.out, cabinet, runs, streams);
}

} // namespace

void add_report(CLI::App& program, Action& action)
{
    CLI::App* verb = program.add_subcommand("report", "One page of all that the file allows, for any browser");
    verb->footer(example);

    // Shared by the options and the action, which outlives this function.
    const auto request = std::make_shared<ReportRequest>();
    verb->add_option("FILE", request->file, "The cabinet's description (YAML)")->required()->option_text(" ");
    verb->add_option("--out", request->out, "The page to write (HTML)")->required()->option_text("FILE");
    add_measured_options(*verb, request->measured);
    add_accuracy(*verb, request->accuracy, "the meshes");
    verb->add_flag_callback(
            "--no-advice", [request] { request->has_advice = false; }, "Do not look for changes that help")
        ->option_text(" ");
    verb->callback(
        [request, &action] { action = [request](const Streams& streams) { report_cabinet(*request, streams); }; });
}

} // namespace stillwall::app
