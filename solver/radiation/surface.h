#pragma once
// A vibrating surface as flat panels, apart from any finite-element mesh, and the air around it.

#include "mesh/cabinet/air.h"

#include <Eigen/Core>

#include <array>
#include <vector>

namespace stillwall::solver {

/// One flat panel: a triangle or a convex quadrilateral, on which pressure and velocity are constant.
/// Corners run anticlockwise seen from the air, so that the normal points into the air.
struct Panel
{
    std::array<Eigen::Vector3d, 4> corners; ///< [m]; the fourth is used only when n_corners is 4
    int n_corners = 0;                      ///< 3 or 4
    Eigen::Vector3d centroid;               ///< [m]
    Eigen::Vector3d normal;                 ///< unit length, into the air
    double area = 0;                        ///< [m²]
    double diameter = 0;                    ///< longest distance between two corners [m]
};

struct PanelSurface
{
    std::vector<Panel> panels;

    [[nodiscard]] Eigen::Index size() const { return static_cast<Eigen::Index>(panels.size()); }
};

/// Corners by number into a list of vertices; −1 in the last place makes a triangle.
using PanelCorners = std::array<int, 4>;

/// Panels from vertices [m] and their corners. A quadrilateral may be out of flat by 1 % of its diameter; its corners
/// are then moved into the mean plane.
/// @throws DomainError on a corner out of range, a panel without area, or a quadrilateral that is not flat or not
/// convex
[[nodiscard]] PanelSurface make_panel_surface(const std::vector<Eigen::Vector3d>& vertices,
                                              const std::vector<PanelCorners>& faces);

/// Areas of the panels [m²], one per panel.
[[nodiscard]] Eigen::VectorXd areas(const PanelSurface& surface);

/// A rigid plane of infinite extent; air on the side to which the normal points.
struct RigidPlane
{
    Eigen::Vector3d point;  ///< any point of the plane [m]
    Eigen::Vector3d normal; ///< not zero; need not be of unit length
};

/// The surface seen in the plane as in a mirror; normals still point into the (mirrored) air.
[[nodiscard]] PanelSurface mirrored(const PanelSurface& surface, const RigidPlane& plane);

/// Largest error of Gauss's theorem seen from some fifty panels: the solid angle of all other panels must be 2π, so
/// |Ω/4π − ½| is 0 for a closed surface with outward normals (1e-12 by round-off), else of the order of the hole.
/// `mirror` adds the image of a surface that stands open on a rigid plane; an empty surface adds nothing.
[[nodiscard]] double closure_error(const PanelSurface& surface, const PanelSurface& mirror);

} // namespace stillwall::solver
