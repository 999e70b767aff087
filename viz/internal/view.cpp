#include "viz/internal/view.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <limits>

namespace stillwall::viz {
namespace {

/// Fills the cells whose middles lie in a triangle, nearest to the viewer first.
void raster_triangle(BoardRaster& raster, std::vector<double>& depth, const std::array<Vector3d, 3>& corner, int board)
{
    const auto cell_of = [&](double px, double origin) { return (px - origin) / raster.cell - 0.5; };
    std::array<Vector3d, 3> p = corner;
    for (Vector3d& q : p) {
        q.x() = cell_of(q.x(), raster.area.left);
        q.y() = cell_of(q.y(), raster.area.bottom);
    }
    const double twice_area =
        (p[1].x() - p[0].x()) * (p[2].y() - p[0].y()) - (p[2].x() - p[0].x()) * (p[1].y() - p[0].y());
    if (std::abs(twice_area) < 1e-9) return;
    const auto [x_low, x_high] = std::minmax({p[0].x(), p[1].x(), p[2].x()});
    const auto [y_low, y_high] = std::minmax({p[0].y(), p[1].y(), p[2].y()});
    const int first_column = std::max(0, static_cast<int>(std::ceil(x_low)));
    const int last_column = std::min(raster.columns - 1, static_cast<int>(std::floor(x_high)));
    const int last_row = std::min(raster.rows - 1, static_cast<int>(std::floor(y_high)));
    for (int row = std::max(0, static_cast<int>(std::ceil(y_low))); row <= last_row; ++row)
        for (int column = first_column; column <= last_column; ++column) {
            const double dx = column - p[0].x(), dy = row - p[0].y();
            const double b = (dx * (p[2].y() - p[0].y()) - (p[2].x() - p[0].x()) * dy) / twice_area;
            const double c = ((p[1].x() - p[0].x()) * dy - dx * (p[1].y() - p[0].y())) / twice_area;
            if (b < -1e-9 || c < -1e-9 || b + c > 1 + 1e-9) continue;
            const double z = p[0].z() + b * (p[1].z() - p[0].z()) + c * (p[2].z() - p[0].z());
            const auto at = static_cast<std::size_t>(row * raster.columns + column);
            if (z <= depth[at]) continue;
            depth[at] = z;
            raster.board[at] = board;
        }
}

} // namespace

Eigen::Matrix3d front_right_above()
{
    const Vector3d towards = Vector3d(0.62, -1.0, 0.52).normalized();
    Eigen::Matrix3d axes;
    axes.row(2) = towards.transpose();
    axes.row(0) = Vector3d::UnitZ().cross(towards).normalized().transpose();
    axes.row(1) = towards.cross(axes.row(0).transpose()).transpose();
    return axes;
}

Extent seen_extent(const Eigen::Matrix3d& axes, const Eigen::Matrix3Xd& points, double reserve)
{
    const Eigen::Matrix3Xd turned = axes * points;
    return {turned.rowwise().minCoeff().array() - reserve, turned.rowwise().maxCoeff().array() + reserve};
}

double fitting_scale(const Extent& extent, const Rectangle& area)
{
    const Vector3d size = extent.high - extent.low;
    return std::min(area.width / size.x(), area.height / size.y());
}

View fit_view(const Eigen::Matrix3d& axes, const Extent& extent, const Rectangle& area)
{
    View view;
    view.axes = axes;
    view.scale = fitting_scale(extent, area);
    view.shift = Vector3d(area.centre_x(), area.centre_y(), 0) - view.scale * (extent.low + extent.high) / 2;
    return view;
}

BoardRaster raster_boards(const Surface& surface, const View& view, const std::vector<bool>& is_drawn,
                          const Rectangle& area)
{
    BoardRaster raster;
    raster.area = area;
    raster.columns = static_cast<int>(area.width / raster.cell);
    raster.rows = static_cast<int>(area.height / raster.cell);
    const auto n_cells = static_cast<std::size_t>(raster.columns) * static_cast<std::size_t>(raster.rows);
    raster.board.assign(n_cells, -1);
    std::vector<double> depth(n_cells, -std::numeric_limits<double>::max());
    const int row = surface.cuts + 1;
    for (std::size_t b = 0; b < surface.boards.size(); ++b) {
        if (!is_drawn[b]) continue;
        for (const int q : surface.boards[b].quads)
            for (int j = 0; j < surface.cuts; ++j)
                for (int i = 0; i < surface.cuts; ++i) {
                    const int at = q * surface.points_per_quad() + j * row + i;
                    const Vector3d p0 = view.project(surface.rest.col(at)), p1 = view.project(surface.rest.col(at + 1));
                    const Vector3d p2 = view.project(surface.rest.col(at + row + 1));
                    const Vector3d p3 = view.project(surface.rest.col(at + row));
                    raster_triangle(raster, depth, {p0, p1, p2}, static_cast<int>(b));
                    raster_triangle(raster, depth, {p0, p2, p3}, static_cast<int>(b));
                }
    }
    return raster;
}

std::optional<Vector2d> place_on_board(const BoardRaster& raster, int board, double width, double height)
{
    // Summed-area table of the board's cells: a rectangle is free when its sum equals its area.
    const int columns = raster.columns, rows = raster.rows;
    std::vector<int> sum(static_cast<std::size_t>((columns + 1) * (rows + 1)), 0);
    const auto at = [columns](int row, int column) { return static_cast<std::size_t>(row * (columns + 1) + column); };
    Vector2d middle = Vector2d::Zero();
    for (int r = 0; r < rows; ++r)
        for (int c = 0; c < columns; ++c) {
            const bool is_here = raster.board[static_cast<std::size_t>(r * columns + c)] == board;
            sum[at(r + 1, c + 1)] = sum[at(r, c + 1)] + sum[at(r + 1, c)] - sum[at(r, c)] + (is_here ? 1 : 0);
            if (is_here) middle += Vector2d(c + 0.5, r + 0.5);
        }
    if (sum.back() == 0) return std::nullopt;
    middle /= sum.back();

    const int w = static_cast<int>(std::ceil(width / raster.cell)),
              h = static_cast<int>(std::ceil(height / raster.cell));
    std::optional<Vector2d> best;
    double nearest = std::numeric_limits<double>::max();
    for (int r = 0; r + h <= rows; ++r)
        for (int c = 0; c + w <= columns; ++c) {
            const int covered = sum[at(r + h, c + w)] - sum[at(r, c + w)] - sum[at(r + h, c)] + sum[at(r, c)];
            const Vector2d centre(c + w / 2.0, r + h / 2.0);
            const double distance = (centre - middle).squaredNorm();
            if (covered != w * h || distance >= nearest) continue;
            nearest = distance;
            best = Vector2d(raster.area.left, raster.area.bottom) + raster.cell * centre;
        }
    return best;
}

} // namespace stillwall::viz
