#pragma once
// Rows of transfer from panel velocity to listeners over a band, from few solves of the boundary equation.

#include "solver/radiation/boundary.h"

#include <vector>

namespace stillwall::solver {

/// Where a table is wanted and how exact.
struct TransferBand
{
    double f_low = 20;       ///< [Hz], > 0
    double f_high = 3000;    ///< [Hz], > f_low
    double tolerance = 1e-2; ///< of the interpolation, as error_estimate; > 0. 1e-2 is 0.09 dB, the error of the panels
    double first_step = 200; ///< the band is first cut in equal steps of about this size [Hz], > 0
    int max_solves = 400;    ///< reached before the tolerance: SolverError
};

/// Transfer rows T_j(f), p(x) = Σ T_j v_j, interpolated over frequency.
///
/// Interpolated is g_j = T_j e^{jk r_j}/(jωρ), r_j the straight distance from panel j to the listener: what is left of the phase
/// is the detour round the cabinet. By T(−f) = T(f)* the table continues to negative frequencies, so the low end is inside it.
/// Each value is the polynomial of degree five through the six nearest frequencies. Steps whose midpoint misses the
/// tolerance are halved.
///
/// Error of a row, relative and weighted so that it does not depend on the panels: E² = Σ|ΔT_j|²/A_j / Σ|T_j|²/A_j. A velocity to
/// which the listener is nearly deaf has a larger error relative to its own small pressure.
class TransferTable
{
public:
    /// @throws DomainError  bad band, or a listener inside the surface; SolverError: more than max_solves
    TransferTable(const ExteriorRadiation& radiation, const Points& points, const TransferBand& band);

    /// @param frequency  [Hz], within the band
    /// @return           [Pa·s/m], shape (points, panels)
    /// @throws DomainError outside the band
    [[nodiscard]] Eigen::MatrixXcd rows(double frequency) const;

    /// Estimate of the error E at this frequency, the worst listener: half of what the polynomial missed at the midpoint from
    /// which the step was made, before that point was added to the table. Halved steps divide the error of degree five by 64; the
    /// true error was found below a quarter of the miss everywhere, and in most places below a tenth.
    [[nodiscard]] double error_estimate(double frequency) const;

    /// Frequencies solved [Hz], ascending.
    [[nodiscard]] std::vector<double> frequencies() const;

private:
    struct Node
    {
        double frequency = 0;     ///< [Hz]
        Eigen::MatrixXcd reduced; ///< g, shape (points, panels)
        double error_above = -1;  ///< of the step from here to the next node; −1: not yet tested
    };

    void insert_node(const ExteriorRadiation& radiation, std::size_t place, double frequency);
    void refine(const ExteriorRadiation& radiation, const TransferBand& band);
    [[nodiscard]] Eigen::MatrixXcd interpolate(double frequency) const;
    [[nodiscard]] Eigen::MatrixXcd phase(double frequency) const;
    [[nodiscard]] double row_error(const Eigen::MatrixXcd& reduced, const Eigen::MatrixXcd& exact) const;
    void check_inside(double frequency) const;

    Points points_;
    Air air_;
    Eigen::MatrixXd distance_; ///< r_j [m], shape (points, panels)
    Eigen::VectorXd area_;     ///< [m²]
    std::vector<Node> nodes_;
};

} // namespace stillwall::solver
