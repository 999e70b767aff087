#include "app/input/sweep_file.h"
#include "app/input/sweep_options.h"
#include "app/verbs/common/commands.h"
#include "app/verbs/driver/driver_report.h"
#include "app/write/files.h"
#include "app/write/progress.h"
#include "mesh/cabinet/error.h"

#include <CLI/CLI.hpp>

#include <memory>

namespace stillwall::app {
namespace {

namespace fs = std::filesystem;

constexpr const char* example =
    "\nExample:\n"
    "  stillwall driver free_air.txt --mass \"10 g=with_mass.txt\" --sd \"133 cm2\"\n"
    "\nThe driver alone, held by its magnet, cone upright. Sweeps are columns of text: Hz, ohm, degrees\n"
    "(examples/MEASURED.md).";

struct DriverRequest
{
    fs::path sweep, pair; ///< empty: none
    std::string mass, box, Sd, Re;
    fs::path json, yaml;
};

struct Measured
{
    ReadSweep read;
    solver::DriverFigures figures;
};

/// @param Re  [ohm] by a meter, of this unit
Measured measured(const fs::path& file, std::optional<double> Re = {})
{
    ReadSweep read = read_sweep(file);
    try {
        const solver::DriverFigures figures = solver::driver_figures(read.sweep, Re);
        return {std::move(read), figures};
    } catch (const DomainError& error) {
        throw InputError({file.string()}, "", error.what());
    }
}

DriverReport evaluated(const DriverRequest& request)
{
    constexpr double mass_error = 0.005, volume_error = 0.01; // kitchen scales; a ruler
    DriverReport report;
    std::optional<double> Re;
    if (!request.Re.empty()) Re = resistance_of("--re", request.Re);
    const Measured bare = measured(request.sweep, Re);
    const auto note = [&](const Measured& m, const std::string& what) {
        report.understood.push_back(m.read.sweep.name + ": " + m.read.understood + what);
    };
    note(bare, "");
    report.figures = bare.figures;
    if (!request.Sd.empty()) report.Sd = area_of("--sd", request.Sd);
    if (!request.mass.empty()) {
        const SweepWith with = mass_and_file("--mass", request.mass);
        const Measured loaded = measured(with.file, Re);
        note(loaded, "; with the mass added");
        report.by_mass = solver::figures_by_added_mass(bare.figures, loaded.figures,
                                                       {with.amount, mass_error * with.amount}, report.Sd);
    }
    if (!request.box.empty()) {
        const SweepWith with = volume_and_file("--box", request.box);
        const Measured boxed = measured(with.file, Re);
        note(boxed, "; in the closed box");
        report.by_box =
            solver::figures_by_box(bare.figures, boxed.figures, {with.amount, volume_error * with.amount}, report.Sd);
    }
    if (!request.pair.empty()) {
        const Measured other = measured(request.pair);
        note(other, "; the second unit");
        report.other = other.figures;
        report.pair = solver::match_pair(bare.read.sweep, bare.figures, other.read.sweep, other.figures);
    }
    return report;
}

void evaluate(const DriverRequest& request, const Streams& streams)
{
    if (!request.json.empty()) require_writable_file(request.json, "--json");
    if (!request.yaml.empty()) require_writable_file(request.yaml, "--yaml");
    DriverReport report;
    Progress progress(streams.err, streams.err_is_terminal);
    progress.show("fitting the curves", 0);
    try {
        report = evaluated(request);
    } catch (const DomainError& error) { // sweeps that contradict each other are input
        throw InputError({}, "", error.what());
    }
    progress.clear();
    streams.out << driver_text(report);
    if (request.yaml.empty()) streams.out << "\nFor the cabinet file:\n\n  " << driver_yaml(report);
    streams.out << std::flush;
    if (!request.yaml.empty()) write_whole_file(request.yaml, driver_yaml(report));
    if (!request.json.empty()) write_whole_file(request.json, driver_json(report));
}

} // namespace

void add_driver(CLI::App& program, Action& action)
{
    CLI::App* verb =
        program.add_subcommand("driver", "Small-signal figures of a driver from its impedance; two units compared");
    verb->footer(example);

    // Shared by the options and the action, which outlives this function.
    const auto request = std::make_shared<DriverRequest>();
    verb->add_option("SWEEP", request->sweep, "Impedance of the driver in free air")->required()->option_text(" ");
    verb->add_option("--mass", request->mass, "Sweep with a known mass on the cone: \"10 g=FILE\"")
        ->option_text("M=FILE");
    verb->add_option("--box", request->box, "Sweep in a closed box of known net volume: \"20 l=FILE\"")
        ->option_text("V=FILE");
    verb->add_option("--sd", request->Sd, "Area of the cone, with its unit: \"133 cm2\"")->option_text("AREA");
    verb->add_option("--re", request->Re, "Resistance of the coil by a meter, leads taken off: \"5.6 ohm\"")
        ->option_text("OHM");
    verb->add_option("--pair", request->pair, "Sweep of a second unit")->option_text("FILE");
    verb->add_option("--yaml", request->yaml, "Write the keys for the cabinet file there instead of printing them")
        ->option_text("FILE");
    verb->add_option("--json", request->json, "Write all figures as JSON")->option_text("FILE");
    verb->callback([request, &action] { action = [request](const Streams& streams) { evaluate(*request, streams); }; });
}

} // namespace stillwall::app
