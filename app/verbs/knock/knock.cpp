#include "app/input/knock_files.h"
#include "app/verbs/common/commands.h"
#include "app/verbs/common/computation.h"
#include "app/verbs/common/validators.h"
#include "app/verbs/knock/knock_report.h"
#include "app/write/files.h"
#include "app/write/progress.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <filesystem>
#include <memory>

namespace stillwall::app {
namespace {

constexpr const char* example =
    "\nExample:\n"
    "  stillwall knock side-1.wav side-2.wav --json side.json\n"
    "\nSeveral knocks at one place, in one recording or in several. 'stillwall explain' holds them against a cabinet.";

struct KnockRequest
{
    std::vector<std::filesystem::path> files;
    solver::KnockSetting setting;
    std::filesystem::path json, report; ///< empty: not written
};

/// The first file's name, and how many came with it.
std::string title_of(const std::vector<std::filesystem::path>& files)
{
    const std::string first = files.front().filename().string();
    return files.size() == 1 ? first : fmt::format("{} and {} more", first, files.size() - 1);
}

void analyse(const KnockRequest& request, const Streams& streams)
{
    if (!request.json.empty()) require_writable_file(request.json, "--json");
    if (!request.report.empty()) require_page(request.report);
    if (!(request.setting.f_from < request.setting.f_to)) throw InputError({}, "", "--from must lie below --to");
    Progress progress(streams.err, streams.err_is_terminal);
    progress.show("looking for what rings", 0);
    const KnockFiles files = read_knocks(request.files);
    const solver::KnockResult result = knocks_of(files, request.setting);
    progress.clear();
    const KnockReport report{files.understood, result,
                             files.functions.empty() ? solver::knock_spectrum(files.recordings, result)
                                                     : solver::transfer_spectrum(files.functions, result)};
    streams.out << knock_text(report) << std::flush;
    if (!request.json.empty()) write_whole_file(request.json, knock_json(report));
    if (!request.report.empty())
        finish_page(request.report, title_of(request.files), {{.verb = "knock", .result = knock_json(report)}},
                    streams);
}

} // namespace

void add_knock(CLI::App& program, Action& action)
{
    CLI::App* verb = program.add_subcommand("knock", "Frequencies and Q of what rings in recorded knocks");
    verb->footer(example);

    // Shared by the options and the action, which outlives this function.
    const auto request = std::make_shared<KnockRequest>();
    verb->add_option("WAV", request->files, "Recordings (WAV, AIFF, FLAC), or transfer functions (.unv, .uff)")
        ->required()
        ->option_text("...");
    verb->add_option("--from", request->setting.f_from, "Lowest frequency looked for; default 60")
        ->check(number_within(20, 5000, "frequency", "Hz"))
        ->option_text("HZ");
    verb->add_option("--to", request->setting.f_to, "Highest frequency looked for; default 2000")
        ->check(number_within(100, 6000, "frequency", "Hz"))
        ->option_text("HZ");
    verb->add_option("--json", request->json, "Write all figures as JSON")->option_text("FILE");
    add_report_option(*verb, request->report);
    verb->callback([request, &action] { action = [request](const Streams& streams) { analyse(*request, streams); }; });
}

} // namespace stillwall::app
