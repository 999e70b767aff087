#pragma once
// Sound of a vibrating part of an infinite rigid plane (Rayleigh's integral): a check on the boundary elements and the
// classic measure of a panel's radiation. Time factor e^{+jωt}, peak amplitudes, as in boundary.h.

#include "solver/radiation/boundary.h"

namespace stillwall::solver {

/// p(x) = (jωρ/2π) Σ v_j ∫ e^{−jkr}/r dS on the plane and in front of it.
/// @param plane      panels, all in one plane and facing the same way
/// @param velocity   normal velocity [m/s], shape (panels, cases)
/// @param frequency  [Hz], > 0
/// @return           [Pa], shape (points, cases)
/// @throws DomainError  panels not in one plane, a point behind it, wrong number of rows, frequency ≤ 0
[[nodiscard]] Eigen::MatrixXcd baffled_pressure(const PanelSurface& plane, const Air& air, double frequency,
                                                const Eigen::MatrixXcd& velocity, const Points& points);

/// W = ½ Σ_ij v_i* R_ij v_j with R_ij = (ρ c k²/2π) A_i A_j sin(kr_ij)/(kr_ij): each panel a small piston,
/// second order in its size. Real arithmetic, no digits lost as k → 0.
/// @return  [W], one per case
/// @throws DomainError as above
[[nodiscard]] Eigen::VectorXd baffled_power(const PanelSurface& plane, const Air& air, double frequency,
                                            const Eigen::MatrixXcd& velocity);

/// σ = W/(½ ρ c Σ A_j |v_j|²), one per case.
/// @throws DomainError as above, or a case without motion
[[nodiscard]] Eigen::VectorXd radiation_efficiency(const Air& air, const Eigen::VectorXd& area,
                                                   const Eigen::MatrixXcd& velocity, const Eigen::VectorXd& power);

} // namespace stillwall::solver
