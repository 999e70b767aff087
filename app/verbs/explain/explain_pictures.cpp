#include "app/verbs/explain/explain_pictures.h"

#include "app/workers/scene.h"
#include "app/write/files.h"
#include "app/write/numbers.h"
#include "viz/picture.h"

#include <fmt/format.h>
#include <fmt/ostream.h>

#include <optional>

namespace stillwall::app {
namespace {

constexpr double likely = 0.3; ///< odds from which a mode is worth a picture

/// The wall mode that most likely makes a reading.
std::optional<int> wall_of(const ExplainReport& report, const solver::ExplainedReading& reading)
{
    if (reading.causes.empty() || !reading.causes[0].candidate || reading.causes[0].odds < likely) return std::nullopt;
    const auto& c = report.explanation.suspects.candidates[static_cast<std::size_t>(*reading.causes[0].candidate)];
    return c.resonance ? report.sound.modes[static_cast<std::size_t>(*c.resonance)].wall : std::nullopt;
}

} // namespace

std::vector<std::string> draw_causes(const ExplainReport& report, const std::filesystem::path& folder,
                                     const Streams& streams)
{
    const auto& readings = report.explanation.readings;
    std::vector<std::string> paths(readings.size());
    std::vector<viz::ModeFrame> frames;
    std::vector<std::string> names;
    for (std::size_t i = 0; i < readings.size(); ++i) {
        const std::optional<int> wall = wall_of(report, readings[i]);
        if (!wall) continue;
        viz::ModeFrame frame;
        frame.title = fmt::format("measured {} Hz", in_hertz(readings[i].reading.f_Hz.value));
        frame.subtitle = fmt::format("{}, odds {}", cause_name(report, readings[i].causes[0]),
                                     in_percent(readings[i].causes[0].odds));
        frame.displacement = report.sound.shapes.col(*wall).reshaped(3, report.sound.drawn.n_nodes());
        frames.push_back(std::move(frame));
        names.push_back(fmt::format("explain-{:02}.png", i + 1));
        paths[i] = (folder / names.back()).string();
    }
    if (frames.empty()) return paths;
    const ScratchFolder scratch(folder);
    std::vector<std::filesystem::path> files;
    for (const std::string& name : names) files.push_back(scratch.path(name));
    try {
        viz::write_pictures(scene_of(report.cabinet, report.sound.drawn), frames, files, {}, {});
    } catch (const RenderError& error) {
        fmt::print(streams.err, "warning: no pictures: {}\n", error.what());
        return std::vector<std::string>(readings.size());
    }
    for (const std::string& name : names) scratch.keep(name);
    fmt::print(streams.out, "\n  Pictures {}: the mode that most likely makes reading NN\n",
               (folder / "explain-NN.png").string());
    return paths;
}

} // namespace stillwall::app
