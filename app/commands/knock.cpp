#include "app/commands/knock.h"

#include "app/commands/commands.h"
#include "app/commands/validators.h"
#include "app/input/dataset58_file.h"
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
    const KnockFiles files = read_knocks(request.files);
    const solver::KnockResult result = knocks_of(files, request.setting);
    const KnockReport report{files.understood, result};
    streams.out << knock_text(report) << std::flush;
    if (!request.json.empty()) write_whole_file(request.json, knock_json(report));
}

} // namespace

KnockFiles read_knocks(const std::vector<std::filesystem::path>& files)
{
    KnockFiles read;
    for (const std::filesystem::path& file : files) {
        const std::string extension = file.extension().string();
        const bool is_universal = extension == ".unv" || extension == ".uff" || extension == ".uf58" || extension == ".58";
        if (is_universal) {
            ReadTransfer transfer = read_dataset58(file);
            read.understood.push_back(file.string() + ": " + transfer.understood);
            for (solver::TransferFunction& function : transfer.functions) read.functions.push_back(std::move(function));
        } else {
            ReadRecording recording = read_recording(file);
            read.understood.push_back(file.string() + ": " + recording.understood);
            read.recordings.push_back(std::move(recording.recording));
        }
    }
    if (!read.recordings.empty() && !read.functions.empty())
        throw InputError({}, "", "recordings and transfer functions of one board are not mixed; give the one or the other");
    return read;
}

solver::KnockResult knocks_of(const KnockFiles& files, const solver::KnockSetting& setting)
{
    try {
        return files.functions.empty() ? solver::analyse_knocks(files.recordings, setting)
                                       : solver::analyse_transfer(files.functions, setting);
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
    verb->add_option("WAV", request->files, "Recordings (WAV, AIFF, FLAC), or transfer functions (.unv, .uff)")->required()->option_text("...");
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
