#include "solver/radiation/boundary.h"

#include "mesh/cabinet/error.h"
#include "solver/linalg/blas.h"
#include "solver/linalg/dense_lu.h"
#include "solver/linalg/parallel.h"
#include "solver/radiation/internal/geometry.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

namespace stillwall::solver {

using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::VectorXd;
using internal::Complex;
using internal::OperatorRow;
using internal::RadiatingGeometry;

namespace internal {

/// (½ − M + αN) p = B q, B = −L + α (½ + M′). M′ is the adjoint of M: A_i M′_ij = A_j M_ji.
struct BoundaryMatrices
{
    double k = 0;                   ///< [1/m]
    Complex q_per_v;                ///< −jωρ
    VectorXd area;                  ///< [m²]
    MatrixXcd right_side;           ///< B [m]
    std::optional<DenseLu> factors; ///< of the left side's transpose, so that an assembled row is a column in memory
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

Complex coupling_length(const RadiatingGeometry& geometry, double k)
{
    switch (geometry.setting.equation) {
    case BoundaryEquation::plain:
        return 0;
    case BoundaryEquation::combined:
        return {0, coupling(k * geometry.volume_radius) / k};
    case BoundaryEquation::fully_combined:
        return {0, 1 / k};
    }
    return 0;
}

/// B ← B − Lᵀᵀ, in square blocks that stay in the cache.
void subtract_transpose(const MatrixXcd& transpose, MatrixXcd& B)
{
    constexpr Index size = 32;
    const Index n = B.rows();
    for (Index i = 0; i < n; i += size) {
        for (Index j = 0; j < n; j += size) {
            const Index rows = std::min(size, n - i), cols = std::min(size, n - j);
            B.block(i, j, rows, cols) -= transpose.block(j, i, cols, rows).transpose();
        }
    }
}

void assemble(const RadiatingGeometry& geometry, BoundaryMatrices& m)
{
    const Index n = geometry.surface().size();
    MatrixXcd single_layer(n, n); // Lᵀ
    MatrixXcd left_side(n, n);    // transposed
    m.right_side.resize(n, n);
    const Complex alpha = coupling_length(geometry, m.k);
    m.area = areas(geometry.surface());
    const VectorXd inverse_area = m.area.cwiseInverse();
    internal::for_each_item(geometry.surface().panels.size(), [&](std::size_t item) {
        const auto i = static_cast<Index>(item);
        thread_local OperatorRow row;
        internal::fill_row(geometry, i, m.k, row);
        single_layer.col(i) = row.single_layer;
        m.right_side.col(i) = (alpha * m.area[i]) * row.double_layer.cwiseProduct(inverse_area);
        m.right_side(i, i) += 0.5 * alpha;
        left_side.col(i) = alpha * row.double_slope - row.double_layer;
        left_side(i, i) += 0.5;
    });
    subtract_transpose(single_layer, m.right_side);
    single_layer.resize(0, 0); // not beside the factors' work
    m.factors.emplace(std::move(left_side), "sound radiation");
}

/// B q, q = −jωρ v. A complex column is a real one of twice the length, so a real v costs half.
MatrixXcd right_side(const BoundaryMatrices& m, const MatrixXcd& velocity)
{
    const int n = static_cast<int>(m.right_side.rows()), n_cases = static_cast<int>(velocity.cols());
    MatrixXcd result(n, n_cases);
    if (velocity.imag().isZero(0)) {
        const Eigen::MatrixXd real = velocity.real();
        internal::gemm({.m = 2 * n,
                        .n = n_cases,
                        .k = n,
                        .a = reinterpret_cast<const double*>(m.right_side.data()),
                        .lda = 2 * n,
                        .b = real.data(),
                        .ldb = n,
                        .beta = 0,
                        .c = reinterpret_cast<double*>(result.data()),
                        .ldc = 2 * n});
    } else {
        internal::complex_gemm('N', n, n_cases, n, m.right_side.data(), n, velocity.data(), n, result.data(), n);
    }
    return m.q_per_v * result;
}

void check_rows(Index n_panels, const MatrixXcd& values, const char* what)
{
    if (values.rows() == n_panels) return;
    throw DomainError(
        fmt::format("sound radiation: {} has {} rows, the surface {} panels", what, values.rows(), n_panels));
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
    matrices_ = std::move(matrices);
}

MatrixXcd RadiationAtFrequency::surface_pressure(const MatrixXcd& velocity) const
{
    check_rows(geometry_->surface().size(), velocity, "velocity");
    return matrices_->factors->solve_transposed(right_side(*matrices_, velocity));
}

MatrixXcd RadiationAtFrequency::transfer_to(const Points& points) const
{
    const Index n = geometry_->surface().size();
    MatrixXcd adjoint(n, points.cols()), direct(n, points.cols());
    internal::for_each_item(static_cast<std::size_t>(points.cols()), [&](std::size_t item) {
        const auto i = static_cast<Index>(item);
        OperatorRow row;
        internal::fill_row(*geometry_, Eigen::Vector3d(points.col(i)), matrices_->k, row);
        adjoint.col(i) = row.double_layer;
        direct.col(i) = row.single_layer;
    });
    // p(x) = mᵀ A⁻¹ B q − lᵀ q, so Tᵀ = Bᵀ A⁻ᵀ m − l.
    adjoint = matrices_->factors->solve(std::move(adjoint));
    const int n_panels = static_cast<int>(n), n_points = static_cast<int>(points.cols());
    MatrixXcd rows(n, points.cols());
    internal::complex_gemm('T', n_panels, n_points, n_panels, matrices_->right_side.data(), n_panels, adjoint.data(),
                           n_panels, rows.data(), n_panels);
    return matrices_->q_per_v * (rows - direct).transpose();
}

ExteriorRadiation::ExteriorRadiation(const PanelSurface& surface, const RadiationSetting& setting)
    : geometry_(internal::make_geometry(surface, setting))
{
}

RadiationAtFrequency ExteriorRadiation::at(double frequency) const
{
    return {geometry_, frequency};
}

const Air& ExteriorRadiation::air() const
{
    return geometry_->setting.air;
}

} // namespace stillwall::solver
