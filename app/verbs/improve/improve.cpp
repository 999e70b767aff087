#include "app/input/cabinet_source.h"
#include "app/verbs/common/commands.h"
#include "app/verbs/common/computation.h"
#include "app/verbs/common/validators.h"
#include "app/verbs/improve/improve_report.h"
#include "app/workers/forecast.h"
#include "app/workers/scheme_job.h"
#include "app/write/files.h"
#include "app/write/progress.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ostream.h>

#include <memory>

namespace stillwall::app {
namespace {

namespace fs = std::filesystem;

constexpr const char* example =
    "\nExample:\n"
    "  stillwall improve examples/13-choose-before-cutting/cabinet.yaml --upper 1000\n"
    "\nWhat may be chosen stands under 'improve' in the file (examples/FORMAT.md). Every trial is a cabinet meshed "
    "and\n"
    "solved; levels need the drivers' figures. The same file and seed give the same answer.";

struct ImproveRequest
{
    fs::path file, json, report, out;
    std::optional<double> upper_Hz;
    int tries = 120, jobs = 0;
    unsigned seed = 1;
    bool has_plots = true;
};

std::string title_of(const ChangeAxis& choice)
{
    std::string title = choice.takes_out ? "without " : "";
    for (std::size_t i = 0; i < choice.paths.size(); ++i) title += (i > 0 ? " + " : "") + choice.paths[i];
    return title;
}

void improve(const ImproveRequest& request, const Streams& streams)
{
    if (!request.json.empty()) require_writable_file(request.json, "--json");
    if (!request.report.empty()) require_page(request.report);
    const fs::path folder = output_folder(request.out, request.file);
    if (request.has_plots) require_writable_folder(folder, "--out");
    const CabinetSource source(request.file);
    print_warnings(source.notes(), streams);
    if (!source.improve())
        throw InputError({source.file()}, "improve",
                         "the file does not say what may be chosen, add the key 'improve' (examples/FORMAT.md)");

    ImproveReport report;
    report.ask = *source.improve();
    const CabinetPlan base = source.plan();
    report.title = base.name;
    report.f_max = request.upper_Hz.value_or(base.f_max);
    for (const ChangeAxis& choice : report.ask.choices) report.choices.push_back(title_of(choice));

    announce_schemes({base}, {.plays = facts_of(report.ask.aim).plays, .f_max = report.f_max},
                     {static_cast<std::size_t>(request.tries), request.jobs, false}, streams);
    Stopwatch watch;
    Progress progress(streams.err, streams.err_is_terminal);
    progress.show("combinations", 0);
    report.found =
        solver::improve(source, report.ask, {.f_max = report.f_max, .tries = request.tries, .seed = request.seed},
                        scheme_computer(request.jobs),
                        [&](const std::string& step, double fraction) { progress.show(step, fraction); });
    progress.clear();
    report.seconds = watch.lap();

    streams.out << improve_text(report) << std::flush;
    if (!request.json.empty()) write_whole_file(request.json, improve_json(report));
    if (request.has_plots) {
        create_folder(folder);
        const PlotFile plot = improve_plot(report);
        write_whole_file(folder / plot.name, plot.svg);
        fmt::print(streams.out, "\n  Plot    {}: {}\n", (folder / plot.name).string(), plot.about);
    }
    if (!request.report.empty())
        finish_page(request.report, report.title,
                    {cabinet_run(source), {.verb = "improve", .result = improve_json(report)}}, streams);
}

} // namespace

void add_improve(CLI::App& program, Action& action)
{
    CLI::App* verb = program.add_subcommand(
        "improve", "Searches boards, braces, layers for the quietest, lightest or cheapest cabinet");
    verb->footer(example);

    // Shared by the options and the action, which outlives this function.
    const auto request = std::make_shared<ImproveRequest>();
    verb->add_option("FILE", request->file, "The cabinet's description (YAML)")->required()->option_text(" ");
    verb->add_option("--upper", request->upper_Hz, "Upper frequency in Hz, instead of the file's")
        ->check(number_within(50, 6000, "frequency", "Hz"))
        ->option_text("HZ");
    verb->add_option("--tries", request->tries, "Cabinets computed in the search; default 120")
        ->check(CLI::Range(2, 100000))
        ->option_text("N");
    verb->add_option("--seed", request->seed, "Of the sample where there are more combinations than tries; default 1")
        ->option_text("N");
    verb->add_option("--jobs", request->jobs, "Processes at a time; default: as many as cores")
        ->check(CLI::Range(1, 512))
        ->option_text("N");
    verb->add_option("--json", request->json, "Write all that was tried as JSON")->option_text("FILE");
    add_report_option(*verb, request->report);
    verb->add_option("--out", request->out, "Folder for the plot; default stillwall-out/NAME")->option_text("DIR");
    verb->add_flag_callback(
            "--no-plots", [request] { request->has_plots = false; }, "Draw no plots")
        ->option_text(" ");
    verb->callback([request, &action] { action = [request](const Streams& streams) { improve(*request, streams); }; });
}

} // namespace stillwall::app
