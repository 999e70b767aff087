#pragma once
// A stretch of a band on which modal radiation is one polynomial of frequency, made from few solves.

#include "solver/radiation/modal_radiation.h"

namespace stillwall::solver::internal {

/// What one solve gives, reduced to smooth quantities: real part even, imaginary part odd in frequency.
struct ReducedRadiation
{
    Eigen::MatrixXcd Z; ///< Z e^{jωτ_Z}/(jωρ), shape (loaded, loaded)
    Eigen::MatrixXcd T; ///< T e^{jωτ_T}/(jωρ), shape (points, shapes)
};

/// The delays taken out.
struct Delays
{
    double impedance = 0;     ///< τ_Z [s]
    Eigen::MatrixXd transfer; ///< τ_T [s], shape (points, shapes)
};

/// What the echoes look like, from the coarsest level.
struct Echoes
{
    Delays delays;
    double range = 0;  ///< longest minus shortest way of what matters [m]
    double radius = 0; ///< of the ball of the enclosed volume [m]
};

/// Straight: the mean distance of a shape from a point, weighted with A s². What is left of the phase lies between
/// sound from the nearest part and sound that went round the body, or by the plane: the delays taken out bring the
/// middle of that range to zero. Within Z the echo from the plane is weak and counts half.
[[nodiscard]] Echoes make_echoes(const RadiatingLevel& level, const Points& points, const RadiationSetting& setting);

/// One level with its shapes, ready to be solved.
class LevelSolver
{
public:
    /// @param n_loaded  shapes with an impedance; the others get T only, by transposed solves, one per point
    LevelSolver(const RadiatingLevel& level, const RadiationSetting& setting, const Points& points,
                const Delays& delays, Eigen::Index n_loaded);

    [[nodiscard]] ReducedRadiation solve(double frequency) const;

private:
    ExteriorRadiation radiation_;
    Eigen::MatrixXd shapes_;
    Eigen::MatrixXcd loaded_; ///< the first shapes, shape (panels, loaded)
    Eigen::MatrixXd forces_;  ///< diag(A) times these
    Points points_;
    const Delays* delays_;
};

/// Weights c with g(f) ≈ Σ c_i g(f_i), and with mirrored nodes + Σ c_{n+i} g(f_i)*: Lagrange's polynomial.
[[nodiscard]] Eigen::VectorXd lagrange_weights(const std::vector<double>& nodes, bool is_mirrored, double frequency);

/// That sum, of the values at the nodes and weights from lagrange_weights(). Real and imaginary parts apart:
///     c g + c′ g* = (c + c′) Re g + j (c − c′) Im g
[[nodiscard]] Eigen::MatrixXcd weighted_sum(const Eigen::VectorXd& weights,
                                            const std::vector<Eigen::MatrixXcd>& values);

/// The next node after the given ones: where the product of the distances to all of them (and to their mirror images)
/// is largest in f_low … f_high (Leja's points: nested, and as good as Chebyshev's).
/// @source Reichel, BIT 30 (1990) 332
[[nodiscard]] double next_node(const std::vector<double>& nodes, bool is_mirrored, double f_low, double f_high);

/// How far a guess is from what was solved, relative; the worst of: Z, mean over its entries with each shape scaled to
/// |Z_ii| = 1; its diagonal's worst entry; and each point's row of T, mean over the shapes times `scale`.
[[nodiscard]] double miss(const ReducedRadiation& guess, const ReducedRadiation& solved, const Eigen::VectorXd& scale);

} // namespace stillwall::solver::internal
