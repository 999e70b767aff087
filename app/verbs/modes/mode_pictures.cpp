#include "app/verbs/modes/mode_pictures.h"

#include "app/workers/scene.h"
#include "app/write/files.h"
#include "app/write/numbers.h"
#include "app/write/progress.h"

#include <fmt/format.h>
#include <fmt/ostream.h>

#include <algorithm>

namespace stillwall::app {
namespace {

namespace fs = std::filesystem;

constexpr const char* viewer_file = "modes.vtu";
constexpr const char* sheet_file = "modes.png";

viz::ModeFrame frame_of(const ModesReport& report, int index)
{
    const solver::Mode& mode = report.result.modes.at(static_cast<std::size_t>(index));
    viz::ModeFrame frame;
    frame.title = fmt::format("mode {}   {} Hz", index + 1, with_band(mode.f_Hz, mode.f_low_Hz, mode.f_high_Hz));
    frame.subtitle = mode.shape_name;
    if (mode.loss > 0)
        frame.subtitle += fmt::format("{}Q {}", frame.subtitle.empty() ? "" : ", ", significant(mode.Q, 2));
    frame.displacement = report.result.shapes.col(index).reshaped(3, report.result.drawn.n_nodes());
    return frame;
}

/// Modes that get a picture of their own.
std::vector<int> chosen_modes(const ModesReport& report, bool all)
{
    std::vector<int> chosen;
    if (all)
        for (int i = 0; i < static_cast<int>(report.result.modes.size()); ++i) chosen.push_back(i);
    else
        for (const std::size_t m : first_to_hear(report.judged)) chosen.push_back(static_cast<int>(m));
    std::sort(chosen.begin(), chosen.end());
    return chosen;
}

/// Draws into the scratch folder. @return the names of the single pictures
std::vector<std::string> write_pictures(const viz::Scene& scene, const std::vector<viz::ModeFrame>& frames,
                                        const std::vector<int>& chosen, const ScratchFolder& scratch,
                                        const Streams& streams)
{
    std::vector<std::string> names;
    std::vector<fs::path> files(frames.size()); // an empty path: on the sheet only
    for (const int i : chosen) {
        names.push_back(fmt::format("mode-{:02}.png", i + 1));
        files[static_cast<std::size_t>(i)] = scratch.path(names.back());
    }
    Progress progress(streams.err, streams.err_is_terminal);
    viz::PictureOptions options;
    const double n_pictures = static_cast<double>(names.size()) + 1; // and the sheet
    options.on_picture = [&](int n_done) { progress.show("drawing", n_done / n_pictures); };
    progress.show("drawing", 0);
    viz::write_pictures(scene, frames, files, scratch.path(sheet_file), options);
    return names;
}

} // namespace

void draw_modes(const ModesReport& report, const ShellMesh& mesh, const PictureTask& task, const Streams& streams)
{
    const viz::Scene scene = scene_of(report.cabinet, mesh);
    std::vector<viz::ModeFrame> frames;
    for (int i = 0; i < static_cast<int>(report.result.modes.size()); ++i) frames.push_back(frame_of(report, i));

    const ScratchFolder scratch(task.folder);
    viz::write_vtu(scene, frames, scratch.path(viewer_file));
    scratch.keep(viewer_file);
    fmt::print(streams.out, "\n  Files   {}: shapes for a general viewer\n", (task.folder / viewer_file).string());

    try {
        const std::vector<std::string> names =
            write_pictures(scene, frames, chosen_modes(report, task.all), scratch, streams);
        for (const std::string& name : names) scratch.keep(name);
        scratch.keep(sheet_file);
        fmt::print(streams.out, "          {}: all shapes on one sheet\n", (task.folder / sheet_file).string());
        if (!names.empty())
            fmt::print(streams.out, "          {}: {}\n", (task.folder / "mode-NN.png").string(),
                       fmt::format("{} of {} modes, each by itself", names.size(), frames.size()));
    } catch (const RenderError& error) {
        if (!task.is_forgiving) throw;
        fmt::print(streams.err, "warning: no pictures: {}\n", error.what());
    }
}

} // namespace stillwall::app
