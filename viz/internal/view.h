#pragma once
// Parallel projection of the cabinet into a rectangle of the picture, and what is seen in it.

#include "viz/internal/drawing.h"
#include "viz/internal/surface.h"

#include <optional>

namespace stillwall::viz {

/// x_px = scale · axes · x + shift; the third row of axes points to the viewer.
struct View
{
    Eigen::Matrix3d axes = Eigen::Matrix3d::Identity(); ///< rows: right, up, towards the viewer
    double scale = 1;                                   ///< [px/m]
    Vector3d shift = Vector3d::Zero();                  ///< [px]

    [[nodiscard]] Vector3d project(const Vector3d& x) const { return scale * (axes * x) + shift; }
    [[nodiscard]] Vector3d towards_viewer() const { return axes.row(2).transpose(); }
};

/// Looks at the cabinet from the front, the right and above.
[[nodiscard]] Eigen::Matrix3d front_right_above();

/// What the cabinet takes up along the axes of a view.
struct Extent
{
    Vector3d low = Vector3d::Zero(), high = Vector3d::Zero(); ///< [m]
};

/// Extent of `points`, shape (3, n), with `reserve` [m] on all sides.
[[nodiscard]] Extent seen_extent(const Eigen::Matrix3d& axes, const Eigen::Matrix3Xd& points, double reserve);

/// The largest scale [px/m] at which the extent fits into an area.
[[nodiscard]] double fitting_scale(const Extent& extent, const Rectangle& area);

/// The view with that scale, centred.
[[nodiscard]] View fit_view(const Eigen::Matrix3d& axes, const Extent& extent, const Rectangle& area);

/// Which board is in front at each cell of a coarse raster over `area`; −1: none.
struct BoardRaster
{
    Rectangle area;
    double cell = 4; ///< [px]
    int columns = 0, rows = 0;
    std::vector<int> board; ///< shape (rows × columns), row 0 at the bottom
};

/// @param is_drawn  shape (n_boards)
[[nodiscard]] BoardRaster raster_boards(const Surface& surface, const View& view, const std::vector<bool>& is_drawn,
                                        const Rectangle& area);

/// Centre of a place for a text of this size that lies wholly on the visible part of a board, as near to
/// the middle of that part as can be; none when the text does not fit.
[[nodiscard]] std::optional<Vector2d> place_on_board(const BoardRaster& raster, int board, double width, double height);

} // namespace stillwall::viz
