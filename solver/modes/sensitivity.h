#pragma once
// What every uncertain figure does to every mode: the ground of the bands, of odds and of learning from measurements.

#include <Eigen/Core>

#include <string>
#include <vector>

namespace stillwall::solver {

/// A figure with a range that the prediction rests on.
struct UncertainFigure
{
    enum class Kind
    {
        InPlane,         ///< in-plane moduli of a material, moving together; of an isotropic one all moduli
        TransverseShear, ///< its other shear moduli, together
        Density,
        Loss,            ///< its loss factor
        SpringStiffness, ///< of a joint, support, mount, rear tie, basket's rocking or flange
        SpringLoss,
        MotorStiffness, ///< of a basket along its driver's axis: the motor's frequency squared
        RimShare        ///< share of a driver's mass that lies along its rim
    };
    Kind kind = Kind::InPlane;
    std::string part; ///< name of the material, joint, support or driver
};

/// The ends of a figure's range lie this many standard deviations from its typical value (a judgement: a range holds 95
/// %).
inline constexpr double range_deviations = 2;

/// Rows are modes, columns figures; logarithms are natural.
struct Sensitivity
{
    std::vector<UncertainFigure> figures;
    Eigen::MatrixXd ln_f;    ///< ∂ln f/∂ln p
    Eigen::MatrixXd ln_loss; ///< ∂ln η/∂ln p; 0 for a mode without loss
    Eigen::MatrixXd to_low;  ///< ln(low/typical) ≤ 0 of the figure's range, as it is at the mode's frequency
    Eigen::MatrixXd to_high; ///< ln(high/typical) ≥ 0

    [[nodiscard]] Eigen::Index n_modes() const { return ln_f.rows(); }
    [[nodiscard]] Eigen::Index n_figures() const { return ln_f.cols(); }
};

} // namespace stillwall::solver
