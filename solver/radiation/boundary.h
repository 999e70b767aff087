#pragma once
// Sound radiated by a vibrating closed surface into free air or over a rigid plane, by boundary elements.
//
// Time factor e^{+jωt}; amplitudes are peak values; k = ω/c; normals point into the air. With G = e^{−jkr}/(4πr) and
// q = ∂p/∂n = −jωρ v the surface pressure obeys, at a smooth point of the surface,
//
//     ½p − M p = −L q          L q = ∫ G q dS,    M p = ∫ ∂G/∂n_y p dS
//          N p = ½q + M′q      M′ and N: the slopes of L and M along n_x
//
// The first fails at the resonances of the inside with p = 0 on its walls. The sum, first + α times second,
//
//     (½ − M + αN) p = −L q + α (½ + M′) q
//
// has one solution at every real k if α has an imaginary part: its homogeneous solution is a field inside with u = α
// ∂u/∂n, which ∫ ū ∂u/∂n dS real forbids (Burton and Miller, Proc. R. Soc. A 323 (1971) 201). Sign: on a large plane N
// is −jk_z/2 for a wave of normal wavenumber k_z, so α = +j/k makes the left side ½(1 + k_z/k), while −j/k would make
// it vanish at normal incidence.
//
// Below the first resonance inside the first equation is enough: no shape of volume V = 4πr³/3 resonates below kr = π
// (Faber and Krahn: of all bodies the ball has the lowest Dirichlet eigenvalue). So α = 0 up to kr = π/2, then grows
// smoothly to j/k at kr = π. This also keeps the digits as k → 0, where a dipole's power is (ka)³ of its reactive part,
// and where N forgets a uniform pressure.
//
// Pressure and velocity are constant on each panel and the equation holds at the centroids. On the panels themselves N
// is finite and in closed form: see internal/static_integrals.h and internal/panel_sums.h. M′ is taken as the adjoint
// of M, that is A_i M′_ij = A_j M_ji: the slope at one centroid would miss the bend of a curved surface within the
// panel and what gathers at edges, an error of first order, while M loses nothing, since the solid angles of flat
// panels always add up.
//
// Accuracy measured on a 60-litre box (surface pressure, pressure at 1 m, power): smooth velocity, panels of
// λ/7: 1.8, 1.7, 0.5 %; λ/14: 0.7, 0.4, 0.2 %. A whole face moving against still neighbours, 500 Hz: pressure 1.3 m in
// front about 4 % high with 50 mm panels, 1.5 % with 25 mm, 0.8 % with 17 mm (against extrapolation), since the
// pressure is steep at the edge: order 1.5 in the panel. A sphere of 2,048 triangles: 0.4 % at ka = 5, order 2.

#include "solver/radiation/surface.h"

#include <complex>
#include <memory>
#include <optional>

namespace stillwall::solver {

namespace internal {
struct RadiatingGeometry;
struct BoundaryMatrices;
} // namespace internal

/// Points in space [m], one per column.
using Points = Eigen::Matrix3Xd;

enum class BoundaryEquation
{
    combined,      ///< right at every frequency
    plain,         ///< the first equation alone: wrong near the resonances of the inside, right below them
    fully_combined ///< α = j/k down to low frequencies, where few digits are left; for bands that start above kr = π/2
};

struct RadiationSetting
{
    Air air;
    /// Image in a rigid floor or wall. The surface lies wholly on the plane's air side; where it stands on the plane,
    /// the panels in contact are left out and the surface is open there.
    std::optional<RigidPlane> plane;
    BoundaryEquation equation = BoundaryEquation::combined;
};

/// One frequency, factored. Every velocity is the complex normal velocity of the panels [m/s], positive into the air.
class RadiationAtFrequency
{
public:
    /// @param velocity  shape (panels, cases)
    /// @return          p at the centroids [Pa], shape (panels, cases)
    /// @throws DomainError  on a wrong number of rows
    [[nodiscard]] Eigen::MatrixXcd surface_pressure(const Eigen::MatrixXcd& velocity) const;

    /// Rows T with p(x) = M p − L q = Σ T_j v_j for any velocity, at points in the air; close to a panel too, but not
    /// on it; one transposed solve per point instead of one solve per case.
    /// @return              [Pa·s/m], shape (points, panels)
    /// @throws DomainError  a point lies inside the surface or behind the plane
    [[nodiscard]] Eigen::MatrixXcd transfer_to(const Points& points) const;

private:
    friend class ExteriorRadiation;
    RadiationAtFrequency(std::shared_ptr<const internal::RadiatingGeometry> geometry, double frequency);

    std::shared_ptr<const internal::RadiatingGeometry> geometry_;
    std::shared_ptr<const internal::BoundaryMatrices> matrices_;
};

/// The surface with what does not depend on frequency. Memory per frequency: 32 n² bytes for n panels, 48 n² while
/// it is assembled (n = 3000: 288 and 432 MB).
class ExteriorRadiation
{
public:
    /// @throws DomainError  no panels; the surface is not closed or its normals do not point outward; air ≤ 0; a panel
    /// lies on or
    ///                      behind the plane
    explicit ExteriorRadiation(const PanelSurface& surface, const RadiationSetting& setting = {});

    /// @param frequency     [Hz], > 0; panels of a sixth of a wavelength keep the error near 1 %
    /// @throws SolverError  the matrix is singular
    [[nodiscard]] RadiationAtFrequency at(double frequency) const;

    [[nodiscard]] const Air& air() const;

private:
    std::shared_ptr<const internal::RadiatingGeometry> geometry_;
};

} // namespace stillwall::solver
