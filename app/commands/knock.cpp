#include "app/commands/knock.h"

#include "app/commands/commands.h"
#include "app/commands/validators.h"
#include "app/input/wav_file.h"
#include "app/output/files.h"
#include "app/output/knock_report.h"
#include "mesh/core/error.h"

#include <CLI/CLI.hpp>

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
    std::filesystem::path json; ///< empty: not written
};

void analyse(const KnockRequest& request, const Streams& streams)
{
    if (!request.json.empty()) require_writable_file(request.json, "--json");
    if (!(request.setting.f_from < request.setting.f_to))
        throw InputError({}, "", "--from must lie below --to");
    std::vector<solver::Recording> recordings;
    std::vector<std::string> understood;
    for (const std::filesystem::path& file : request.files) {
        ReadRecording read = read_recording(file);
        understood.push_back(file.string() + ": " + read.understood);
        recordings.push_back(std::move(read.recording));
    }
    const solver::KnockResult result = knocks_of(recordings, request.setting);
    const KnockReport report{understood, result};
    streams.out << knock_text(report) << std::flush;
    if (!request.json.empty()) write_whole_file(request.json, knock_json(report));
}

} // namespace

solver::KnockResult knocks_of(const std::vector<solver::Recording>& recordings, const solver::KnockSetting& setting)
{
    try {
        return solver::analyse_knocks(recordings, setting);
    } catch (const DomainError& error) { // recordings are input: what is wrong with them is the user's to mend
        throw InputError({}, "", error.what());
    }
}

void add_knock(CLI::App& program, Action& action)
{
    CLI::App* verb = program.add_subcommand("knock", "Frequencies and Q of what rings in recorded knocks");
    verb->footer(example);

    // Shared by the options and the action, which outlives this function.
    const auto request = std::make_shared<KnockRequest>();
    verb->add_option("WAV", request->files, "Recordings (WAV, AIFF, FLAC)")->required()->option_text("...");
    verb->add_option("--from", request->setting.f_from, "Lowest frequency looked for; default 60")
        ->check(number_within(20, 5000, "frequency", "Hz"))
        ->option_text("HZ");
    verb->add_option("--to", request->setting.f_to, "Highest frequency looked for; default 2000")
        ->check(number_within(100, 6000, "frequency", "Hz"))
        ->option_text("HZ");
    verb->add_option("--json", request->json, "Write all figures as JSON")->option_text("FILE");
    verb->callback([request, &action] { action = [request](const Streams& streams) { analyse(*request, streams); }; });
}

} // namespace stillwall::app
