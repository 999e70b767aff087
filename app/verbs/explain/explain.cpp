#include "app/verbs/explain/explain.h"

#include "app/input/cabinet_file.h"
#include "app/input/cabinet_source.h"
#include "app/input/knock_files.h"
#include "app/input/learned_file.h"
#include "app/input/sweep_file.h"
#include "app/verbs/common/commands.h"
#include "app/verbs/common/computation.h"
#include "app/verbs/explain/explain_learn.h"
#include "app/verbs/explain/explain_pictures.h"
#include "app/workers/forecast.h"
#include "app/workers/sound_meshes.h"
#include "app/write/cabinet_report.h"
#include "app/write/damping_note.h"
#include "app/write/files.h"
#include "app/write/numbers.h"
#include "app/write/text_table.h"
#include "mesh/cabinet/build.h"
#include "mesh/cabinet/build_sound.h"
#include "mesh/cabinet/names.h"
#include "mesh/gmsh/air_mesher.h"
#include "mesh/gmsh/mesher.h"
#include "solver/choose/scheme.h"
#include "solver/drive/unplayed.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <memory>

namespace stillwall::app {
namespace {

namespace fs = std::filesystem;

constexpr const char* example =
    "\nExample:\n"
    "  stillwall explain cabinet.yaml --impedance in_box.txt --free-air driver.txt --knock side.wav@left\n"
    "\nSweeps are columns of text: Hz, ohm, degrees (examples/MEASURED.md). Measure at the driver's own terminals, "
    "the\n"
    "other drivers open, 48 points in the octave or more. The cabinet file needs the drivers' small-signal figures.";

/// A sweep with its wrinkles.
struct Swept
{
    ReadSweep read;
    solver::FeaturesResult found;
};

std::optional<Swept> swept(const fs::path& file, solver::BoxKind kind)
{
    if (file.empty()) return std::nullopt;
    Swept sweep{read_sweep(file), {}};
    try {
        solver::FeaturesSetting setting;
        setting.kind = kind;
        sweep.found = solver::find_features(sweep.read.sweep, setting);
    } catch (const DomainError& error) {
        throw InputError({file.string()}, "", error.what());
    }
    return sweep;
}

int board_named(const Cabinet& cabinet, const std::string& name, const std::string& option)
{
    std::vector<std::string> names;
    for (const Board& board : cabinet.boards) names.push_back(board.name);
    const auto at = std::find(names.begin(), names.end(), name);
    if (at == names.end())
        throw InputError({}, "", fmt::format("--knock {}: no board '{}', {}", option, name, name_hint(name, names)));
    return static_cast<int>(at - names.begin());
}

/// Recordings of one board are analysed together.
std::vector<solver::KnockedBoard> knocked_boards(const ExplainRequest& request, const Cabinet& cabinet,
                                                 std::vector<std::string>& understood)
{
    std::map<int, std::vector<fs::path>> by_board;
    for (const std::string& knock : request.knocks) {
        const std::size_t at = knock.rfind('@');
        if (at == std::string::npos || at == 0 || at + 1 == knock.size())
            throw InputError({}, "", fmt::format("--knock {}: say on which board, as in side.wav@left", knock));
        by_board[board_named(cabinet, knock.substr(at + 1), knock)].push_back(knock.substr(0, at));
    }
    std::vector<solver::KnockedBoard> knocked;
    for (const auto& [board, paths] : by_board) {
        const KnockFiles files = read_knocks(paths);
        for (const std::string& line : files.understood)
            understood.push_back(fmt::format("{}; knock on {}", line, cabinet.board(board).name));
        knocked.push_back({board, knocks_of(files, {})});
    }
    return knocked;
}

/// Everything measured, read.
struct Inputs
{
    std::optional<Swept> in_box, free_air;
    std::vector<solver::KnockedBoard> knocks;
    std::vector<std::string> understood;

