#include "app/input/cabinet_source.h"
#include "app/verbs/check/cabinet_drawing.h"
#include "app/verbs/common/commands.h"
#include "app/verbs/common/computation.h"
#include "app/write/assembled_note.h"
#include "app/write/cabinet_report.h"
#include "app/write/damping_note.h"
#include "app/write/files.h"
#include "app/write/fit_note.h"
#include "app/write/record_report.h"
#include "mesh/cabinet/build.h"
#include "mesh/cabinet/build_sound.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <filesystem>
#include <memory>

namespace stillwall::app {
namespace {

constexpr const char* example = "\nExample:\n"
                                "  stillwall check examples/01-small-two-way/cabinet.yaml --drawing cabinet.svg";

struct CheckRequest
{
    std::filesystem::path file;
    std::filesystem::path json, drawing; ///< empty: not written
};

void check_cabinet(const CheckRequest& request, const Streams& streams)
{
    if (!request.json.empty()) require_writable_file(request.json, "--json");
    if (!request.drawing.empty()) require_writable_file(request.drawing, "--drawing");

    const CabinetSource source(request.file);
    const CabinetPlan plan = source.plan();
    const Cabinet cabinet = build_cabinet(plan);
    const Bookkeeping books = bookkeeping(cabinet);
    const CabinetReport report{cabinet, books, outer_size(plan)};

    streams.out << check_text(report) << record_text(source.record()) << assembled_note(cabinet) << std::flush;
    print_warnings(source.notes(), streams);
    print_warnings(damping_notes(report.cabinet), streams);
    print_warnings(fit_notes(cabinet), streams);
    if (solver::can_play(plan)) {
        try {
            static_cast<void>(build_sound(plan, cabinet));
        } catch (const InputError& error) { // the reader has passed it: a limit of the program
            print_warnings({fmt::format("'sound' cannot play it: {}", error.what())}, streams);
        }
    }
    if (!request.json.empty()) write_whole_file(request.json, check_document(report, source.record()));
    if (!request.drawing.empty()) write_whole_file(request.drawing, cabinet_svg(report));
}

} // namespace

void add_check(CLI::App& program, Action& action)
{
    CLI::App* verb =
        program.add_subcommand("check", "Boards, openings, litres, mass, cut list and drawing of a cabinet");
    verb->footer(example);

    // Shared by the options and the action, which outlives this function.
    const auto request = std::make_shared<CheckRequest>();
    verb->add_option("FILE", request->file, "The cabinet's description (YAML)")->required()->option_text(" ");
    verb->add_option("--json", request->json, "Write all figures as JSON")->option_text("FILE");
    verb->add_option("--drawing", request->drawing, "Write three views to scale as SVG")->option_text("FILE");
    verb->callback(
        [request, &action] { action = [request](const Streams& streams) { check_cabinet(*request, streams); }; });
}

} // namespace stillwall::app
