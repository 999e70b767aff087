#pragma once
// What radiating surfaces do to the air, from the pressure on them: pressure elsewhere and power.

#include "solver/radiation/internal/geometry.h"

#include <numbers>

namespace stillwall::test {

/// p(x) = M p − L q, q = −jωρ v, at points in the air.
/// @param velocity, pressure  on the surface, shape (panels, cases), [m/s] and [Pa]
/// @return                    [Pa], shape (points, cases)
inline Eigen::MatrixXcd pressure_at(const solver::Points& points, const solver::PanelSurface& surface,
                                    const solver::RadiationSetting& setting, double frequency,
                                    const Eigen::MatrixXcd& velocity, const Eigen::MatrixXcd& pressure)
{
    const auto geometry = solver::internal::make_geometry(surface, setting);
    const double omega = 2 * std::numbers::pi * frequency;
    const std::complex<double> q_per_v(0, -omega * setting.air.density);
    Eigen::MatrixXcd found(points.cols(), velocity.cols());
    for (Eigen::Index i = 0; i < points.cols(); ++i) {
        solver::internal::OperatorRow row;
        solver::internal::fill_row(*geometry, Eigen::Vector3d(points.col(i)), omega / setting.air.sound_speed, row);
        found.row(i) = row.double_layer.transpose() * pressure;
        found.row(i) -= q_per_v * (row.single_layer.transpose() * velocity);
    }
    return found;
}

/// W = ½ Re Σ A_j p_j v_j*, mean over a period of peak amplitudes [W], one per case.
inline Eigen::VectorXd radiated_power(const solver::PanelSurface& surface, const Eigen::MatrixXcd& velocity,
                                      const Eigen::MatrixXcd& pressure)
{
    const Eigen::MatrixXcd flow = areas(surface).asDiagonal() * velocity;
    return 0.5 * (flow.conjugate().array() * pressure.array()).real().colwise().sum().transpose();
}

} // namespace stillwall::test
