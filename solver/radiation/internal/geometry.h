#pragma once
// The radiating surface, its image, and the static integrals of the near pairs of panels.

#include "solver/radiation/boundary.h"
#include "solver/radiation/internal/panel_sums.h"

namespace stillwall::solver::internal {

/// Panels that radiate together: the surface itself or its image.
struct Source
{
    PanelRules rules;
    std::vector<std::vector<NearPanel>> near_of_row; ///< seen from each centroid of the surface, by rising panel number
};

struct RadiatingGeometry
{
    RadiationSetting setting;
    std::vector<Source> sources; ///< the surface, then its image if there is a plane
    double volume_radius = 0;    ///< of the ball of the volume enclosed by all sources [m]

    [[nodiscard]] const PanelSurface& surface() const { return sources.front().rules.surface; }
};

/// Row seen from centroid i.
void fill_row(const RadiatingGeometry& geometry, Eigen::Index i, double k, OperatorRow& row);

/// Row seen from any point in the air. @throws DomainError the point lies inside the surface, on it, or behind the
/// plane
void fill_row(const RadiatingGeometry& geometry, const Eigen::Vector3d& x, double k, OperatorRow& row);

[[nodiscard]] std::shared_ptr<const RadiatingGeometry> make_geometry(const PanelSurface& surface,
                                                                     const RadiationSetting& setting);

} // namespace stillwall::solver::internal
