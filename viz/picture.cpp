#include "viz/picture.h"

#include "viz/display.h"
#include "viz/internal/child_process.h"
#include "viz/internal/module_api.h"

#include <fmt/core.h>

#include <cstdlib>

#include <dlfcn.h>

namespace stillwall::viz {
namespace {

/// Opens the drawing module: beside the program as built or as installed, else where the system looks.
void* open_module()
{
    std::error_code trouble;
    const auto program = std::filesystem::read_symlink("/proc/self/exe", trouble).parent_path();
    constexpr const char* name = "libstillwall_viz.so";
    for (const auto& file : {program / "../lib" / name, program / "../lib/stillwall" / name, program / name}) {
        if (!std::filesystem::exists(file, trouble)) continue;
        if (void* module = ::dlopen(file.c_str(), RTLD_NOW | RTLD_LOCAL)) return module;
        throw RenderError(fmt::format("the drawing module cannot be loaded: {}", ::dlerror()));
    }
    if (void* module = ::dlopen(name, RTLD_NOW | RTLD_LOCAL)) return module;
    throw RenderError(fmt::format("the drawing module is missing: {}", ::dlerror()));
}

/// The module stays open: it is only ever loaded into a child process that ends after one job.
template <class Function> Function* find_function(const char* name)
{
    void* const symbol = ::dlsym(open_module(), name);
    if (symbol == nullptr)
        throw RenderError(fmt::format("the drawing module has no {}: it is of another version", name));
    return reinterpret_cast<Function*>(symbol);
}

void require(bool is_met, const std::string& problem)
{
    if (!is_met) throw DomainError(problem);
}

void check(const Scene& scene, const std::vector<ModeFrame>& frames)
{
    require(scene.mesh != nullptr && !scene.mesh->quads.empty(), "a mesh with elements is wanted, got none");
    const int n_boards = static_cast<int>(scene.board_names.size()), n_nodes = scene.mesh->n_nodes();
    require(scene.board_is_brace.empty() || scene.board_is_brace.size() == scene.board_names.size(),
            fmt::format("{} boards, but {} brace flags", n_boards, scene.board_is_brace.size()));
    require(scene.mesh->nodes.allFinite(), "node coordinates that are not finite");
    for (const ShellMesh::Quad& quad : scene.mesh->quads) {
        require(quad.board >= 0 && quad.board < n_boards,
                fmt::format("an element of board {}, but only {} names", quad.board, n_boards));
        for (const int node : quad.node)
            require(node >= 0 && node < n_nodes, fmt::format("an element with node {} of {}", node, n_nodes));
    }
    for (const ModeFrame& frame : frames) {
        require(frame.displacement.cols() == n_nodes,
                fmt::format("displacements of {} nodes wanted, got {}", n_nodes, frame.displacement.cols()));
        require(frame.displacement.allFinite(),
                fmt::format("displacements that are not finite in \"{}\"", frame.title));
    }
}

void check(const PictureOptions& options)
{
    require(options.width_px >= 800 && options.width_px <= 4000 && options.height_px >= 600 &&
                options.height_px <= 3000,
            fmt::format("a picture of 800 x 600 to 4000 x 3000 px is wanted, got {} x {}", options.width_px,
                        options.height_px));
    require(options.deform_fraction >= 0 && options.deform_fraction <= 0.5,
            fmt::format("a deformation of 0 to 0.5 of the smallest side is wanted, got {}", options.deform_fraction));
}

} // namespace

void write_pictures(const Scene& scene, const std::vector<ModeFrame>& frames,
                    const std::vector<std::filesystem::path>& files, const std::filesystem::path& sheet,
                    const PictureOptions& options)
{
    check(scene, frames);
    check(options);
    require(files.empty() || files.size() == frames.size(),
            fmt::format("{} frames, but {} files", frames.size(), files.size()));
    if (frames.empty()) return;

    const Display display = ensure_display();
    int n_written = 0;
    const auto on_report = [&] {
        ++n_written;
        if (options.on_picture) options.on_picture(n_written);
    };
    run_in_child(
        [&](const std::function<void()>& report) {
            ::setenv("DISPLAY", display.name().c_str(), 1); // NOLINT(concurrency-mt-unsafe): alone in the child
            PictureOptions reporting = options;
            reporting.on_picture = [&report](int) { report(); };
            find_function<decltype(stillwall_viz_write_pictures)>("stillwall_viz_write_pictures")(scene, frames, files,
                                                                                                  sheet, reporting);
        },
        on_report);
}

void write_vtu(const Scene& scene, const std::vector<ModeFrame>& frames, const std::filesystem::path& file)
{
    check(scene, frames);
    run_in_child(
        [&](const std::function<void()>&) {
            find_function<decltype(stillwall_viz_write_vtu)>("stillwall_viz_write_vtu")(scene, frames, file);
        },
        [] {});
}

} // namespace stillwall::viz
