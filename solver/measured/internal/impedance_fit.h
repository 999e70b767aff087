#pragma once
// Least squares of an impedance model.

#include "solver/measured/impedance_model.h"

namespace stillwall::solver::internal {

/// Which figures are free, in the order of ImpedanceFit::covariance.
struct Free
{
    bool exponent = true;
    bool b = true; ///< of every hump
    bool Re = true;
};

/// All figures in the order of ImpedanceFit::covariance, and the model they make; Le in H.
[[nodiscard]] Eigen::VectorXd figures_of(const ImpedanceModel& model);
/// @param like  with as many humps and steps
[[nodiscard]] ImpedanceModel model_of(const Eigen::VectorXd& figures, const ImpedanceModel& like);

/// One weighted fit from a start; the humps keep its order.
/// @param weight  per point: 1/noise, scaled down where a point is to count less
[[nodiscard]] ImpedanceModel refined(const Sweep& sweep, const Eigen::VectorXd& weight, const ImpedanceModel& start,
                                     Free free);

/// Derivatives of what is compared (Re and Im, or |Z|) by the figures, weighted; rows as weighted_residual().
[[nodiscard]] Eigen::MatrixXd weighted_slopes(const Sweep& sweep, const Eigen::VectorXd& weight,
                                              const ImpedanceModel& model);

/// Model − sweep; real parts then imaginary parts, or of |Z| alone.
[[nodiscard]] Eigen::VectorXd weighted_residual(const Sweep& sweep, const Eigen::VectorXd& weight,
                                                const ImpedanceModel& model);

/// |model − sweep| per point [ohm].
[[nodiscard]] Eigen::VectorXd distances(const Sweep& sweep, const ImpedanceModel& model);

struct JointFit
{
    ImpedanceModel model; ///< humps in the order of the start
    Eigen::MatrixXd covariance;
    double misfit = 0;
};
/// All figures of a model from a good start, every b free, points far off counting less.
[[nodiscard]] JointFit fit_all(const Sweep& sweep, const Eigen::VectorXd& noise, const ImpedanceModel& start,
                               Free free);

/// A start by scanning over frequencies and Qs, the other figures by linear least squares.
/// @throws DomainError  no hump
[[nodiscard]] ImpedanceModel scanned_start(const Sweep& sweep, int n_humps);

} // namespace stillwall::solver::internal
