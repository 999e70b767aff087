#include "app/input/cabinet_source.h"
#include "app/verbs/common/commands.h"
#include "app/verbs/common/computation.h"
#include "app/verbs/common/validators.h"
#include "app/verbs/compare/compare_report.h"
#include "app/workers/apart.h"
#include "app/workers/forecast.h"
#include "app/workers/scheme_job.h"
#include "app/write/files.h"
#include "app/write/progress.h"
#include "solver/choose/archive.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ostream.h>

#include <algorithm>
#include <memory>

namespace stillwall::app {
namespace {

namespace fs = std::filesystem;

constexpr const char* example =
    "\nExample:\n"
    "  stillwall compare examples/06-sealed-two-way/sealed.yaml examples/06-sealed-two-way/braced.yaml\n"
    "  stillwall compare examples/13-choose-before-cutting/cabinet.yaml\n"
    "\nThe first cabinet is what the others are held against. A file with 'variants' brings all of them. Levels need "
    "the\n"
    "drivers' figures in every file (examples/FORMAT.md); without them frequencies are compared.";

struct CompareRequest
{
    std::vector<fs::path> files;
    std::optional<double> upper_Hz;
    Accuracy accuracy = Accuracy::Normal;
    fs::path json, csv, report, out;
    bool modes_only = false, has_pictures = true;
};

/// A scheme to be computed.
struct Candidate
{
    std::string name;
    CabinetPlan plan;
    const WorkshopPlan* workshop = nullptr;
};

/// All schemes of all files; names told apart by their files where they are alike.
std::vector<Candidate> candidates_of(const std::vector<CabinetSource>& sources)
{
    std::vector<Candidate> list;
    for (const CabinetSource& source : sources) {
        const CabinetPlan base = source.plan();
        const bool is_alone = sources.size() == 1;
        list.push_back({is_alone && !source.variants().empty() ? "as drawn" : base.name, base, &source.workshop()});
        for (std::size_t v = 0; v < source.variants().size(); ++v)
            list.push_back(
                {(is_alone ? "" : base.name + ": ") + source.variants()[v], source.variant(v), &source.workshop()});
    }
    for (std::size_t i = 0; i < list.size(); ++i) {
        int n_before = 1;
        for (std::size_t j = 0; j < i; ++j)
            n_before += list[j].plan.name == list[i].plan.name && list[j].name == list[i].name;
        if (n_before > 1) list[i].name += fmt::format(" ({})", n_before);
    }
    return list;
}

std::string folder_name(std::string name)
{
    for (char& c : name)
        if (!std::isalnum(static_cast<unsigned char>(c)) && c != '-' && c != '_') c = '-';
    return name;
}

void write_outputs(const CompareRequest& request, const CompareReport& report, const fs::path& folder,
                   const Streams& streams)
{
    streams.out << compare_text(report) << std::flush;
    if (!request.json.empty()) write_whole_file(request.json, compare_json(report));
    if (!request.csv.empty()) write_whole_file(request.csv, compare_csv(report));
    for (const NamedScheme& scheme : report.schemes)
        for (const std::string& warning : scheme.computed.warnings)
            fmt::print(streams.err, "warning: {}: {}\n", scheme.name, warning);
    if (!request.has_pictures) return;
    create_folder(folder);
    std::string title = "\n  Plots    ";
    for (const PlotFile& plot : compare_plots(report)) {
        write_whole_file(folder / plot.name, plot.svg);
        fmt::print(streams.out, "{}{}: {}\n", title, (folder / plot.name).string(), plot.about);
        title = "           ";
    }
    for (const NamedScheme& scheme : report.schemes)
        if (scheme.has_pictures) {
            fmt::print(streams.out, "  Pictures {}: first, loudest and all modes of each scheme\n",
                       (folder / "SCHEME/*.png").string());
            break;
        }
}

/// Fills the report's schemes, and meets their modes.
void compute_schemes(const CompareRequest& request, const std::vector<Candidate>& candidates, const SchemeTask& task,
                     const fs::path& folder, CompareReport& report, const Streams& streams)
{
    constexpr std::size_t page_room = 2'000'000; // of all schemes' shapes
    for (const Candidate& c : candidates) report.schemes.push_back({c.name, {}, false, {}});
    std::vector<CabinetPlan> plans;
    for (const Candidate& c : candidates) plans.push_back(c.plan);
    announce_schemes(plans, task, {plans.size()}, streams);
    Progress progress(streams.err, streams.err_is_terminal);
    progress.show("schemes", 0);
    std::size_t n_done = 0;
    compute_apart(
        candidates.size(),
        [&](std::size_t i) {
            const Candidate& c = candidates[i];
            const ShapesWanted wanted{.folder = request.has_pictures ? folder / folder_name(c.name) : fs::path(),
                                      .geometry_bytes = request.report.empty() ? 0 : page_room / candidates.size()};
            const DrawnScheme drawn = compute_and_draw(c.plan, *c.workshop, task, wanted);
            solver::Packer packer;
            packer(packed(drawn.computed), drawn.has_pictures, drawn.geometry);
            return packer.take();
        },
        [&](std::size_t i, const Outcome& outcome) {
            if (outcome.is_input) throw InputError({}, candidates[i].name, outcome.problem);
            if (!outcome.problem.empty()) throw Error(fmt::format("{}: {}", candidates[i].name, outcome.problem));
            solver::Unpacker unpacker(outcome.bytes);
            std::string scheme;
            unpacker(scheme, report.schemes[i].has_pictures, report.schemes[i].geometry);
            report.schemes[i].computed = solver::unpacked(scheme);
            progress.show("schemes", static_cast<double>(++n_done) / static_cast<double>(candidates.size()));
        });
    progress.clear();
    std::vector<const solver::SchemeFigures*> figures;
    for (const NamedScheme& scheme : report.schemes) figures.push_back(&scheme.computed.figures);
    report.met = solver::met_in_each(figures);
}

/// The first cabinet, the comparison, and the shapes of each scheme.
PageRuns page_runs(const CabinetSource& first, const CompareReport& report)
{
    PageRuns runs{cabinet_run(first), {.verb = "compare", .result = compare_json(report)}};
    for (std::size_t s = 0; s < report.schemes.size(); ++s)
        runs.push_back({.verb = fmt::format("compare-{}", s), .result = {}, .geometry = report.schemes[s].geometry});
    return runs;
}

void compare(const CompareRequest& request, const Streams& streams)
{
    if (!request.json.empty()) require_writable_file(request.json, "--json");
    if (!request.csv.empty()) require_writable_file(request.csv, "--csv");
    if (!request.report.empty()) require_page(request.report);
    std::vector<CabinetSource> sources;
    for (const fs::path& file : request.files) print_warnings(sources.emplace_back(file).notes(), streams);
    const std::vector<Candidate> candidates = candidates_of(sources);
    if (candidates.size() < 2)
        throw InputError({sources.front().file()}, "variants",
                         "there is nothing to compare with, give a second file or list variants");
    constexpr std::size_t most = 24;
    if (candidates.size() > most)
        throw InputError({}, "FILE", fmt::format("{} schemes, at most {} go on a page", candidates.size(), most));
    const fs::path folder = request.out.empty() ? output_folder({}, request.files.front()) : request.out;
    if (request.has_pictures) require_writable_folder(folder, "--out");

    std::vector<std::string> without_figures;
    if (!request.modes_only)
        for (const Candidate& c : candidates)
            if (!solver::can_play(c.plan)) without_figures.push_back(c.name);
    const bool plays = !request.modes_only && without_figures.empty();
    double f_max = 0;
    for (const Candidate& c : candidates) f_max = std::max(f_max, c.plan.f_max);
    const SchemeTask task{
        .plays = plays, .accuracy = request.accuracy, .f_max = request.upper_Hz.value_or(f_max), .wants_curves = plays};

    CompareReport report{.title = candidates.front().plan.name,
                         .schemes = {},
                         .met = {},
                         .f_max = task.f_max,
                         .accuracy = accuracy_word(task.accuracy),
                         .without_figures = std::move(without_figures)};
    compute_schemes(request, candidates, task, folder, report, streams);
    write_outputs(request, report, folder, streams);
    if (!request.report.empty()) finish_page(request.report, report.title, page_runs(sources.front(), report), streams);
}

} // namespace

void add_compare(CLI::App& program, Action& action)
{
    CLI::App* verb =
        program.add_subcommand("compare", "Cabinets or variants of one side by side, modes followed by shape");
    verb->footer(example);

    // Shared by the options and the action, which outlives this function.
    const auto request = std::make_shared<CompareRequest>();
    verb->add_option("FILE", request->files, "Cabinets' descriptions (YAML)")->required()->option_text("FILE...");
    verb->add_option("--upper", request->upper_Hz, "Upper frequency in Hz, instead of the highest in the files")
        ->check(number_within(50, 6000, "frequency", "Hz"))
        ->option_text("HZ");
    add_accuracy(*verb, request->accuracy, "the meshes");
    verb->add_flag("--modes-only", request->modes_only, "Boards by themselves, without playing the drivers")
        ->option_text(" ");
    verb->add_option("--json", request->json, "Write all figures as JSON")->option_text("FILE");
    verb->add_option("--csv", request->csv, "Write a line per scheme and mode as CSV")->option_text("FILE");
    add_report_option(*verb, request->report);
    verb->add_option("--out", request->out, "Folder for plots and pictures; default stillwall-out/NAME")
        ->option_text("DIR");
    verb->add_flag_callback(
            "--no-pictures", [request] { request->has_pictures = false; }, "Draw neither plots nor pictures")
        ->option_text(" ");
    verb->callback([request, &action] { action = [request](const Streams& streams) { compare(*request, streams); }; });
}

} // namespace stillwall::app
