#include "app/verbs/modes/modes.h"

#include "app/input/cabinet_source.h"
#include "app/verbs/common/commands.h"
#include "app/verbs/common/computation.h"
#include "app/verbs/common/validators.h"
#include "app/verbs/modes/mode_pictures.h"
#include "app/verbs/modes/modes_report.h"
#include "app/workers/forecast.h"
#include "app/workers/meshed_modes.h"
#include "app/workers/sound_meshes.h"
#include "app/write/cabinet_report.h"
#include "app/write/damping_note.h"
#include "app/write/files.h"
#include "app/write/page_geometry.h"
#include "app/write/progress.h"
#include "mesh/cabinet/build.h"
#include "mesh/cabinet/build_sound.h"
#include "solver/choose/scheme.h"
#include "solver/drive/verdicts.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ostream.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>

namespace stillwall::app {
namespace {

constexpr const char* example =
    "\nExample:\n"
    "  stillwall modes examples/01-small-two-way/cabinet.yaml --json result.json\n"
    "  stillwall modes examples/01-small-two-way/cabinet.yaml --worth\n"
    "\nThe table goes to standard output. Pictures (PNG), a contact sheet of all shapes and a file for general\n"
    "viewers (VTU) go to the folder of --out. All numbers are written before the first picture is drawn.";

void check_outputs(const ModesRequest& request)
{
    if (!request.json.empty()) require_writable_file(request.json, "--json");
    if (!request.csv.empty()) require_writable_file(request.csv, "--csv");
    if (!request.report.empty()) require_page(request.report);
    if (request.pictures != Pictures::None) require_writable_folder(output_folder(request.out, request.file), "--out");
}

void warn(const ModesReport& report, const Streams& streams)
{
    const solver::ModesResult& result = report.result;
    print_warnings(damping_notes(report.cabinet), streams);
    if (!result.is_proved)
        fmt::print(streams.err, "warning: the list of modes is not proved to be complete below {:.0f} Hz\n",
                   report.f_max_Hz);
    if (result.verified && !result.verified->agrees)
        fmt::print(streams.err, "warning: {}; do not trust these modes\n", verify_words(*result.verified));
    // Laps and ends are drawn exactly but modelled on mid-planes; more than this is a sign of a mistake.
    constexpr double tolerated = 0.03;
    if (const double mass = report.books.mass; mass > 0 && std::abs(result.mass_model / mass - 1) > tolerated)
        fmt::print(streams.err,
                   "warning: the model weighs {:.2f} kg, the drawing {:.2f} kg; check the laps and braces\n",
                   result.mass_model, mass);
}

void write_numbers(const ModesRequest& request, const ModesReport& report, const std::string& document,
                   const Streams& streams)
{
    streams.out << modes_text(report) << std::flush;
    if (!request.json.empty()) write_whole_file(request.json, document);
    if (!request.csv.empty()) write_whole_file(request.csv, modes_csv(report));
    warn(report, streams);
}

/// How it would be played; nothing when no driver's figures are known. Mistakes in them show here.
std::optional<SoundSetting> playable(const CabinetPlan& plan, const Cabinet& cabinet, const ModesRequest& request)
{
    if (!request.plays || !solver::can_play(plan)) return std::nullopt;
    SoundSetting setting = build_sound(plan, cabinet);
    // Modes are judged at their own frequencies; the curves in between are not asked for.
    constexpr double from = 20;
    setting.frequencies = {std::min(from, plan.f_max / 2), plan.f_max};
    return setting;
}

/// Of the modes, and of playing them at draft accuracy.
Effort effort_of(const Cabinet& cabinet, double f_high, Accuracy accuracy, bool plays)
{
    Effort effort = effort_of_modes(cabinet, f_high, accuracy);
    if (!plays) return effort;
    const Effort played = effort_of_sound(cabinet, f_high, Accuracy::Draft);
    effort.air_nodes = played.air_nodes;
    effort.panels = played.panels;
    effort.seconds += played.seconds;
    effort.bytes = std::max(effort.bytes, played.bytes);
    return effort;
}

/// At draft accuracy of air and outside; nothing, with a warning, when these cannot be meshed or solved.
std::optional<solver::SoundResult> play(const Cabinet& cabinet, const SoundSetting& setting, const ShellMesh& shell,
                                        const solver::AnalysedWalls& walls, Progress& progress, const Streams& streams)
{
    try {
        const AroundWalls around = mesh_around(cabinet, setting.frequencies.back(), Accuracy::Draft, progress);
        solver::SoundOptions options;
        options.progress = [&](const std::string& step, double fraction) { progress.show(step, 0.5 + 0.5 * fraction); };
        return play_sound(cabinet, setting, around.with(shell), walls, options);
    } catch (const Error& error) {
        progress.clear();
        fmt::print(streams.err, "warning: not played: {}\n", error.what());
        return std::nullopt;
    }
}

CabinetPlan plan_of(const ModesRequest& request, const CabinetSource& source)
{
    CabinetPlan plan = source.plan();
    if (request.upper_Hz) plan.f_max = *request.upper_Hz;
    return plan;
}

/// @param plan  outlives the options
solver::ModesOptions options_of(const ModesRequest& request, const CabinetPlan& plan)
{
    solver::ModesOptions options;
    options.f_max = plan.f_max;
    options.verify = request.verify || request.accuracy == Accuracy::Fine;
    if (request.worth) options.worth_of = &plan;
    return options;
}

/// What to change first: other cabinets, computed when the numbers are out.
/// @return the document with it
std::string advise(const ModesRequest& request, const CabinetSource& source, const CabinetPlan& plan,
                   const ModesReport& report, const std::string& document, Progress& progress, const Streams& streams)
{
    const std::vector<solver::Mode>& modes = report.result.modes;
    solver::AdviceTask task{.plays = report.played != nullptr, .f_max = plan.f_max, .worst_Hz = {}};
    if (const auto worst = solver::worst_wall(modes, report.judged)) task.worst_Hz = modes[*worst].f_Hz;
    return give_advice(source, plan, task, request.json, document, progress, streams);
}

void draw(const ModesRequest& request, const ModesReport& report, const Streams& streams)
{
    const PictureTask task{.folder = output_folder(request.out, request.file),
                           .all = request.pictures == Pictures::All,
                           .is_forgiving = !request.pictures};
    draw_modes(report, report.result.drawn, task, streams);
}

/// Those to hear first, then all others in their order.
PageRun page_run(const ModesReport& report, const std::string& document)
{
    std::vector<std::size_t> order = first_to_hear(report.judged);
    for (std::size_t m = 0; m < report.result.modes.size(); ++m)
        if (std::find(order.begin(), order.end(), m) == order.end()) order.push_back(m);
    std::vector<PageShape> shapes;
    for (const std::size_t m : order)
        shapes.push_back({.number = static_cast<int>(m) + 1, .column = static_cast<Eigen::Index>(m)});
    return {.verb = "modes",
            .result = document,
            .geometry = page_geometry(report.cabinet, report.result.drawn, report.result.shapes, shapes)};
}

/// What comes after the numbers; nothing of it can take them along.
void finish(const ModesRequest& request, const CabinetSource& source, const CabinetPlan& plan,
            const ModesReport& report, std::string document, Progress& progress, const Streams& streams)
{
    const bool has_modes = !report.result.modes.empty();
    if (has_modes && request.has_advice) document = advise(request, source, plan, report, document, progress, streams);
    if (has_modes && request.pictures != Pictures::None) draw(request, report, streams);
    if (request.page != nullptr) request.page->push_back(page_run(report, document));
    if (!request.report.empty())
        finish_page(request.report, report.cabinet,
                    {cabinet_run({report.cabinet, report.books, report.outer_size}, source.record()),
                     page_run(report, document)},
                    streams);
}

} // namespace

void compute_modes(const ModesRequest& request, const Streams& streams)
{
    Progress progress(streams.err, streams.err_is_terminal);
    Stopwatch watch;

    // 1. Read and build: everything the user can have got wrong shows here, before anything is written.
    check_outputs(request);
    const CabinetSource source(request.file);
    print_warnings(source.notes(), streams);
    const CabinetPlan plan = plan_of(request, source);
    const Cabinet cabinet = build_cabinet(plan);
    const std::optional<SoundSetting> setting = playable(plan, cabinet, request);
    const Bookkeeping books = bookkeeping(cabinet);
    announce(
        {.effort = [&](double f, Accuracy accuracy) { return effort_of(cabinet, f, accuracy, setting.has_value()); },
         .f_high = plan.f_max,
         .accuracy = request.accuracy},
        available_memory(), streams);
    const double seconds_read = watch.lap();

    // 2. Mesh and modes. The solver's 0..1 takes the larger part of the bar.
    progress.show("meshing", 0.02);
    solver::ModesOptions options = options_of(request, plan);
    const double share = setting ? 0.4 : 0.9;
    options.progress = [&](const std::string& step, double fraction) { progress.show(step, 0.1 + share * fraction); };
    const MeshedModes meshed = mesh_and_solve(cabinet, request.accuracy, options);
    const solver::ModesResult& result = meshed.result;
    std::vector<solver::JudgedMode> judged = judge_unplayed(cabinet, result.modes);
    watch.lap();

    // 3. Played with these walls.
    std::optional<solver::SoundResult> played;
    if (setting && !result.modes.empty())
        played = play(cabinet, *setting, meshed.mesh, {result, meshed.work}, progress, streams);
    if (played) judge_played(*played, judged);
    progress.clear();

    // 4. Numbers first: drawing may fail, and must not take them along.
    const ModesReport report{.cabinet = cabinet,
                             .books = books,
                             .result = result,
                             .judged = judged,
                             .played = played ? &*played : nullptr,
                             .outer_size = outer_size(plan),
                             .accuracy = request.accuracy,
                             .f_max_Hz = plan.f_max,
                             .element_size = meshed.element_size,
                             .seconds_read = seconds_read,
                             .seconds_mesh = meshed.seconds_mesh,
                             .seconds_play = watch.lap(),
                             .mesh_error = meshed.mesh_error,
                             .meshed_again = meshed.meshed_again};
    std::string document = wants_document(request) ? modes_json(report) : std::string();
    write_numbers(request, report, document, streams);

    // 5. Advice, pictures, page.
    finish(request, source, plan, report, std::move(document), progress, streams);
}

void add_modes(CLI::App& program, Action& action)
{
    CLI::App* verb = program.add_subcommand("modes", "The modes of a cabinet: frequency, Q, which board, how driven");
    verb->footer(example);

    // Shared by the options and the action, which outlives this function.
    const auto request = std::make_shared<ModesRequest>();
    const std::map<std::string, Pictures> choices{{"flagged", Pictures::Flagged}, {"all", Pictures::All}};

    verb->add_option("FILE", request->file, "The cabinet's description (YAML)")->required()->option_text(" ");
    verb->add_option("--upper", request->upper_Hz, "Upper frequency in Hz, instead of the file's")
        ->check(number_within(50, 6000, "frequency", "Hz")) // the limits of the file's own key
        ->option_text("HZ");
    add_accuracy(*verb, request->accuracy, "the mesh");
    verb->add_flag("--worth", request->worth,
                   "Also what moves the first modes to hear: thickness, mass, stiffness, brace position")
        ->option_text(" ");
    verb->add_flag("--verify", request->verify,
                   "Compute the lowest modes, at most 20, by a second solver and compare; fine accuracy always does")
        ->option_text(" ");
    verb->add_flag_callback(
            "--no-play", [request] { request->plays = false; },
            "Do not play the cabinet, though the drivers' figures are there")
        ->option_text(" ");
    verb->add_flag_callback(
            "--no-advice", [request] { request->has_advice = false; }, "Do not look for changes that help")
        ->option_text(" ");
    verb->add_option("--json", request->json, "Write all figures as JSON")->option_text("FILE");
    verb->add_option("--csv", request->csv, "Write a line per mode as CSV")->option_text("FILE");
    add_report_option(*verb, request->report);
    verb->add_option("--out", request->out, "Folder for pictures and viewer file; default stillwall-out/NAME")
        ->option_text("DIR");
    CLI::Option* choice =
        verb->add_option("--pictures", request->pictures, "A picture of each flagged (default) mode, or of all")
            ->transform(one_of(choices))
            ->option_text("WHICH");
    verb->add_flag_callback(
            "--no-pictures", [request] { request->pictures = Pictures::None; }, "Draw nothing and write no viewer file")
        ->excludes(choice)
        ->option_text(" ");
    verb->callback(
        [request, &action] { action = [request](const Streams& streams) { compute_modes(*request, streams); }; });
}

} // namespace stillwall::app
