#include "solver/radiation/surface.h"

#include "mesh/cabinet/error.h"
#include "solver/radiation/internal/static_integrals.h"

#include <Eigen/Geometry>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver {

using Eigen::Vector3d;

namespace {

[[noreturn]] void refuse(std::size_t number, const char* problem)
{
    throw DomainError(fmt::format("radiating surface, panel {}: {}", number, problem));
}

/// Normal times area of the flat polygon (half the cross product of the diagonals).
Vector3d vector_area(const Panel& panel)
{
    const auto& c = panel.corners;
    if (panel.n_corners == 3) return 0.5 * (c[1] - c[0]).cross(c[2] - c[0]);
    return 0.5 * (c[2] - c[0]).cross(c[3] - c[1]);
}

void flatten(Panel& panel, std::size_t number)
{
    if (panel.n_corners == 3) return;
    const Vector3d middle = 0.25 * (panel.corners[0] + panel.corners[1] + panel.corners[2] + panel.corners[3]);
    for (Vector3d& corner : panel.corners) {
        const double height = panel.normal.dot(corner - middle);
        if (std::abs(height) > 0.01 * panel.diameter)
            refuse(number, "not flat within 1 % of its diameter; use two triangles");
        corner -= height * panel.normal;
    }
    for (std::size_t i = 0; i < 4; ++i) {
        const Vector3d before = panel.corners[(i + 1) % 4] - panel.corners[i];
        const Vector3d after = panel.corners[(i + 2) % 4] - panel.corners[(i + 1) % 4];
        if (panel.normal.dot(before.cross(after)) <= 0) refuse(number, "not convex; use two triangles");
    }
}

Panel complete(Panel panel, std::size_t number)
{
    for (int i = 0; i < panel.n_corners; ++i) {
        for (int j = 0; j < i; ++j)
            panel.diameter = std::max(panel.diameter, (panel.corners[i] - panel.corners[j]).norm());
    }
    const Vector3d area = vector_area(panel);
    panel.area = area.norm();
    if (!(panel.area > 1e-12 * panel.diameter * panel.diameter)) refuse(number, "no area");
    panel.normal = area / panel.area;
    flatten(panel, number);
    // Centroid of the one or two triangles that share corner 0.
    panel.centroid.setZero();
    for (int i = 2; i < panel.n_corners; ++i) {
        const auto& c = panel.corners;
        const double part = 0.5 * panel.normal.dot((c[i - 1] - c[0]).cross(c[i] - c[0]));
        panel.centroid += part / (3 * panel.area) * (c[0] + c[i - 1] + c[i]);
    }
    return panel;
}

} // namespace

PanelSurface make_panel_surface(const std::vector<Vector3d>& vertices, const std::vector<PanelCorners>& faces)
{
    PanelSurface surface;
    surface.panels.reserve(faces.size());
    for (std::size_t number = 0; number < faces.size(); ++number) {
        Panel panel;
        panel.corners.fill(Vector3d::Zero());
        panel.n_corners = faces[number][3] < 0 ? 3 : 4;
        for (int i = 0; i < panel.n_corners; ++i) {
            const int corner = faces[number][i];
            if (corner < 0 || corner >= static_cast<int>(vertices.size()))
                refuse(number, "corner not in the list of vertices");
            if (!vertices[corner].allFinite()) refuse(number, "corner is not finite");
            panel.corners[i] = vertices[corner];
        }
        surface.panels.push_back(complete(panel, number));
    }
    return surface;
}

Eigen::VectorXd areas(const PanelSurface& surface)
{
    Eigen::VectorXd result(surface.size());
    for (Eigen::Index i = 0; i < surface.size(); ++i) result[i] = surface.panels[i].area;
    return result;
}

PanelSurface mirrored(const PanelSurface& surface, const RigidPlane& plane)
{
    const Vector3d n = plane.normal.normalized();
    if (!n.allFinite() || n.norm() < 0.5) throw DomainError("rigid plane: the normal must not be zero");
    PanelSurface image = surface;
    for (Panel& panel : image.panels) {
        const auto reflect = [&](const Vector3d& x) -> Vector3d { return x - 2 * n.dot(x - plane.point) * n; };
        for (int i = 0; i < panel.n_corners; ++i) panel.corners[i] = reflect(panel.corners[i]);
        // Reflection turns the sense of rotation round.
        std::reverse(panel.corners.begin(), panel.corners.begin() + panel.n_corners);
        panel.centroid = reflect(panel.centroid);
        panel.normal -= 2 * n.dot(panel.normal) * n;
    }
    return image;
}

double closure_error(const PanelSurface& surface, const PanelSurface& mirror)
{
    const Eigen::Index step = std::max<Eigen::Index>(1, surface.size() / 50);
    double worst = 0;
    for (Eigen::Index i = 0; i < surface.size(); i += step) {
        double sum = 0;
        const Vector3d& x = surface.panels[i].centroid;
        for (const Panel& panel : surface.panels) sum += internal::solid_angle(panel, x);
        for (const Panel& panel : mirror.panels) sum += internal::solid_angle(panel, x);
        worst = std::max(worst, std::abs(sum / (4 * std::numbers::pi) + 0.5));
    }
    return worst;
}

} // namespace stillwall::solver
