#pragma once
// Pictures and viewer files of a shell mesh. Gets plain arrays, never solver types; no VTK here.
//
// The drawing code sits in a module of its own (libstillwall_viz.so) which is loaded, in a child
// process, by the first call: a run without pictures does not pay for VTK, and a graphics driver that
// gives up cannot take the caller with it.

#include "mesh/core/shell_mesh.h"

#include <array>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace stillwall::viz {

/// What is drawn of one mode.
struct ModeFrame
{
    std::string title;             ///< e.g. "mode 3   412 Hz ± 6 %"
    std::string subtitle;          ///< e.g. "sides breathe, Q 48"
    Eigen::Matrix3Xd displacement; ///< shape (3, n_nodes), any scale and sign
};

/// The cabinet to draw. Board edges, hole rims and the places of the names are found from the mesh.
struct Scene
{
    const ShellMesh* mesh = nullptr;           ///< not owned
    std::vector<std::string> board_names;      ///< shape (n_boards)
    std::vector<bool> board_is_brace;          ///< shape (n_boards), or empty: all are walls
    std::vector<std::array<Vector3d, 2>> rods; ///< ends [m], drawn as bars between the nearest nodes
};

struct PictureOptions
{
    int width_px = 1200, height_px = 900; ///< 800 to 4000 and 600 to 3000
    double deform_fraction = 0.14; ///< largest drawn displacement as a fraction of the box's smallest side, 0 to 0.5
    std::function<void(int)> on_picture; ///< called with the count of pictures written so far; may be empty
};

/// Writes one PNG per frame, and a contact sheet with all frames when `sheet` is not empty.
/// Starts a virtual display when there is none (display.h).
/// @param files  shape (frames.size()), an empty path: no picture of that frame; or no files: the contact sheet only
/// @throws RenderError   no display can be had, or a file cannot be written
/// @throws DomainError   arrays of the wrong shape, numbers that are not finite
void write_pictures(const Scene& scene, const std::vector<ModeFrame>& frames,
                    const std::vector<std::filesystem::path>& files, const std::filesystem::path& sheet,
                    const PictureOptions& options);

/// Writes all frames as point vectors of one VTU file, with the board index per cell. No display needed.
/// @throws RenderError, DomainError  as above
void write_vtu(const Scene& scene, const std::vector<ModeFrame>& frames, const std::filesystem::path& file);

} // namespace stillwall::viz