    [[nodiscard]] solver::Measured for_solver() const
    {
        solver::Measured m;
        if (in_box) m.sweep = &in_box->read.sweep, m.impedance = &in_box->found;
        if (free_air) m.free_air_sweep = &free_air->read.sweep, m.free_air = &free_air->found;
        m.knocks = knocks;
        return m;
    }
    [[nodiscard]] double highest() const ///< [Hz] of all readings
    {
        double f = 0;
        if (in_box)
            for (const solver::Feature& feature : in_box->found.features) f = std::max(f, feature.f_Hz.value);
        for (const solver::KnockedBoard& k : knocks)
            for (const solver::RungMode& mode : k.result.modes) f = std::max(f, mode.f_Hz.value);
        return f;
    }
};

Inputs read_inputs(const ExplainRequest& request, const Cabinet& cabinet)
{
    if (!request.has_measured())
        throw InputError({}, "", "nothing measured is given: --impedance FILE, or --knock FILE@BOARD");
    Inputs inputs;
    inputs.in_box = swept(request.impedance, solver::box_kind_of(cabinet));
    if (inputs.in_box) inputs.understood.push_back(request.impedance.string() + ": " + inputs.in_box->read.understood);
    inputs.free_air = swept(request.free_air, solver::BoxKind::OneHump);
    if (inputs.free_air)
        inputs.understood.push_back(request.free_air.string() + ": " + inputs.free_air->read.understood +
                                    "; the driver in free air");
    inputs.knocks = knocked_boards(request, cabinet, inputs.understood);
    return inputs;
}

/// The frequencies computed: what holds the readings, with room for modes that lie too high.
void set_frequencies(CabinetPlan& plan, double highest)
{
    constexpr double room = 1.25, least = 500, most = 3000; // [-], [Hz], [Hz]
    plan.sound.frequencies.clear();
    plan.sound.f_from = 20;
    plan.sound.f_to = std::clamp(room * highest, least, most);
    plan.sound.per_octave = 24;
}

/// Why the free-air sweep can hardly be of the driver in the box; empty: it may well be. A coil's resistance follows
/// its temperature (5 % are 13 °C) and its leads, its inductance hardly changes.
std::string other_driver(const solver::ImpedanceModel& in_box, const solver::ImpedanceModel& free_air)
{
    constexpr double same_Re = 0.08, same_coil = 0.25, at_Hz = 1000; // relative
    const double coil = std::abs(in_box.coil(at_Hz)), other_coil = std::abs(free_air.coil(at_Hz));
    if (std::abs(std::log(free_air.Re / in_box.Re)) > same_Re)
        return fmt::format("the coil has {} ohm in the box and {} ohm in free air", shortest(in_box.Re, 3),
                           shortest(free_air.Re, 3));
    if (coil > 0 && other_coil > 0 && std::abs(std::log(other_coil / coil)) > same_coil)
        return fmt::format("the coil's inductance makes {} ohm at 1 kHz in the box and {} ohm in free air",
                           shortest(coil, 2), shortest(other_coil, 2));
    return "";
}

std::vector<std::string> warnings_of(const Inputs& inputs, const solver::SoundResult& sound, double f_top)
{
    std::vector<std::string> warnings = sound.warnings;
    for (const auto* swept : {&inputs.in_box, &inputs.free_air})
        if (*swept) warnings.insert(warnings.end(), (*swept)->found.warnings.begin(), (*swept)->found.warnings.end());
    if (inputs.in_box && inputs.free_air) {
        const std::string why = other_driver(inputs.in_box->found.fit.model, inputs.free_air->found.fit.model);
        if (!why.empty()) warnings.push_back("is the free-air sweep of the same driver? " + why);
    }
    if (inputs.highest() > f_top)
        warnings.push_back(
            fmt::format("readings above {:.0f} Hz are not held against the walls: the computation ends there", f_top));
    return warnings;
}

/// Says what was learned and writes the cabinet file with it, when there is anything.
void write_learned(const ExplainRequest& request, const solver::LearnResult& result, const Streams& streams)
{
    streams.out << '\n' << learned_text(result);
    const Learned learned = learned_of(result);
    if (learned.materials.empty() && learned.baskets.empty()) {
        streams.out << wrapped(request.learn.string() + " is not written: there is nothing to put into it.")
                    << std::flush;
        return;
    }
    const std::string remark =
        fmt::format("from {} frequencies of walls in {}", result.stiffness.n_readings,
                    request.impedance.empty() ? std::string("knocks") : request.impedance.filename().string());
    write_whole_file(request.learn, with_learned(whole_text(request.file), request.file.string(), learned, {remark}));
    streams.out << wrapped("Written: " + request.learn.string() + ", the cabinet with these factors under 'learned'.")
                << std::flush;
}

/// Knocks ask for no driver's figures.
bool is_unplayed(const ExplainRequest& request, const CabinetPlan& plan)
{
    return request.impedance.empty() && !solver::can_play(plan);
}

/// The computed cabinet, with the mesh of its walls.
struct Model
{
    ShellMesh shell;
    solver::SoundResult sound;
};

solver::SoundOptions shown_in(Progress& progress)
{
    solver::SoundOptions options;
    options.progress = [&](const std::string& step, double fraction) { progress.show(step, 0.1 + 0.9 * fraction); };
    return options;
}

Model played(const ExplainRequest& request, const CabinetPlan& plan, const Cabinet& cabinet, const Streams& streams,
             Progress& progress)
{
    const SoundSetting setting = build_sound(plan, cabinet);
    const double f_top = setting.frequencies.back();
    announce({.effort = [&](double f, Accuracy accuracy) { return effort_of_sound(cabinet, f, accuracy); },
              .f_high = f_top,
              .accuracy = request.accuracy,
              .lower = "a sweep up to {} Hz"},
             available_memory(), streams);
    const Meshes meshes = mesh_all(cabinet, f_top, request.accuracy, progress);
    return {meshes.shell, solver::analyse_sound(cabinet, setting, meshes.for_solver(), shown_in(progress))};
}

Model at_rest(const ExplainRequest& request, const CabinetPlan& plan, const Cabinet& cabinet, const Streams& streams,
              Progress& progress)
{
    const double f_top = plan.sound.f_to;
    announce({.effort = [&](double f, Accuracy accuracy) { return effort_of_modes(cabinet, f, accuracy); },
              .f_high = f_top,
              .accuracy = request.accuracy,
              .lower = "knocks that ring lower"},
             available_memory(), streams);
    progress.show("meshing walls and air", 0.01);
    ShellMesh shell = mesh::mesh_shell(cabinet, {.element_size = shell_element_size(cabinet, f_top, request.accuracy)});
    const AirMesh air = mesh::mesh_air(cabinet, {.element_size = air_element_size(f_top, request.accuracy)});
    solver::ModesOptions options;
    options.f_max = f_top;
    options.progress = shown_in(progress).progress;
    solver::ModesResult walls = solver::analyse_modes(cabinet, shell, options);
    return {std::move(shell), solver::unplayed_sound(cabinet, std::move(walls), air, f_top)};
}

void learn_into_file(const ExplainRequest& request, const ExplainReport& report, const CabinetPlan& plan,
                     const Model& model, const Streams& streams, Progress& progress)
{
    const std::string slip = slip_words(comb_of(report));
    if (!slip.empty()) {
        streams.out << '\n'
                    << slip << wrapped(request.learn.string() + " is not written: there is nothing to put into it.")
                    << std::flush;
        return;
    }
    progress.show("learning from it", 1);
    const double f_max = 1.3 * model.sound.frequency.back(); // room for modes that rise
    const solver::LearnResult learned = learn_from(report, plan, model.shell, f_max);
    progress.clear();
    write_learned(request, learned, streams);
}

} // namespace

void explain_measured(const ExplainRequest& request, const Streams& streams)
{
    Progress progress(streams.err, streams.err_is_terminal);

    // 1. Read everything before anything is computed.
    if (!request.json.empty()) require_writable_file(request.json, "--json");
    if (!request.report.empty()) require_page(request.report);
    if (!request.learn.empty()) require_writable_file(request.learn, "--learn");
    if (request.has_pictures) require_writable_folder(output_folder(request.out, request.file), "--out");
    const CabinetSource source(request.file);
    print_warnings(source.notes(), streams);
    CabinetPlan plan = source.plan();
    const Cabinet cabinet = build_cabinet(plan);
    progress.show("reading what was measured", 0);
    const Inputs inputs = read_inputs(request, cabinet);
    progress.clear();
    set_frequencies(plan, inputs.highest());
    const bool is_filled = !plan.sound.fillings.empty();

    // 2. What the model says, up to what was measured.
    const Model model = is_unplayed(request, plan) ? at_rest(request, plan, cabinet, streams, progress)
                                                   : played(request, plan, cabinet, streams, progress);
    const solver::SoundResult& sound = model.sound;
    const double f_top = plan.sound.f_to;

    // 3. Which of it explains what was measured.
    progress.show("which of it explains what was measured", 1);
    const solver::Explanation explanation = solver::explain(cabinet, sound, is_filled, inputs.for_solver());
    progress.clear();
    const Bookkeeping books = bookkeeping(cabinet);
    ExplainReport report{.cabinet = cabinet,
                         .books = books,
                         .outer_size = outer_size(plan),
                         .sound = sound,
                         .explanation = explanation,
                         .sweep = inputs.in_box ? &inputs.in_box->read.sweep : nullptr,
                         .impedance = inputs.in_box ? &inputs.in_box->found : nullptr,
                         .free_air = inputs.free_air ? &inputs.free_air->found : nullptr,
                         .understood = inputs.understood,
                         .warnings = warnings_of(inputs, sound, f_top),
                         .picture_of = {}};
    streams.out << explain_text(report) << std::flush;
    if (!request.learn.empty()) learn_into_file(request, report, plan, model, streams, progress);
    if (request.has_pictures)
        report.picture_of = draw_causes(report, output_folder(request.out, request.file), streams);
    const std::string document = wants_document(request) ? explain_json(report) : "";
    if (!request.json.empty()) write_whole_file(request.json, document);
    if (request.page != nullptr) request.page->push_back({.verb = "explain", .result = document});
    if (!request.report.empty())
        finish_page(request.report, cabinet,
                    {cabinet_run({cabinet, books, report.outer_size}, source.record()),
                     {.verb = "explain", .result = document}},
                    streams);
    print_warnings(damping_notes(cabinet), streams);
    print_warnings(report.warnings, streams);
}

void add_measured_options(CLI::App& verb, ExplainRequest& request)
{
    verb.add_option("--impedance", request.impedance, "Sweep of the driver in the box")->option_text("FILE");
    verb.add_option("--free-air", request.free_air, "Sweep of the same driver out of the box")->option_text("FILE");
    verb.add_option("--knock", request.knocks, "Recorded knocks on a board; may be given several times")
        ->option_text("FILE@BOARD");
}

void add_explain(CLI::App& program, Action& action)
{
    CLI::App* verb =
        program.add_subcommand("explain", "What makes each wrinkle of a measured impedance, each ring of a knock");
    verb->footer(example);

    // Shared by the options and the action, which outlives this function.
    const auto request = std::make_shared<ExplainRequest>();
    verb->add_option("FILE", request->file, "The cabinet's description (YAML)")->required()->option_text(" ");
    add_measured_options(*verb, *request);
    add_accuracy(*verb, request->accuracy, "the meshes");
    verb->add_option("--learn", request->learn,
                     "Learn moduli and losses from sure readings; write the cabinet file with them")
        ->option_text("FILE");
    verb->add_option("--json", request->json, "Write all figures as JSON")->option_text("FILE");
    add_report_option(*verb, request->report);
    verb->add_option("--out", request->out, "Folder for the pictures; default stillwall-out/NAME")->option_text("DIR");
    verb->add_flag_callback(
            "--no-pictures", [request] { request->has_pictures = false; }, "Draw no pictures")
        ->option_text(" ");
    verb->callback(
        [request, &action] { action = [request](const Streams& streams) { explain_measured(*request, streams); }; });
}

} // namespace stillwall::app
