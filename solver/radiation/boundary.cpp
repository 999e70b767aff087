#include "solver/radiation/boundary.h"

#include "mesh/core/error.h"
#include "solver/radiation/internal/geometry.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

extern "C" {
void zgetrf_(const int*, const int*, std::complex<double>*, const int*, int*, int*);
void zgetrs_(const char*, const int*, const int*, const std::complex<double>*, const int*, const int*, std::complex<double>*,
             const int*, int*);
}

namespace stillwall::solver {

using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::VectorXd;
using internal::Complex;
using internal::OperatorRow;
using internal::RadiatingGeometry;

namespace internal {

/// (½ − M + αN) p = [−L + α (½ + M′)] q. All matrices transposed, so that an assembled row is a column in memory.
struct BoundaryMatrices
{
    double k = 0;                     ///< [1/m]
    Complex q_per_v;                  ///< −jωρ
    Complex alpha;                    ///< [m]
    VectorXd area;                    ///< [m²]
    MatrixXcd single_layer;           ///< Lᵀ [m]
    MatrixXcd double_layer;           ///< Mᵀ [-]
    MatrixXcd factors;                ///< LU of the left side's transpose
    std::vector<int> pivots;

    /// Right side for given q. M′ is the adjoint of M: A_i M′_ij = A_j M_ji.
    [[nodiscard]] MatrixXcd right_side(const MatrixXcd& q) const
    {
        const MatrixXcd slope = area.cwiseInverse().asDiagonal() * (double_layer * (area.asDiagonal() * q));
        return alpha * (0.5 * q + slope) - single_layer.transpose() * q;
    }
    /// The transpose of right_side, applied to y.
    [[nodiscard]] MatrixXcd right_side_transposed(const MatrixXcd& y) const
    {
        const MatrixXcd slope = area.asDiagonal() * (double_layer.transpose() * (area.cwiseInverse().asDiagonal() * y));
        return alpha * (0.5 * y + slope) - single_layer * y;
    }
};

} // namespace internal

namespace {

using internal::BoundaryMatrices;

/// kα/j: 0 below kr = π/2, 1 from kr = π on, between them the smoothest step of fifth degree.
double coupling(double kr)
{
    const double t = std::clamp(kr / std::numbers::pi * 2 - 1, 0.0, 1.0);
    return t * t * t * (10 - 15 * t + 6 * t * t);
}

void assemble(const RadiatingGeometry& geometry, BoundaryMatrices& m)
{
    const Index n = geometry.surface().size();
    for (MatrixXcd* matrix : {&m.single_layer, &m.double_layer, &m.factors}) matrix->resize(n, n);
    const bool is_combined = geometry.setting.equation == BoundaryEquation::combined;
    m.alpha = Complex(0, is_combined ? coupling(m.k * geometry.volume_radius) / m.k : 0.0);
    m.area = areas(geometry.surface());
    internal::for_rows(n, geometry.setting.n_threads, [&](Index i) {
        thread_local OperatorRow row;
        internal::fill_row(geometry, i, m.k, row);
        m.single_layer.col(i) = row.single_layer;
        m.double_layer.col(i) = row.double_layer;
        m.factors.col(i) = m.alpha * row.double_slope - row.double_layer;
        m.factors(i, i) += 0.5;
    });
}

void factor(BoundaryMatrices& m)
{
    const int n = static_cast<int>(m.factors.rows());
    m.pivots.resize(n);
    int info = 0;
    zgetrf_(&n, &n, m.factors.data(), &n, m.pivots.data(), &info);
    if (info != 0) throw SolverError(fmt::format("sound radiation: singular matrix (zgetrf {})", info));
}

/// Solves A x = b (or Aᵀ x = b) in place.
void solve(const BoundaryMatrices& m, bool is_transposed, MatrixXcd& x)
{
    const int n = static_cast<int>(m.factors.rows()), n_cases = static_cast<int>(x.cols());
    const char op = is_transposed ? 'N' : 'T';
    int info = 0;
    zgetrs_(&op, &n, &n_cases, m.factors.data(), &n, m.pivots.data(), x.data(), &n, &info);
    if (info != 0 || !x.allFinite()) throw SolverError(fmt::format("sound radiation: solution failed (zgetrs {})", info));
}

void check_rows(Index n_panels, const MatrixXcd& values, const char* what)
{
    if (values.rows() == n_panels) return;
    throw DomainError(fmt::format("sound radiation: {} has {} rows, the surface {} panels", what, values.rows(), n_panels));
}

} // namespace

RadiationAtFrequency::RadiationAtFrequency(std::shared_ptr<const RadiatingGeometry> geometry, double frequency)
    : geometry_(std::move(geometry))
{
    if (!(frequency > 0) || !std::isfinite(frequency))
        throw DomainError(fmt::format("sound radiation: frequency must be > 0, got {} Hz", frequency));
    auto matrices = std::make_shared<BoundaryMatrices>();
    const double omega = 2 * std::numbers::pi * frequency;
    matrices->k = omega / geometry_->setting.air.sound_speed;
    matrices->q_per_v = Complex(0, -omega * geometry_->setting.air.density);
    assemble(*geometry_, *matrices);
    factor(*matrices);
    matrices_ = std::move(matrices);
}

MatrixXcd RadiationAtFrequency::surface_pressure(const MatrixXcd& velocity) const
{
    check_rows(geometry_->surface().size(), velocity, "velocity");
    MatrixXcd pressure = matrices_->right_side(matrices_->q_per_v * velocity);
    solve(*matrices_, false, pressure);
    return pressure;
}

MatrixXcd RadiationAtFrequency::pressure_at(const Points& points, const MatrixXcd& velocity,
                                            const MatrixXcd& surface_pressure) const
{
    check_rows(geometry_->surface().size(), velocity, "velocity");
    check_rows(geometry_->surface().size(), surface_pressure, "surface pressure");
    MatrixXcd pressure(points.cols(), velocity.cols());
    internal::for_rows(points.cols(), geometry_->setting.n_threads, [&](Index i) {
        OperatorRow row;
        internal::fill_row(*geometry_, Eigen::Vector3d(points.col(i)), matrices_->k, row);
        pressure.row(i) = row.double_layer.transpose() * surface_pressure;
        pressure.row(i) -= matrices_->q_per_v * (row.single_layer.transpose() * velocity);
    });
    return pressure;
}

MatrixXcd RadiationAtFrequency::transfer_to(const Points& points) const
{
    const Index n = geometry_->surface().size();
    MatrixXcd adjoint(n, points.cols()), direct(n, points.cols());
    internal::for_rows(points.cols(), geometry_->setting.n_threads, [&](Index i) {
        OperatorRow row;
        internal::fill_row(*geometry_, Eigen::Vector3d(points.col(i)), matrices_->k, row);
        adjoint.col(i) = row.double_layer;
        direct.col(i) = row.single_layer;
    });
    // p(x) = mᵀ A⁻¹ B q − lᵀ q, so Tᵀ = Bᵀ A⁻ᵀ m − l.
    solve(*matrices_, true, adjoint);
    return matrices_->q_per_v * (matrices_->right_side_transposed(adjoint) - direct).transpose();
}

VectorXd RadiationAtFrequency::power(const MatrixXcd& velocity, const MatrixXcd& surface_pressure) const
{
    check_rows(geometry_->surface().size(), velocity, "velocity");
    check_rows(geometry_->surface().size(), surface_pressure, "surface pressure");
    const MatrixXcd flow = matrices_->area.asDiagonal() * velocity;
    return 0.5 * (flow.conjugate().array() * surface_pressure.array()).real().colwise().sum().transpose();
}

double RadiationAtFrequency::frequency() const
{
    return matrices_->k * geometry_->setting.air.sound_speed / (2 * std::numbers::pi);
}

ExteriorRadiation::ExteriorRadiation(const PanelSurface& surface, const RadiationSetting& setting)
    : geometry_(internal::make_geometry(surface, setting))
{}

RadiationAtFrequency ExteriorRadiation::at(double frequency) const
{
    return {geometry_, frequency};
}

const PanelSurface& ExteriorRadiation::surface() const
{
    return geometry_->surface();
}

const Air& ExteriorRadiation::air() const
{
    return geometry_->setting.air;
}

} // namespace stillwall::solver
