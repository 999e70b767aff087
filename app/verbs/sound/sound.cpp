#include "app/verbs/sound/sound.h"

#include "app/input/cabinet_source.h"
#include "app/verbs/common/commands.h"
#include "app/verbs/common/computation.h"
#include "app/verbs/common/validators.h"
#include "app/verbs/sound/sound_plots.h"
#include "app/workers/forecast.h"
#include "app/workers/sound_meshes.h"
#include "app/write/cabinet_report.h"
#include "app/write/damping_note.h"
#include "app/write/files.h"
#include "app/write/page_geometry.h"
#include "mesh/cabinet/build.h"
#include "mesh/cabinet/build_sound.h"
#include "solver/drive/verdicts.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ostream.h>

#include <algorithm>
#include <memory>

namespace stillwall::app {
namespace {

namespace fs = std::filesystem;

constexpr const char* example = "\nExample:\n"
                                "  stillwall sound examples/06-sealed-two-way/sealed.yaml --json sound.json\n"
                                "\nDrivers need their small-signal figures (examples/FORMAT.md). The answer goes to "
                                "standard output, plots (SVG) go\n"
                                "to the folder of --out.";

void check_outputs(const SoundRequest& request)
{
    if (!request.json.empty()) require_writable_file(request.json, "--json");
    if (!request.csv.empty()) require_writable_file(request.csv, "--csv");
    if (!request.modes_csv.empty()) require_writable_file(request.modes_csv, "--modes-csv");
    if (!request.report.empty()) require_page(request.report);
    if (request.has_plots) require_writable_folder(output_folder(request.out, request.file), "--out");
}

void write_numbers(const SoundRequest& request, const SoundReport& report, const std::string& document,
                   const Streams& streams)
{
    streams.out << sound_text(report, request.all) << std::flush;
    if (!request.json.empty()) write_whole_file(request.json, document);
    if (!request.csv.empty()) write_whole_file(request.csv, sound_curves_csv(report));
    if (!request.modes_csv.empty()) write_whole_file(request.modes_csv, sound_modes_csv(report));
    print_warnings(damping_notes(report.cabinet), streams);
    print_warnings(report.result.warnings, streams);
}

void write_plots(const fs::path& folder, const SoundReport& report, const Streams& streams)
{
    create_folder(folder);
    std::string title = "\n  Plots    ";
    for (const PlotFile& plot : sound_plots(report)) {
        write_whole_file(folder / plot.name, plot.svg);
        fmt::print(streams.out, "{}  {}: {}\n", title, (folder / plot.name).string(), plot.about);
        title = "           ";
    }
}

/// The shapes of the walls' resonances, the loudest first.
PageRun page_run(const SoundReport& report, const std::string& document)
{
    const std::vector<solver::SoundMode>& modes = report.result.modes;
    std::vector<std::size_t> order;
    for (std::size_t m = 0; m < modes.size(); ++m)
        if (modes[m].wall) order.push_back(m);
    const auto level = [&](std::size_t m) { return modes[m].worst ? modes[m].worst->level_dB : -1e9; };
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return level(a) > level(b); });
    std::vector<PageShape> shapes;
    for (const std::size_t m : order)
        shapes.push_back({.number = static_cast<int>(m) + 1, .column = static_cast<Eigen::Index>(*modes[m].wall)});
    return {.verb = "sound",
            .result = document,
            .geometry = page_geometry(report.cabinet, report.result.drawn, report.result.shapes, shapes)};
}

} // namespace

