#pragma once
// Fills a drawing's triangles and sets its type, with VTK. Needs a display.

#include "viz/internal/drawing.h"

#include <filesystem>
#include <memory>

namespace stillwall::viz {

/// A picture in memory; row 0 is the lowest.
struct Image
{
    int width = 0, height = 0;
    std::vector<std::uint8_t> rgb; ///< shape (height, width, 3)

    Image(int width_px, int height_px);
    /// Copies `part` so that its lower left corner comes to (left, bottom). Must lie inside.
    void paste(const Image& part, int left, int bottom);
};

/// One off-screen window, reused for every drawing.
class Canvas
{
public:
    Canvas();
    ~Canvas();
    Canvas(const Canvas&) = delete;
    Canvas& operator=(const Canvas&) = delete;

    [[nodiscard]] Image render(const Drawing& drawing, int width_px, int height_px);
    [[nodiscard]] double text_width(const std::string& text, const TextStyle& style);

private:
    struct Parts;
    std::unique_ptr<Parts> parts_; ///< keeps VTK's headers out of this one
};

/// Writes a PNG beside the target and renames it, so that no half-written picture is left. @throws RenderError
void write_png(const Image& image, const std::filesystem::path& file);

} // namespace stillwall::viz
