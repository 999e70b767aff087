#include "app/input/strip_file.h"
#include "app/verbs/common/commands.h"
#include "app/verbs/strip/strip_report.h"
#include "app/write/files.h"
#include "app/write/progress.h"

#include <CLI/CLI.hpp>

#include <filesystem>
#include <memory>

namespace stillwall::app {
namespace {

constexpr const char* example =
    "\nExample:\n"
    "  stillwall strip examples/strip-01-mdf/strip.yaml --yaml material.yaml\n"
    "\nThe file's keys are told in examples/strip-01-mdf/README.md. A bar of 400 × 50 × 18 mm on two threads and a\n"
    "phone that shows the spectrum are enough.";

struct StripRequest
{
    std::filesystem::path file;
    std::filesystem::path json, yaml; ///< empty: not written
};

void evaluate_strips(const StripRequest& request, const Streams& streams)
{
    if (!request.json.empty()) require_writable_file(request.json, "--json");
    if (!request.yaml.empty()) require_writable_file(request.yaml, "--yaml");

    const MaterialLibrary library = load_materials(default_materials_dir());
    const StripPlan plan = read_strips(request.file);
    Progress progress(streams.err, streams.err_is_terminal);
    progress.show("strips", 0);
    std::vector<solver::StripResult> results;
    for (const PlacedStrip& strip : plan.strips) results.push_back(evaluate(strip));
    progress.clear();
    const StripReport report{plan, results};
    const MaterialEntry entry = material_entry(report, library);
    const std::string yaml = material_yaml(report, entry);

    streams.out << strip_text(report);
    if (request.yaml.empty()) streams.out << "\nFor the cabinet file:\n\n" << yaml;
    streams.out << std::flush;
    if (!request.yaml.empty()) write_whole_file(request.yaml, yaml);
    if (!request.json.empty()) write_whole_file(request.json, strip_json(report, entry));
}

} // namespace

void add_strip(CLI::App& program, Action& action)
{
    CLI::App* verb = program.add_subcommand("strip", "Moduli and loss of a board from how a strip of it rings");
    verb->footer(example);

    // Shared by the options and the action, which outlives this function.
    const auto request = std::make_shared<StripRequest>();
    verb->add_option("FILE", request->file, "What was measured on the strip (YAML)")->required()->option_text(" ");
    verb->add_option("--yaml", request->yaml, "Write the material entry there instead of printing it")
        ->option_text("FILE");
    verb->add_option("--json", request->json, "Write all figures as JSON")->option_text("FILE");
    verb->callback(
        [request, &action] { action = [request](const Streams& streams) { evaluate_strips(*request, streams); }; });
}

} // namespace stillwall::app
