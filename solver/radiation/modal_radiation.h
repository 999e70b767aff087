#pragma once
// Radiation of a small set of surface velocities ("shapes": structural modes, cones, port mouths) over a band, from few
// solves.

#include "solver/radiation/boundary.h"

#include <functional>
#include <optional>
#include <vector>

namespace stillwall::solver {

/// The outside in panels fine enough up to some frequency, with the shapes on it.
struct RadiatingLevel
{
    PanelSurface surface;
    Eigen::MatrixXd shapes; ///< normal velocity per unit amplitude, shape (panels, shapes); the same on every level
    double f_top = 0;       ///< [Hz] used up to here; ascending over the levels
};

struct ModalBand
{
    double f_low = 20, f_high = 3000;          ///< [Hz]
    double tolerance = 2e-2;                   ///< of the interpolation, see error_estimate; 2e-2 is 0.17 dB
    std::function<void(double)> progress = {}; ///< fraction done; may be empty; called from the constructing thread
    std::optional<Eigen::Index> n_loaded = {}; ///< Z is made for the first so many shapes, T for all; nothing: for all
};

/// Over the band, e^{+jωt}:
///     Z(ω) = Sᵀ diag(A) p[S]    modal radiation impedance [Pa·m²/(m/s)] for real shapes S: the air's force on shape i
///     by velocity j;
///                               power W = ½ v^H Re(Z) v. Symmetric but for the panels' error, made so: what is dropped
///                               would add a false power where v is not in phase (0.5 % of Im Z, which at low
///                               frequencies is a tenth of Re Z)
///     T(ω)                      pressure at the points by each shape [Pa/(m/s)]
/// Interpolated, as polynomials over stretches of the band, are Z and T divided by jωρ and advanced by delays (see
/// make_echoes) that bring the middle of the range between straight sound and detours round the cabinet, or by the
/// plane, to zero. The lowest stretch is continued to negative frequencies, real part even, imaginary part odd.
/// Stretches end at the levels' ends and at kr = 0.8 π, where the equation changes from plain to combined (see
/// boundary.h); there the values step by the panels' error. A plane costs solves in proportion to the way of its echo
/// (box of 25 litres to 1.5 kHz: free 20, plane 0.4 m below 39, 2 m below 88; 69 over a slit of 10 mm, whose air
/// rings). A stretch that does not come to the tolerance is cut in two.
///
/// Nodes are Leja's points, two more at a time until what the polynomial through the older ones misses at the new ones
/// is below the tolerance. That is the error estimate; the new ones then become nodes too, so the true error is smaller
/// (that box to 3 kHz, 27 frequencies: 0.2 % where 1.2 % was estimated). Errors are relative means over the entries: of
/// Z with each shape scaled to |Z_ii| = 1 (and the worst of the diagonal), and of each point's row of T with each shape
/// scaled to ∫ s² dS = 1. A shape to which a point is nearly deaf has a larger error relative to its own small
/// pressure, and a shape that hardly radiates a larger one relative to its own Re Z_ii.
class ModalRadiation
{
public:
    /// The setting's equation counts only if it is plain.
    /// @throws DomainError  bad band, levels of different shapes, a point inside; SolverError: tolerance not reached
    /// with 400 solves
    ModalRadiation(const std::vector<RadiatingLevel>& levels, const RadiationSetting& setting, const Points& points,
                   const ModalBand& band);

    /// @throws DomainError  outside the band
    [[nodiscard]] Eigen::MatrixXcd impedance(double frequency) const; ///< shape (loaded, loaded)
    [[nodiscard]] Eigen::MatrixXcd transfer(double frequency) const;  ///< shape (points, shapes)
    [[nodiscard]] double error_estimate() const; ///< worst over the band, relative, measured at the trial points
    [[nodiscard]] std::vector<double> frequencies() const; ///< solved, ascending

private:
    struct Span
    {
        double f_low = 0, f_high = 0;
        bool is_mirrored = false;           ///< continued to negative frequencies
        std::vector<double> f;              ///< nodes
        std::vector<Eigen::MatrixXcd> Z, T; ///< reduced quantities at the nodes
    };
    [[nodiscard]] const Span& span_at(double frequency) const;

    std::vector<Span> spans_;
    Eigen::MatrixXd delay_;      ///< [s], shape (points, shapes)
    double impedance_delay_ = 0; ///< [s]
    Air air_;
    double error_ = 0;
};

} // namespace stillwall::solver
