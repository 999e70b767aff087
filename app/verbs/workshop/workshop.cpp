#include "app/verbs/workshop/workshop.h"

#include "app/verbs/common/commands.h"
#include "app/verbs/common/computation.h"
#include "app/verbs/workshop/workshop_report.h"
#include "app/write/cabinet_report.h"
#include "app/write/files.h"
#include "app/write/fit_note.h"
#include "mesh/cabinet/build.h"
#include "mesh/cabinet/names.h"

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
    "  stillwall workshop examples/13-choose-before-cutting/cabinet.yaml\n"
    "\nBoards for sale, kerf and trim stand under 'workshop' in the file. For each board a DXF (mm; layers OUTLINE, "
    "CUTOUT,\n"
    "MARK, REBATE, DRILL) and a dimensioned drawing (SVG) go to the folder of --out, and the boards laid out.";

struct WorkshopRequest
{
    fs::path file, json, report, out;
    std::string variant;
    bool has_drawings = true;
};

CabinetPlan chosen_plan(const CabinetSource& source, const std::string& variant)
{
    if (variant.empty()) return source.plan();
    const std::vector<std::string>& names = source.variants();
    const auto found = std::find(names.begin(), names.end(), variant);
    if (found == names.end())
        throw InputError({source.file()}, "--variant",
                         fmt::format("no variant is called '{}', {}", variant, name_hint(variant, names)));
    return source.variant(static_cast<std::size_t>(found - names.begin()));
}

void write_drawings(const fs::path& folder, const WorkshopReport& report, const Streams& streams)
{
    create_folder(folder);
    for (std::size_t p = 0; p < report.parts.size(); ++p) {
        const std::string stem = part_file(report.parts[p].name);
        write_whole_file(folder / (stem + ".dxf"), part_dxf(report, p));
        write_whole_file(folder / (stem + ".svg"), part_svg(report, p));
    }
    fmt::print(streams.out, "\n  Files   {}: each board with its cut-outs, for a CAD program and with dimensions\n",
               (folder / "BOARD.dxf, BOARD.svg").string());
    if (report.layout.sheets.empty()) return;
    write_whole_file(folder / "boards-laid-out.svg", sheets_svg(report));
    fmt::print(streams.out, "          {}: parts on the boards to buy\n", (folder / "boards-laid-out.svg").string());
}

WorkshopReport report_of(const CabinetSource& source, const CabinetPlan& plan, const Cabinet& cabinet,
                         const Bookkeeping& books)
{
    std::vector<SawnPart> parts = sawn_parts(plan, cabinet, books);
    std::vector<SawnPart> blanks = blanks_of(parts);
    SheetLayout layout = lay_out(blanks, source.workshop());
    return {cabinet,
            books,
            source.workshop(),
            std::move(parts),
            std::move(blanks),
            std::move(layout),
            volume_lines(cabinet),
            stability_of(cabinet)};
}

/// Result and drawings for a page.
PageRun page_run(const WorkshopReport& report)
{
    PageRun run{.verb = "workshop", .result = workshop_json(report)};
    if (!report.layout.sheets.empty()) run.drawings.push_back({"boards laid out", sheets_svg(report)});
    for (std::size_t p = 0; p < report.parts.size(); ++p)
        run.drawings.push_back({report.parts[p].name, part_svg(report, p)});
    return run;
}

void to_workshop(const WorkshopRequest& request, const Streams& streams)
{
    if (!request.json.empty()) require_writable_file(request.json, "--json");
    if (!request.report.empty()) require_page(request.report);
    const fs::path folder = request.out.empty() ? output_folder({}, request.file) / "workshop" : request.out;
    if (request.has_drawings) require_writable_folder(folder, "--out");
    const CabinetSource source(request.file);
    const CabinetPlan plan = chosen_plan(source, request.variant);
    const Cabinet cabinet = build_cabinet(plan);
    const Bookkeeping books = bookkeeping(cabinet);
    const WorkshopReport report = report_of(source, plan, cabinet, books);

    streams.out << workshop_text(report) << std::flush;
    print_warnings(fit_notes(cabinet), streams);
    if (!request.json.empty()) write_whole_file(request.json, workshop_json(report));
    if (request.has_drawings) write_drawings(folder, report, streams);
    if (!request.report.empty())
        finish_page(request.report, cabinet,
                    {cabinet_run({cabinet, books, outer_size(plan)}, source.record()), page_run(report)}, streams);
}

} // namespace

PageRun workshop_run(const CabinetSource& source, const CabinetPlan& plan, const Cabinet& cabinet,
                     const Bookkeeping& books)
{
    return page_run(report_of(source, plan, cabinet, books));
}

void add_workshop(CLI::App& program, Action& action)
{
    CLI::App* verb =
        program.add_subcommand("workshop", "Cut list, boards laid out, drawings (DXF, SVG), weights, tipping");
    verb->footer(example);

    // Shared by the options and the action, which outlives this function.
    const auto request = std::make_shared<WorkshopRequest>();
    verb->add_option("FILE", request->file, "The cabinet's description (YAML)")->required()->option_text(" ");
    verb->add_option("--variant", request->variant, "One of the file's variants instead of the cabinet as drawn")
        ->option_text("NAME");
    verb->add_option("--json", request->json, "Write all figures as JSON")->option_text("FILE");
    add_report_option(*verb, request->report);
    verb->add_option("--out", request->out, "Folder for the drawings; default stillwall-out/NAME/workshop")
        ->option_text("DIR");
    verb->add_flag_callback(
            "--no-drawings", [request] { request->has_drawings = false; }, "Write no drawings")
        ->option_text(" ");
    verb->callback(
        [request, &action] { action = [request](const Streams& streams) { to_workshop(*request, streams); }; });
}

} // namespace stillwall::app
