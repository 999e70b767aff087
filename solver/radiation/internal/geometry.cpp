#include "solver/radiation/internal/geometry.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/parallel.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver::internal {

using Eigen::Index;
using Eigen::Vector3d;

namespace {

void check_setting(const PanelSurface& surface, const RadiationSetting& setting)
{
    if (surface.size() == 0) throw DomainError("radiating surface: no panels");
    if (!(setting.air.density > 0) || !(setting.air.sound_speed > 0))
        throw DomainError("radiating surface: density and sound speed of the air must be > 0");
    if (!setting.plane) return;
    for (Index i = 0; i < surface.size(); ++i) {
        const Panel& panel = surface.panels[i];
        const double size = panel.diameter;
        const Vector3d n = setting.plane->normal.normalized();
        double lowest = n.dot(panel.centroid - setting.plane->point) - 0.01 * size;
        for (int j = 0; j < panel.n_corners; ++j)
            lowest = std::min(lowest, n.dot(panel.corners[j] - setting.plane->point) + 1e-6 * size);
        if (lowest < 0) {
            throw DomainError(
                fmt::format("radiating surface, panel {}: lies on or behind the rigid plane; leave out panels in "
                            "contact with it",
                            i));
        }
    }
}

/// Radius of the ball that holds as much as the closed surface: V = ⅓ ∫ x·n dS.
double ball_radius(const PanelSurface& surface, const PanelSurface& mirror)
{
    double triple = 0;
    for (const Panel& panel : surface.panels) triple += panel.area * panel.centroid.dot(panel.normal);
    for (const Panel& panel : mirror.panels) triple += panel.area * panel.centroid.dot(panel.normal);
    return std::cbrt(triple / (4 * std::numbers::pi));
}

void check_point(const RadiatingGeometry& geometry, const Vector3d& x)
{
    const auto name = [&] { return fmt::format("field point ({:g}, {:g}, {:g}) m", x[0], x[1], x[2]); };
    if (!x.allFinite()) throw DomainError("field point: not finite");
    if (const auto& plane = geometry.setting.plane; plane && plane->normal.dot(x - plane->point) < 0)
        throw DomainError(name() + ": behind the rigid plane");
    // The solid angle of a closed surface is 0 from outside, −4π from inside.
    double sum = 0;
    for (const Source& source : geometry.sources) {
        for (const Panel& panel : source.rules.surface.panels) sum += solid_angle(panel, x);
    }
    if (sum < -0.01) throw DomainError(name() + ": inside the radiating surface or on it");
}

} // namespace

std::shared_ptr<const RadiatingGeometry> make_geometry(const PanelSurface& surface, const RadiationSetting& setting)
{
    check_setting(surface, setting);
    auto geometry = std::make_shared<RadiatingGeometry>();
    geometry->setting = setting;
    const PanelSurface mirror = setting.plane ? mirrored(surface, *setting.plane) : PanelSurface{};
    geometry->volume_radius = ball_radius(surface, mirror);
    // Exact for any closed surface of flat panels; 1e-6 leaves room for corners that were moved into their plane.
    if (const double error = closure_error(surface, mirror); !(error < 1e-6)) {
        throw DomainError(fmt::format(
            "radiating surface: not closed or normals not outward; Gauss's theorem is off by {:.2g}", error));
    }
    // The image of a panel can be near too, so each source keeps its own list.
    for (const PanelSurface& part : {surface, mirror}) {
        if (part.size() == 0) continue;
        Source source{PanelRules(part), std::vector<std::vector<NearPanel>>(surface.panels.size())};
        for_each_item(surface.panels.size(), [&](std::size_t i) {
            const Panel& panel = surface.panels[i];
            source.near_of_row[i] = near_panels(source.rules, {panel.centroid, panel.normal});
        });
        geometry->sources.push_back(std::move(source));
    }
    return geometry;
}

void fill_row(const RadiatingGeometry& geometry, Index i, double k, OperatorRow& row)
{
    const Panel& panel = geometry.surface().panels[i];
    row.set_zero(geometry.surface().size());
    for (const Source& source : geometry.sources)
        add_panels(source.rules, source.near_of_row[i], {panel.centroid, panel.normal}, k, row);
}

void fill_row(const RadiatingGeometry& geometry, const Vector3d& x, double k, OperatorRow& row)
{
    check_point(geometry, x);
    const Observer observer{x, Vector3d::UnitZ()};
    row.set_zero(geometry.surface().size());
    for (const Source& source : geometry.sources)
        add_panels(source.rules, near_panels(source.rules, observer), observer, k, row);
}

} // namespace stillwall::solver::internal
