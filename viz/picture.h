#pragma once
// Pictures and viewer files of a shell mesh. Gets plain arrays, never solver types; no VTK here.

#include "mesh/core/shell_mesh.h"

#include <filesystem>
#include <string>
#include <vector>

namespace stillwall::viz {

/// What is drawn of one mode.
struct ModeFrame
{
    std::string title;    ///< e.g. "mode 3   412 Hz ± 6 %"
    std::string subtitle; ///< e.g. "sides breathe, Q 48"
    Eigen::Matrix3Xd displacement; ///< shape (3, n_nodes), any scale
};

/// Names written on the boards: text and the place (on the undeformed board).
struct Label
{
    std::string text;
    Vector3d at = Vector3d::Zero();
    Vector3d normal = Vector3d::UnitZ(); ///< label shown only when the board faces the camera
};

struct Scene
{
    const ShellMesh* mesh = nullptr; ///< not owned
    std::vector<std::string> board_names;
    std::vector<Label> labels;
    /// Sharp edges and hole rims as polylines of node indices, drawn deformed with the shape.
    std::vector<std::vector<int>> edges;
};

struct PictureOptions
{
    int width_px = 1200, height_px = 900;
    double deform_fraction = 0.06; ///< largest drawn displacement as a fraction of the box diagonal
};

/// Writes one PNG per frame, and a contact sheet with all frames when `sheet` is not empty.
/// Needs a display (see ensure_display). @throws RenderError
void write_pictures(const Scene& scene, const std::vector<ModeFrame>& frames,
                    const std::vector<std::filesystem::path>& files, const std::filesystem::path& sheet,
                    const PictureOptions& options);

/// Writes all frames as point vectors of one VTU file, with the board index per cell. No display needed.
void write_vtu(const Scene& scene, const std::vector<ModeFrame>& frames, const std::filesystem::path& file);

} // namespace stillwall::viz
