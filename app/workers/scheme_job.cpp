#include "app/workers/scheme_job.h"

#include "app/workers/apart.h"
#include "app/workers/scene.h"
#include "app/workers/sound_meshes.h"
#include "app/write/files.h"
#include "app/write/numbers.h"
#include "app/write/page_geometry.h"
#include "mesh/cabinet/build.h"
#include "mesh/cabinet/build_sound.h"
#include "mesh/core/morph.h"
#include "mesh/gmsh/mesher.h"
#include "mesh/sawing/blanks.h"
#include "solver/drive/curve_points.h"
#include "solver/drive/verdicts.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>

namespace stillwall::app {
namespace {

namespace fs = std::filesystem;
using solver::Accuracy, solver::SchemeFigures;

/// Pictures: the first mode of the boards, the loudest wall, and all of them on one sheet.
void draw_pictures(const Cabinet& cabinet, const ShellMesh& mesh, const Eigen::MatrixXd& shapes,
                   const SchemeFigures& figures, const fs::path& folder, DrawnScheme& drawn)
{
    const std::vector<std::size_t> walls = solver::wall_modes(figures);
    std::vector<viz::ModeFrame> frames;
    std::vector<std::string> names(walls.size());
    for (std::size_t k = 0; k < walls.size(); ++k) {
        const solver::SchemeMode& mode = figures.modes[walls[k]];
        viz::ModeFrame frame;
        frame.title =
            (mode.band ? with_band(mode.f_Hz, mode.band->low_Hz, mode.band->high_Hz) : in_hertz(mode.f_Hz)) + " Hz";
        frame.subtitle = mode.name + (mode.worst ? fmt::format(", {:.0f} dB", mode.worst->level_dB) : std::string());
        frame.displacement = shapes.col(static_cast<Eigen::Index>(k)).reshaped(3, mesh.n_nodes());
        frames.push_back(std::move(frame));
        if (walls[k] == figures.loudest) names[k] = "loudest.png";
        if (walls[k] == figures.first) names[k] = "first.png";
    }
    const ScratchFolder scratch(folder);
    std::vector<fs::path> files;
    for (const std::string& name : names) files.push_back(name.empty() ? fs::path() : scratch.path(name));
    try {
        viz::write_pictures(scene_of(cabinet, mesh), frames, files, scratch.path("modes.png"), {});
    } catch (const RenderError& error) {
        drawn.computed.warnings.push_back(fmt::format("no pictures: {}", error.what()));
        return;
    }
    for (const std::string& name : names)
        if (!name.empty()) scratch.keep(name);
    scratch.keep("modes.png");
    // One mode may be both.
    if (figures.loudest && figures.loudest == figures.first)
        fs::copy_file(folder / "first.png", folder / "loudest.png", fs::copy_options::overwrite_existing);
    drawn.has_pictures = true;
}

/// Shapes for a page, the nearest to the ear first.
std::string geometry_of(const Cabinet& cabinet, const ShellMesh& mesh, const Eigen::MatrixXd& shapes,
                        const SchemeFigures& figures, std::size_t most_bytes)
{
    const std::vector<std::size_t> walls = solver::wall_modes(figures);
    std::vector<PageShape> order;
    for (std::size_t k = 0; k < walls.size(); ++k)
        order.push_back({.number = static_cast<int>(walls[k]) + 1, .column = static_cast<Eigen::Index>(k)});
    const auto nearness = [&](const PageShape& shape) {
        return solver::nearness_dB(figures.modes[static_cast<std::size_t>(shape.number - 1)]);
    };
    std::stable_sort(order.begin(), order.end(),
                     [&](const PageShape& a, const PageShape& b) { return nearness(a) > nearness(b); });
    return page_geometry(cabinet, mesh, shapes, order, most_bytes);
}

/// @param shapes  of the wall modes, in their order
void draw(const Cabinet& cabinet, const ShellMesh& mesh, const Eigen::MatrixXd& shapes, const ShapesWanted& wanted,
          DrawnScheme& drawn)
{
    const SchemeFigures& figures = drawn.computed.figures;
    if (solver::wall_modes(figures).empty()) return;
    if (!wanted.folder.empty()) draw_pictures(cabinet, mesh, shapes, figures, wanted.folder, drawn);
    if (wanted.geometry_bytes > 0) drawn.geometry = geometry_of(cabinet, mesh, shapes, figures, wanted.geometry_bytes);
}

void add_curves(const solver::SoundResult& result, ComputedScheme& scheme)
{
    const solver::HeardCurves& heard = result.listeners.at(worst_listener(result));
    scheme.frequency = result.frequency;
    for (Eigen::Index i = 0; i < heard.walls.size(); ++i)
        scheme.walls_dB.push_back(solver::level_against(std::abs(heard.walls[i]), heard.reference[i]));
    const Eigen::VectorXd impedance = result.ways.at(0).impedance.cwiseAbs();
    scheme.impedance.assign(impedance.begin(), impedance.end());
}

void play(const CabinetPlan& plan, const Cabinet& cabinet, const SchemeTask& task, const ShapesWanted& wanted,
          DrawnScheme& drawn)
{
    ComputedScheme& scheme = drawn.computed;
    SoundSetting setting = build_sound(plan, cabinet);
    // Levels against the direct sound do not depend on the voltage, unless others play besides; a level over a band
    // would need all of the band.
    if (!setting.rest) {
        setting.volts = setting.volts.value_or(2.83);
        setting.level_dB.reset();
    }
    if (task.wants_curves) {
        std::erase_if(setting.frequencies, [&](double f) { return f > task.f_max; });
        if (setting.frequencies.empty() || setting.frequencies.back() < task.f_max)
            setting.frequencies.push_back(task.f_max);
    } else {
        // A few frequencies carry the levels: each mode is judged at its own peak.
        setting.frequencies.clear();
        for (double f = 40; f < task.f_max; f *= std::cbrt(2.0)) setting.frequencies.push_back(f);
        setting.frequencies.push_back(task.f_max);
    }
    Progress progress; // the parent tells
    const Meshes meshes = mesh_all(cabinet, setting.frequencies.back(), task.accuracy, progress);
    const solver::SoundResult result = solver::analyse_sound(cabinet, setting, meshes.for_solver(), {});
    scheme.figures = solver::figures_of(cabinet, result);
    scheme.warnings = result.warnings;
    if (task.wants_curves) add_curves(result, scheme);
    const std::vector<std::size_t> walls = solver::wall_modes(scheme.figures);
    Eigen::MatrixXd shapes(result.shapes.rows(), static_cast<Eigen::Index>(walls.size()));
    for (std::size_t k = 0; k < walls.size(); ++k)
        shapes.col(static_cast<Eigen::Index>(k)) = result.shapes.col(result.modes[walls[k]].wall.value());
    draw(cabinet, result.drawn, shapes, wanted, drawn);
}

/// The base's mesh moved to this cabinet; nothing when it does not fit, would be too coarse or come out badly shaped.
std::optional<ShellMesh> moved_mesh(const Cabinet& cabinet, double size, const MeshBase& base)
{
    constexpr double coarser = 0.97,
                     worst_shape = 0.3; // of the rule's size; scaled Jacobian, fresh meshes have 0.3 to 0.6
    if (size < coarser * base.element_size) return std::nullopt;
    try {
        ShellMesh mesh = morph(base.mesh, base.cabinet, cabinet);
        const double allowed = std::min(worst_shape, 0.7 * mesh_quality(base.mesh).min_scaled_jacobian);
        if (mesh_quality(mesh).min_scaled_jacobian >= allowed) return mesh;
    } catch (const DomainError&) {
        // Another layout: it gets a mesh of its own.
    }
    return std::nullopt;
}

ShellMesh mesh_of(const Cabinet& cabinet, const SchemeTask& task, const MeshBase* base)
{
    const double size = solver::element_size_for(cabinet, task.f_max, points_per_wave(task.accuracy));
    if (base)
        if (std::optional<ShellMesh> moved = moved_mesh(cabinet, size, *base)) return std::move(*moved);
    return mesh::mesh_shell(cabinet, {.element_size = size});
}

void ring(const CabinetPlan& plan, const Cabinet& cabinet, const SchemeTask& task, const MeshBase* base,
          const ShapesWanted& wanted, DrawnScheme& drawn)
{
    ComputedScheme& scheme = drawn.computed;
    const ShellMesh mesh = mesh_of(cabinet, task, base);
    solver::ModesOptions options;
    options.f_max = task.f_max;
    options.quick = task.accuracy == Accuracy::Draft;
    if (task.wants_worth) options.worth_of = &plan;
    const solver::ModesResult result = solver::analyse_modes(cabinet, mesh, options);
    scheme.figures = solver::figures_of(cabinet, result);
    scheme.worth = result.worth;
    draw(cabinet, result.drawn, result.shapes, wanted, drawn);
}

DrawnScheme run(CabinetPlan plan, const WorkshopPlan& workshop, const SchemeTask& task, const MeshBase* base,
                const ShapesWanted& wanted)
{
    const auto start = std::chrono::steady_clock::now();
    plan.f_max = task.f_max;
    const Cabinet cabinet = build_cabinet(plan);
    DrawnScheme drawn;
    ComputedScheme& scheme = drawn.computed;
    const std::vector<SawnPart> parts = blanks_of(sawn_parts(plan, cabinet, bookkeeping(cabinet)));
    scheme.price = price_by_area(parts, workshop);
    const SheetLayout layout = lay_out(parts, workshop);
    for (const UsedSheet& sheet : layout.sheets) scheme.n_cuts += sheet.n_cuts;
    if (!layout.sheets.empty())
        for (const SawnPart& part : parts) scheme.n_cuts += part.n_cutouts;
    if (task.plays)
        play(plan, cabinet, task, wanted, drawn);
    else
        ring(plan, cabinet, task, base, wanted, drawn);
    scheme.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    return drawn;
}

} // namespace

MeshBase mesh_base(CabinetPlan plan, double f_max, solver::Accuracy accuracy)
{
    plan.f_max = f_max;
    MeshBase base{build_cabinet(plan), {}, 0};
    base.element_size = solver::element_size_for(base.cabinet, f_max, points_per_wave(accuracy));
    base.mesh = mesh::mesh_shell(base.cabinet, {.element_size = base.element_size});
    return base;
}

ComputedScheme compute_scheme(const CabinetPlan& plan, const WorkshopPlan& workshop, const SchemeTask& task,
                              const MeshBase* base)
{
    return run(plan, workshop, task, base, {}).computed;
}

DrawnScheme compute_and_draw(const CabinetPlan& plan, const WorkshopPlan& workshop, const SchemeTask& task,
                             const ShapesWanted& wanted)
{
    return run(plan, workshop, task, nullptr, wanted);
}

solver::SchemeComputer scheme_computer(int at_most)
{
    return {.compute = [](const CabinetPlan& plan, const WorkshopPlan& workshop,
                          const SchemeTask& task) { return compute_scheme(plan, workshop, task); },
            .apart = [at_most](std::size_t n, const auto& job,
                               const auto& done) { compute_apart(n, job, done, {.at_most = at_most}); }};
}

} // namespace stillwall::app
