#include "solver/radiation/internal/radiating_span.h"

#include "solver/linalg/blas.h"
#include "solver/radiation/internal/geometry.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver::internal {

using Complex = std::complex<double>;
using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

/// Re or Im of Sᵀ A p.
MatrixXd force(const MatrixXd& forces, const MatrixXd& pressure)
{
    const int n = static_cast<int>(forces.rows()), m = static_cast<int>(forces.cols());
    MatrixXd result(m, m);
    gemm({.op_a = 'T',
          .m = m,
          .n = m,
          .k = n,
          .a = forces.data(),
          .lda = n,
          .b = pressure.data(),
          .ldb = n,
          .beta = 0,
          .c = result.data(),
          .ldc = m});
    return result;
}

} // namespace

Echoes make_echoes(const RadiatingLevel& level, const Points& points, const RadiationSetting& setting)
{
    const auto geometry = make_geometry(level.surface, setting);
    const VectorXd area = areas(level.surface);
    MatrixXd weight = area.asDiagonal() * level.shapes.cwiseAbs2();
    for (Index i = 0; i < weight.cols(); ++i) {
        if (const double sum = weight.col(i).sum(); sum > 0) weight.col(i) /= sum;
    }
    const auto n_sources = static_cast<double>(geometry->sources.size());
    MatrixXd distance =
        MatrixXd::Zero(points.cols(), level.surface.size()); // mean of the ways straight and by the plane
    std::vector<Eigen::Vector3d> middles;
    for (const Source& source : geometry->sources) {
        Eigen::Vector3d& middle = middles.emplace_back(Eigen::Vector3d::Zero());
        for (Index j = 0; j < distance.cols(); ++j) {
            const Eigen::Vector3d& centroid = source.rules.surface.panels[j].centroid;
            distance.col(j) += (points.colwise() - centroid).colwise().norm().transpose() / n_sources;
            middle += area[j] / area.sum() * centroid;
        }
    }
    const double by_plane = (middles.back() - middles.front()).norm(), radius = geometry->volume_radius;
    const double c = setting.air.sound_speed;
    return {.delays = {.impedance = (0.5 * radius + 0.25 * by_plane) / c,
                       .transfer = ((distance * weight).array() + radius) / c},
            .range = 2 * radius + by_plane,
            .radius = radius};
}

LevelSolver::LevelSolver(const RadiatingLevel& level, const RadiationSetting& setting, const Points& points,
                         const Delays& delays, Index n_loaded)
    : radiation_(level.surface, setting), shapes_(level.shapes),
      loaded_(level.shapes.leftCols(n_loaded).cast<Complex>()),
      forces_(areas(level.surface).asDiagonal() * level.shapes.leftCols(n_loaded)), points_(points), delays_(&delays)
{
}

ReducedRadiation LevelSolver::solve(double frequency) const
{
    const auto solved = radiation_.at(frequency);
    const MatrixXcd p = solved.surface_pressure(loaded_);
    const double omega = 2 * std::numbers::pi * frequency;
    const Complex scale = 1.0 / Complex(0, omega * radiation_.air().density);
    MatrixXcd Z(loaded_.cols(), loaded_.cols());
    Z.real() = force(forces_, p.real());
    Z.imag() = force(forces_, p.imag());
    const MatrixXcd rows = solved.transfer_to(points_);
    MatrixXcd T(points_.cols(), shapes_.cols());
    T.real() = rows.real() * shapes_;
    T.imag() = rows.imag() * shapes_;
    const MatrixXcd advance = (Complex(0, omega) * delays_->transfer.cast<Complex>()).array().exp().matrix();
    return {.Z = 0.5 * scale * std::exp(Complex(0, omega * delays_->impedance)) * (Z + Z.transpose()),
            .T = scale * T.cwiseProduct(advance)};
}

VectorXd lagrange_weights(const std::vector<double>& nodes, bool is_mirrored, double frequency)
{
    const auto n = static_cast<Index>(nodes.size());
    VectorXd x(is_mirrored ? 2 * n : n);
    for (Index i = 0; i < x.size(); ++i) x[i] = i < n ? nodes[i] : -nodes[i - n];
    VectorXd weights = VectorXd::Ones(x.size());
    for (Index i = 0; i < x.size(); ++i) {
        for (Index j = 0; j < x.size(); ++j) {
            if (j != i) weights[i] *= (frequency - x[j]) / (x[i] - x[j]);
        }
    }
    return weights;
}

MatrixXcd weighted_sum(const VectorXd& weights, const std::vector<MatrixXcd>& values)
{
    const auto n = static_cast<Index>(values.size());
    MatrixXcd sum = MatrixXcd::Zero(values[0].rows(), values[0].cols());
    for (Index i = 0; i < n; ++i) {
        const double image = weights.size() > n ? weights[n + i] : 0;
        sum.real() += (weights[i] + image) * values[i].real();
        sum.imag() += (weights[i] - image) * values[i].imag();
    }
    return sum;
}

double next_node(const std::vector<double>& nodes, bool is_mirrored, double f_low, double f_high)
{
    constexpr int n_places = 2000;
    double best = f_high, largest = -1;
    for (int i = 0; i <= n_places; ++i) {
        const double f = f_low + (f_high - f_low) * i / n_places;
        double product = 1;
        for (const double node : nodes)
            product *=
                is_mirrored ? std::abs(f * f - node * node) / (f_high * f_high) : std::abs(f - node) / (f_high - f_low);
        if (product > largest) {
            largest = product;
            best = f;
        }
    }
    return best;
}

double miss(const ReducedRadiation& guess, const ReducedRadiation& solved, const VectorXd& scale)
{
    double worst = 0;
    if (solved.Z.size() > 0) {
        const VectorXd own = solved.Z.diagonal().cwiseAbs();
        // A shape that does not move has no scale and no error.
        const VectorXd unit = own.unaryExpr([](double z) { return z > 0 ? 1 / std::sqrt(z) : 0.0; });
        const auto scaled = [&](const MatrixXcd& Z) -> MatrixXcd { return unit.asDiagonal() * Z * unit.asDiagonal(); };
        const MatrixXcd difference = scaled(guess.Z - solved.Z);
        if (const double whole = scaled(solved.Z).norm(); whole > 0) worst = difference.norm() / whole;
        worst = std::max(worst, difference.diagonal().cwiseAbs().maxCoeff());
    }
    for (Index i = 0; i < solved.T.rows(); ++i) {
        const double row = (solved.T.row(i) * scale.asDiagonal()).norm();
        if (row > 0) worst = std::max(worst, ((guess.T.row(i) - solved.T.row(i)) * scale.asDiagonal()).norm() / row);
    }
    return worst;
}

} // namespace stillwall::solver::internal
