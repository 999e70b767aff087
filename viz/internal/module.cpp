#include "viz/internal/module_api.h"

#include "viz/internal/canvas.h"
#include "viz/internal/composer.h"
#include "viz/internal/vtu.h"

#include <algorithm>
#include <cmath>
#include <future>
#include <utility>

namespace stillwall::viz {
namespace {

constexpr int cell_width = 300, legend_height = 84; // [px]

void write_sheet(Canvas& canvas, const Composer& composer, const std::vector<ModeFrame>& frames,
                 const std::filesystem::path& file)
{
    // Four columns at least, for the legend's sake, and six at most, for the page's.
    const int n_frames = static_cast<int>(frames.size());
    const int columns = std::clamp(static_cast<int>(std::ceil(std::sqrt(1.5 * n_frames))), 4, 6);
    const int rows = (n_frames + columns - 1) / columns;
    const int cell_height = composer.sheet_cell_height(cell_width);
    Image sheet(columns * cell_width, rows * cell_height + legend_height);
    for (int i = 0; i < n_frames; ++i) {
        const Drawing cell = composer.sheet_cell(frames[static_cast<std::size_t>(i)], cell_width, cell_height);
        const int row = i / columns;
        sheet.paste(canvas.render(cell, cell_width, cell_height), i % columns * cell_width,
                    legend_height + (rows - 1 - row) * cell_height);
    }
    sheet.paste(canvas.render(composer.sheet_legend(sheet.width, legend_height), sheet.width, legend_height), 0, 0);
    write_png(sheet, file);
}

} // namespace
} // namespace stillwall::viz

using namespace stillwall::viz;

void stillwall_viz_write_pictures(const Scene& scene, const std::vector<ModeFrame>& frames,
                                  const std::vector<std::filesystem::path>& files, const std::filesystem::path& sheet,
                                  const PictureOptions& options)
{
    Canvas canvas;
    const Composer composer(scene, options, [&canvas](const std::string& text, const TextStyle& style) {
        return canvas.text_width(text, style);
    });
    // Packing a picture takes about as long as drawing the next one, so the two go on side by side. Not in
    // the solver's pool: this runs in a process forked to draw, where the pool's threads are not.
    int n_written = 0;
    std::future<void> packing;
    const auto finish = [&] {
        if (!packing.valid()) return;
        packing.get();
        if (options.on_picture) options.on_picture(++n_written);
    };
    for (std::size_t i = 0; i < files.size(); ++i) {
        if (files[i].empty()) continue; // on the contact sheet only
        Image image = canvas.render(composer.picture(frames[i]), options.width_px, options.height_px);
        finish();
        packing =
            std::async(std::launch::async, [image = std::move(image), &file = files[i]] { write_png(image, file); });
    }
    finish();
    if (!sheet.empty()) write_sheet(canvas, composer, frames, sheet);
}

void stillwall_viz_write_vtu(const Scene& scene, const std::vector<ModeFrame>& frames,
                             const std::filesystem::path& file)
{
    write_vtu_file(scene, frames, file);
}