void compute_sound(const SoundRequest& request, const Streams& streams)
{
    Progress progress(streams.err, streams.err_is_terminal);
    Stopwatch watch;

    // 1. Read and build: everything the user can have got wrong shows here, before anything is written.
    check_outputs(request);
    const CabinetSource source(request.file);
    print_warnings(source.notes(), streams);
    CabinetPlan plan = source.plan();
    if (request.volts) {
        plan.sound.volts = request.volts;
        plan.sound.level_dB.reset();
    }
    const Cabinet cabinet = build_cabinet(plan);
    const SoundSetting setting = build_sound(plan, cabinet);
    const Bookkeeping books = bookkeeping(cabinet);
    announce({.effort = [&](double f, Accuracy accuracy) { return effort_of_sound(cabinet, f, accuracy); },
              .f_high = setting.frequencies.back(),
              .accuracy = request.accuracy,
              .lower = lower_in_file},
             available_memory(), streams);
    const double seconds_read = watch.lap();

    // 2. Meshes, for the highest frequency asked for.
    const Meshes meshes = mesh_all(cabinet, setting.frequencies.back(), request.accuracy, progress);
    const double seconds_mesh = watch.lap();

    // 3. Sound. The solver's 0..1 takes the larger part of the bar.
    solver::SoundOptions options;
    options.progress = [&](const std::string& step, double fraction) { progress.show(step, 0.1 + 0.9 * fraction); };
    const solver::SoundResult result = solver::analyse_sound(cabinet, setting, meshes.for_solver(), options);
    progress.clear();

    // 4. Numbers, then plots.
    SoundReport report{.cabinet = cabinet,
                       .books = books,
                       .setting = setting,
                       .result = result,
                       .outer_size = outer_size(plan),
                       .accuracy = accuracy_word(request.accuracy),
                       .shell_size = meshes.shell_size,
                       .air_size = meshes.air_size,
                       .panel_sizes = {},
                       .seconds_read = seconds_read,
                       .seconds_mesh = seconds_mesh};
    for (const OuterLevel& level : meshes.levels) report.panel_sizes.push_back(level.element_size);
    std::string document = wants_document(request) ? sound_json(report) : std::string();
    write_numbers(request, report, document, streams);
    if (request.has_advice) {
        solver::AdviceTask task{.plays = true, .f_max = setting.frequencies.back(), .worst_Hz = {}};
        if (const solver::SoundMode* worst = worst_wall(result.modes)) task.worst_Hz = worst->f_Hz;
        document = give_advice(source, plan, task, request.json, document, progress, streams);
    }
    if (request.has_plots) write_plots(output_folder(request.out, request.file), report, streams);
    if (request.page != nullptr) request.page->push_back(page_run(report, document));
    if (!request.report.empty())
        finish_page(request.report, cabinet,
                    {cabinet_run({cabinet, books, report.outer_size}, source.record()), page_run(report, document)},
                    streams);
}

void add_sound(CLI::App& program, Action& action)
{
    CLI::App* verb =
        program.add_subcommand("sound", "Plays it: which resonances can be heard, impedance, cone and port");
    verb->footer(example);

    // Shared by the options and the action, which outlives this function.
    const auto request = std::make_shared<SoundRequest>();
    verb->add_option("FILE", request->file, "The cabinet's description (YAML)")->required()->option_text(" ");
    add_accuracy(*verb, request->accuracy, "the meshes");
    verb->add_option("--volts", request->volts, "Voltage at every input (r.m.s.), instead of the file's or its level")
        ->check(number_within(0.001, 500, "voltage", "V")) // the limits of the file's own key
        ->option_text("V");
    verb->add_flag("--all", request->all, "List the inaudible resonances too")->option_text(" ");
    verb->add_flag_callback(
            "--no-advice", [request] { request->has_advice = false; }, "Do not look for changes that help")
        ->option_text(" ");
    verb->add_option("--json", request->json, "Write all figures as JSON")->option_text("FILE");
    verb->add_option("--csv", request->csv, "Write the curves as CSV, a line per frequency")->option_text("FILE");
    verb->add_option("--modes-csv", request->modes_csv, "Write a line per resonance and listener as CSV")
        ->option_text("FILE");
    add_report_option(*verb, request->report);
    verb->add_option("--out", request->out, "Folder for the plots; default stillwall-out/NAME")->option_text("DIR");
    verb->add_flag_callback(
            "--no-plots", [request] { request->has_plots = false; }, "Draw no plots")
        ->option_text(" ");
    verb->callback(
        [request, &action] { action = [request](const Streams& streams) { compute_sound(*request, streams); }; });
}

} // namespace stillwall::app
