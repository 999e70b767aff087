#include "app/input/cabinet_source.h"
#include "app/verbs/common/commands.h"
#include "app/verbs/common/computation.h"
#include "app/verbs/common/validators.h"
#include "app/verbs/vary/growing_file.h"
#include "app/verbs/vary/vary_report.h"
#include "app/workers/apart.h"
#include "app/workers/forecast.h"
#include "app/workers/scheme_job.h"
#include "app/write/files.h"
#include "app/write/progress.h"
#include "mesh/cabinet/build.h"
#include "solver/modes/analysis.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ostream.h>

#include <algorithm>
#include <map>
#include <memory>

namespace stillwall::app {
namespace {

namespace fs = std::filesystem;

constexpr const char* example =
    "\nExample:\n"
    "  stillwall vary examples/01-small-two-way/cabinet.yaml --change boards.all.thickness --over \"12, 15, 18, 22\"\n"
    "  stillwall vary examples/13-choose-before-cutting/cabinet.yaml\n"
    "\nOne or two things at a time, each given by its place in the file; without --change the file's own 'vary' is "
    "taken.\n"
    "Every result is added to the CSV at once: a run that was stopped goes on where it stood. Under mpirun the "
    "variants\n"
    "are spread over its processes.";

struct VaryRequest
{
    fs::path file, csv, json, report, out;
    std::vector<std::string> change, over;
    std::optional<double> upper_Hz;
    Accuracy accuracy = Accuracy::Draft;
    bool plays = false, has_plots = true, starts_afresh = false;
    int jobs = 0;
};

std::vector<ChangeAxis> axes_of(const VaryRequest& request, const CabinetSource& source)
{
    if (request.change.size() != request.over.size())
        throw InputError({}, "--over", "each --change needs one --over, in the same order");
    if (request.change.size() > 2) throw InputError({}, "--change", "one or two things can be varied at a time");
    std::vector<ChangeAxis> axes;
    for (std::size_t i = 0; i < request.change.size(); ++i)
        axes.push_back(axis_from_words(request.change[i], request.over[i]));
    if (axes.empty()) axes = source.vary();
    if (axes.empty())
        throw InputError({source.file()}, "vary",
                         "nothing is said to vary; give --change and --over, or the key 'vary' in the file");
    return axes;
}

std::string title_of(const ChangeAxis& axis)
{
    std::string title;
    for (const std::string& path : axis.paths) title += (title.empty() ? "" : " + ") + path;
    return title;
}

/// All combinations, the first axis outermost.
std::vector<std::vector<std::string>> grid_of(const std::vector<ChangeAxis>& axes)
{
    std::vector<std::vector<std::string>> grid;
    for (const std::string& first : axes[0].values) {
        if (axes.size() == 1) grid.push_back({first});
        if (axes.size() == 2)
            for (const std::string& second : axes[1].values) grid.push_back({first, second});
    }
    constexpr std::size_t most = 20000;
    if (grid.size() > most)
        throw InputError(axes[0].where, axes[0].key,
                         fmt::format("{} variants, at most {} are computed in one run", grid.size(), most));
    return grid;
}

std::vector<Setting> settings_of(const std::vector<ChangeAxis>& axes, const std::vector<std::string>& values)
{
    std::vector<Setting> settings;
    for (std::size_t a = 0; a < axes.size(); ++a)
        for (const Setting& s : axes[a].set_to(values[a])) settings.push_back(s);
    return settings;
}

/// Tells a cabinet with its settings from others (64-bit FNV-1a: Fowler, Noll, Vo, public domain).
std::string run_mark(const std::string& text)
{
    std::uint64_t hash = 14695981039346656037ull;
    for (const char c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ull;
    return fmt::format("{:016x}", hash);
}

/// One run: what was found before, and what is still to be done.
struct Run
{
    VaryReport report;
    std::string mark;
    std::vector<std::vector<std::string>> grid;
    std::vector<std::size_t> open; ///< places not yet computed
};

void take_earlier(const std::string& text, const fs::path& csv, Run& run)
{
    std::map<std::vector<std::string>, std::size_t> place;
    for (std::size_t i = 0; i < run.grid.size(); ++i) place[run.grid[i]] = i;
    read_vary_lines(text, csv.string(), run.report.axes, run.mark, [&](VaryRow row) {
        if (const auto found = place.find(row.values); found != place.end())
            run.report.rows[found->second] = std::move(row);
    });
}

/// The mesh that serves for all: of the variant that wants the finest. Chosen among all variants, whether computed
/// before or not, so that the answer does not depend on where a run was stopped. Nothing when none can be meshed.
std::unique_ptr<MeshBase> common_mesh(const CabinetSource& source, const std::vector<ChangeAxis>& axes,
                                      const SchemeTask& task, const Run& run)
{
    constexpr std::size_t most_looked_at = 400; // building takes a millisecond
    std::optional<CabinetPlan> finest;
    double size = 0;
    const std::size_t step = (run.grid.size() + most_looked_at - 1) / most_looked_at;
    for (std::size_t i = 0; i < run.grid.size(); i += step) {
        try {
            CabinetPlan plan = source.plan(settings_of(axes, run.grid[i]));
            const double wanted =
                solver::element_size_for(build_cabinet(plan), task.f_max, points_per_wave(task.accuracy));
            if (finest && wanted >= size) continue;
            finest = std::move(plan);
            size = wanted;
        } catch (const InputError&) {
            // Told when its turn comes.
        }
    }
    if (!finest) return nullptr;
    try {
        return std::make_unique<MeshBase>(mesh_base(*finest, task.f_max, task.accuracy));
    } catch (const Error&) {
        return nullptr;
    }
}

void compute_open(const VaryRequest& request, const CabinetSource& source, const std::vector<ChangeAxis>& axes,
                  const SchemeTask& task, Run& run, GrowingFile* file, const Streams& streams)
{
    announce_schemes({source.plan()}, task, {run.open.size(), request.jobs}, streams);
    Progress progress(streams.err, streams.err_is_terminal);
    progress.show("variants", 0);
    const std::unique_ptr<MeshBase> base =
        task.plays || run.open.empty() ? nullptr : common_mesh(source, axes, task, run);
    const std::size_t n = run.grid.size(), n_before = n - run.open.size();
    std::size_t n_done = 0;
    compute_apart(
        run.open.size(),
        [&](std::size_t i) {
            return packed(compute_scheme(source.plan(settings_of(axes, run.grid[run.open[i]])), source.workshop(), task,
                                         base.get()));
        },
        [&](std::size_t i, const Outcome& outcome) {
            const std::size_t at = run.open[i];
            VaryRow& row = run.report.rows[at];
            if (outcome.problem.empty())
                row = row_of(run.grid[at], solver::unpacked(outcome.bytes));
            else
                row.problem = outcome.problem;
            file->add(vary_line(row, run.mark));
            ++n_done;
            progress.show(fmt::format("variant {} of {}", n_before + n_done, n),
                          static_cast<double>(n_before + n_done) / static_cast<double>(n));
        },
        {.at_most = request.jobs, .ranks = true});
}

void write_plots(const fs::path& folder, const VaryReport& report, const Streams& streams)
{
    create_folder(folder);
    for (const PlotFile& plot : vary_plots(report)) {
        write_whole_file(folder / plot.name, plot.svg);
        fmt::print(streams.out, "  Plot    {}: {}\n", (folder / plot.name).string(), plot.about);
    }
}

/// Text, JSON, plots and page of all variants.
void tell(const VaryRequest& request, const CabinetSource& source, const VaryReport& report, const fs::path& folder,
          const fs::path& csv, const Streams& streams)
{
    streams.out << vary_text(report) << std::flush;
    fmt::print(streams.out, "\n  Figures {}: a line per variant, grows while it runs\n", csv.string());
    if (!request.json.empty()) write_whole_file(request.json, vary_json(report));
    if (request.has_plots) write_plots(folder, report, streams);
    if (!request.report.empty())
        finish_page(request.report, report.title, {cabinet_run(source), {.verb = "vary", .result = vary_json(report)}},
                    streams);
}

/// What the report says of the request, and a row for each variant.
void begin_report(const std::vector<ChangeAxis>& axes, const SchemeTask& task, const std::string& title, Run& run)
{
    run.report.title = title;
    run.report.is_played = task.plays;
    run.report.f_max = task.f_max;
    run.report.accuracy = accuracy_word(task.accuracy);
    for (const ChangeAxis& axis : axes) {
        run.report.axes.push_back(title_of(axis));
        run.report.values.push_back(axis.values);
    }
    run.report.rows.resize(run.grid.size());
    for (std::size_t i = 0; i < run.grid.size(); ++i) run.report.rows[i].values = run.grid[i];
}

void vary(const VaryRequest& request, const Streams& streams)
{
    const CabinetSource source(request.file);
    print_warnings(source.notes(), streams);
    const std::vector<ChangeAxis> axes = axes_of(request, source);
    const fs::path folder = output_folder(request.out, request.file);
    const fs::path csv = request.csv.empty() ? folder / "vary.csv" : request.csv;
    const CabinetPlan base = source.plan();

    Run run;
    run.grid = grid_of(axes);
    // Every change must be possible in the file; whether each variant can be built is told line by line.
    for (const ChangeAxis& axis : axes) source.check_settings(axis.set_to(axis.values.front()));
    const SchemeTask task{
        .plays = request.plays, .accuracy = request.accuracy, .f_max = request.upper_Hz.value_or(base.f_max)};
    if (task.plays && !solver::can_play(base))
        throw InputError({source.file()}, "--play", "no driver has the figures to be played, see examples/FORMAT.md");
    begin_report(axes, task, base.name, run);
    run.mark = run_mark(fmt::format("{}|{}|{}|{}", source.text(), task.plays, task.f_max, run.report.accuracy));

    const bool is_helper = is_helper_rank();
    if (!is_helper && !request.json.empty()) require_writable_file(request.json, "--json");
    if (!is_helper && !request.report.empty()) require_page(request.report);
    if (csv.has_parent_path() && request.csv.empty()) {
        require_writable_folder(folder, "--out");
        if (!is_helper) create_folder(folder);
    } else if (!is_helper) {
        require_writable_file(csv, "--csv");
    }
    std::unique_ptr<GrowingFile> file;
    std::size_t n_kept = 0;
    if (!is_helper) {
        file = std::make_unique<GrowingFile>(csv, request.starts_afresh);
        if (file->before().empty())
            file->add(vary_header(run.report.axes));
        else
            take_earlier(file->before(), csv, run);
    }
    for (std::size_t i = 0; i < run.grid.size(); ++i)
        if (run.report.rows[i].problem.empty() && run.report.rows[i].mass == 0) run.open.push_back(i);
    n_kept = run.grid.size() - run.open.size();
    if (n_kept > 0)
        fmt::print(streams.err, "{} of {} variants were computed before and are kept ({})\n", n_kept, run.grid.size(),
                   csv.string());

    compute_open(request, source, axes, task, run, file.get(), streams);
    if (!is_helper) tell(request, source, run.report, folder, csv, streams);
}

} // namespace

void add_vary(CLI::App& program, Action& action)
{
    CLI::App* verb =
        program.add_subcommand("vary", "One or two numbers of a cabinet over their ranges: curves, heat maps");
    verb->footer(example);

    // Shared by the options and the action, which outlives this function.
    const auto request = std::make_shared<VaryRequest>();
    verb->add_option("FILE", request->file, "The cabinet's description (YAML)")->required()->option_text(" ");
    verb->add_option("--change", request->change,
                     "Place in the file, such as boards.left.thickness; several with commas change together")
        ->take_all()
        ->expected(1)
        ->option_text("PLACE");
    verb->add_option("--over", request->over, "Its values: \"12, 15, 18\" or \"120 to 320 by 20\"")
        ->take_all()
        ->expected(1)
        ->option_text("VALUES");
    verb->add_flag("--play", request->plays, "Play the drivers and judge levels (slower)")->option_text(" ");
    verb->add_option("--upper", request->upper_Hz, "Upper frequency in Hz, instead of the file's")
        ->check(number_within(50, 6000, "frequency", "Hz"))
        ->option_text("HZ");
    add_accuracy(*verb, request->accuracy, "the meshes");
    verb->add_option("--csv", request->csv, "File of the results; default vary.csv in the folder of --out")
        ->option_text("FILE");
    verb->add_option("--json", request->json, "Write all figures as JSON")->option_text("FILE");
    add_report_option(*verb, request->report);
    verb->add_flag("--afresh", request->starts_afresh, "Throw away what the file holds instead of going on from it")
        ->option_text(" ");
    verb->add_option("--jobs", request->jobs, "Processes at a time; default: as many as cores")
        ->check(CLI::Range(1, 512))
        ->option_text("N");
    verb->add_option("--out", request->out, "Folder for plots; default stillwall-out/NAME")->option_text("DIR");
    verb->add_flag_callback(
            "--no-plots", [request] { request->has_plots = false; }, "Draw no plots")
        ->option_text(" ");
    verb->callback([request, &action] { action = [request](const Streams& streams) { vary(*request, streams); }; });
}

} // namespace stillwall::app
