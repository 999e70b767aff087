#include "app/input/material_file.h"
#include "app/verbs/common/commands.h"
#include "app/verbs/common/computation.h"
#include "app/verbs/common/validators.h"
#include "app/verbs/improve/improve_search.h"
#include "app/workers/apart.h"
#include "app/write/files.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ostream.h>

#include <chrono>
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
    fs::path file, json, out;
    std::optional<double> upper_Hz;
    ImproveLimits limits;
    bool has_plot = true;
};

std::string title_of(const ChangeAxis& choice)
{
    std::string title = choice.takes_out ? "without " : "";
    for (std::size_t i = 0; i < choice.paths.size(); ++i) title += (i > 0 ? " + " : "") + choice.paths[i];
    return title;
}

/// The cabinet as drawn and the front once more at normal accuracy.
void check_front(const CabinetSource& source, SchemeTask task, const ImproveRequest& request, ImproveReport& report,
                 Progress& progress)
{
    task.accuracy = Accuracy::Normal;
    std::vector<std::vector<Setting>> all{{}};
    for (const FrontPoint& point : report.front) all.push_back(point.settings);
    std::size_t n_done = 0;
    compute_apart(
        all.size(), [&](std::size_t i) { return packed(compute_scheme(source.plan(all[i]), source.workshop(), task)); },
        [&](std::size_t i, const Outcome& outcome) {
            progress.show("checking", 0.82 + 0.18 * static_cast<double>(++n_done) / static_cast<double>(all.size()));
            if (!outcome.problem.empty()) {
                if (i == 0) throw Error(outcome.problem);
                return; // the draft figures stand, and say so by missing brackets
            }
            Tried tried = tried_of(unpacked(outcome.bytes));
            if (i == 0) {
                report.drawn_checked = tried;
                return;
            }
            tried.values = report.front[i - 1].draft.values;
            report.front[i - 1].checked = tried;
        },
        {.at_most = request.limits.jobs});
    std::stable_sort(report.front.begin(), report.front.end(), [&](const FrontPoint& a, const FrontPoint& b) {
        const Tried &x = a.checked.value_or(a.draft), &y = b.checked.value_or(b.draft);
        const bool good_x = is_good_enough(report.ask, x), good_y = is_good_enough(report.ask, y);
        if (good_x != good_y) return good_x;
        return good_x ? merit(report.ask, x) < merit(report.ask, y) : x.over_dB < y.over_dB;
    });
}

void improve(const ImproveRequest& request, const Streams& streams)
{
    if (!request.json.empty()) require_writable_file(request.json, "--json");
    const fs::path folder = output_folder(request.out, request.file);
    if (request.has_plot) require_writable_folder(folder, "--out");
    const MaterialLibrary library = load_materials(default_materials_dir());
    const CabinetSource source(request.file, library);
    if (!source.improve())
        throw InputError({source.file()}, "improve",
                         "the file does not say what may be chosen, add the key 'improve' (examples/FORMAT.md)");

    ImproveReport report;
    report.ask = *source.improve();
    const CabinetPlan base = source.plan();
    report.title = base.name;
    report.f_max = request.upper_Hz.value_or(base.f_max);
    for (const ChangeAxis& choice : report.ask.choices) report.choices.push_back(title_of(choice));
    const bool plays = can_play(base);
    if (!plays && report.ask.aim != ImproveAsk::Aim::FirstMode)
        throw InputError(
            report.ask.where, "improve.aim",
            "levels need a driver with figures (examples/FORMAT.md); without them only first_mode can be sought");
    // Positions of modes need no playing; what is heard does.
    SchemeTask task{.plays = plays && report.ask.aim != ImproveAsk::Aim::FirstMode,
                    .accuracy = Accuracy::Draft,
                    .f_max = report.f_max,
                    .pictures = {}};

    const auto start = std::chrono::steady_clock::now();
    Progress progress(streams.err, streams.err_is_terminal);
    progress.show("combinations", 0);
    search_improvements(source, task, request.limits, report, progress);
    check_front(source, task, request, report, progress);
    progress.clear();
    report.drawn = report.drawn_checked;
    for (const ChangeAxis& choice : report.ask.choices)
        report.drawn.values.push_back(choice.takes_out ? "in" : source.scalar_at(choice.paths.front()));
    report.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();

    streams.out << improve_text(report) << std::flush;
    if (!request.json.empty()) write_whole_file(request.json, improve_json(report));
    if (!request.has_plot) return;
    create_folder(folder);
    const SchemePlot plot = improve_plot(report);
    write_whole_file(folder / plot.name, plot.svg);
    fmt::print(streams.out, "\n  Plot    {}: {}\n", (folder / plot.name).string(), plot.about);
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
    verb->add_option("--tries", request->limits.tries, "Cabinets computed in the search; default 120")
        ->check(CLI::Range(2, 100000))
        ->option_text("N");
    verb->add_option("--seed", request->limits.seed,
                     "Of the sample where there are more combinations than tries; default 1")
        ->option_text("N");
    verb->add_option("--jobs", request->limits.jobs, "Processes at a time; default: as many as cores")
        ->check(CLI::Range(1, 512))
        ->option_text("N");
    verb->add_option("--json", request->json, "Write all that was tried as JSON")->option_text("FILE");
    verb->add_option("--out", request->out, "Folder for the plot; default stillwall-out/NAME")->option_text("DIR");
    verb->add_flag_callback(
            "--no-plot", [request] { request->has_plot = false; }, "Draw no plot")
        ->option_text(" ");
    verb->callback([request, &action] { action = [request](const Streams& streams) { improve(*request, streams); }; });
}

} // namespace stillwall::app
