#include "tests/solver/rayleigh.h"

#include "mesh/cabinet/error.h"
#include "solver/radiation/internal/panel_sums.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver {

using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXd;
using internal::Complex;

namespace {

constexpr double two_pi = 2 * std::numbers::pi;

void check(const PanelSurface& plane, const Air& air, double frequency, const MatrixXcd& velocity)
{
    if (plane.size() == 0) throw DomainError("baffled panel: no panels");
    if (!(frequency > 0) || !(air.density > 0) || !(air.sound_speed > 0))
        throw DomainError("baffled panel: frequency, density and sound speed must be > 0");
    if (velocity.rows() != plane.size())
        throw DomainError(
            fmt::format("baffled panel: velocity has {} rows, the plane {} panels", velocity.rows(), plane.size()));
    const Panel& first = plane.panels.front();
    for (const Panel& panel : plane.panels) {
        const double height = std::abs(first.normal.dot(panel.centroid - first.centroid));
        if (height > 1e-6 * first.diameter || first.normal.dot(panel.normal) < 1 - 1e-9)
            throw DomainError("baffled panel: the panels do not lie in one plane");
    }
}

} // namespace

MatrixXcd baffled_pressure(const PanelSurface& plane, const Air& air, double frequency, const MatrixXcd& velocity,
                           const Points& points)
{
    check(plane, air, frequency, velocity);
    const double k = two_pi * frequency / air.sound_speed;
    const internal::PanelRules rules(plane);
    const Panel& first = plane.panels.front();
    internal::OperatorRow row;
    MatrixXcd rows(points.cols(), plane.size());
    for (Index i = 0; i < points.cols(); ++i) {
        const internal::Observer x{points.col(i), first.normal};
        if (!(first.normal.dot(x.point - first.centroid) > -1e-9 * first.diameter))
            throw DomainError("baffled panel: a point lies behind the plane");
        row.set_zero(plane.size());
        internal::add_panels(rules, internal::near_panels(rules, x), x, k, row);
        rows.row(i) = row.single_layer.transpose();
    }
    // The rigid plane doubles the field of the panels.
    return Complex(0, 2 * two_pi * frequency * air.density) * (rows * velocity);
}

VectorXd baffled_power(const PanelSurface& plane, const Air& air, double frequency, const MatrixXcd& velocity)
{
    check(plane, air, frequency, velocity);
    const double k = two_pi * frequency / air.sound_speed;
    const MatrixXcd flow = areas(plane).asDiagonal() * velocity;
    MatrixXd kernel(plane.size(), plane.size());
    for (Index i = 0; i < plane.size(); ++i) {
        for (Index j = 0; j < i; ++j) {
            const double kr = k * (plane.panels[i].centroid - plane.panels[j].centroid).norm();
            kernel(i, j) = kernel(j, i) = std::sin(kr) / kr;
        }
        kernel(i, i) = 1;
    }
    const double scale = air.density * air.sound_speed * k * k / two_pi;
    return 0.5 * scale *
           (flow.conjugate().array() * (kernel.cast<Complex>() * flow).array()).real().colwise().sum().transpose();
}

VectorXd radiation_efficiency(const Air& air, const VectorXd& area, const MatrixXcd& velocity, const VectorXd& power)
{
    if (velocity.rows() != area.size() || velocity.cols() != power.size())
        throw DomainError("radiation efficiency: areas, velocities and powers do not fit together");
    const VectorXd reference = 0.5 * air.density * air.sound_speed * (velocity.cwiseAbs2().transpose() * area);
    if (!(reference.minCoeff() > 0)) throw DomainError("radiation efficiency: a case without motion");
    return power.cwiseQuotient(reference);
}

} // namespace stillwall::solver
