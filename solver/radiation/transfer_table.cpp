#include "solver/radiation/transfer_table.h"

#include "mesh/core/error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver {

using Eigen::Index;
using Eigen::MatrixXcd;
using Complex = std::complex<double>;

namespace {

constexpr double two_pi = 2 * std::numbers::pi;

void check(const TransferBand& band)
{
    if (!(band.f_low > 0) || !(band.f_high > band.f_low) || !std::isfinite(band.f_high))
        throw DomainError(fmt::format("transfer table: needs 0 < f_low < f_high, got {} and {} Hz", band.f_low, band.f_high));
    if (!(band.tolerance > 0) || !(band.first_step > 0))
        throw DomainError("transfer table: tolerance and first step must be > 0");
}

} // namespace

TransferTable::TransferTable(const ExteriorRadiation& radiation, const Points& points, const TransferBand& band)
    : points_(points), air_(radiation.air()), distance_(points.cols(), radiation.surface().size()),
      area_(areas(radiation.surface()))
{
    check(band);
    for (Index j = 0; j < distance_.cols(); ++j)
        distance_.col(j) = (points.colwise() - radiation.surface().panels[j].centroid).colwise().norm().transpose();
    const auto n_steps = static_cast<int>(std::max(1.0, std::ceil((band.f_high - band.f_low) / band.first_step)));
    if (n_steps >= band.max_solves) throw SolverError("transfer table: the first steps alone need more solves than allowed");
    for (int i = 0; i <= n_steps; ++i)
        insert_node(radiation, nodes_.size(), band.f_low + (band.f_high - band.f_low) * i / n_steps);
    refine(radiation, band);
}

void TransferTable::refine(const ExteriorRadiation& radiation, const TransferBand& band)
{
    for (std::size_t i = 0; i + 1 < nodes_.size();) {
        if (nodes_[i].error_above >= 0 && nodes_[i].error_above <= band.tolerance) {
            ++i;
            continue;
        }
        if (static_cast<int>(nodes_.size()) >= band.max_solves) {
            throw SolverError(fmt::format("transfer table: {} solves do not reach tolerance {:g} at {:.1f} Hz", nodes_.size(),
                                          band.tolerance, nodes_[i].frequency));
        }
        const double middle = 0.5 * (nodes_[i].frequency + nodes_[i + 1].frequency);
        const MatrixXcd guess = interpolate(middle);
        insert_node(radiation, i + 1, middle);
        const double error = 0.5 * row_error(guess, nodes_[i + 1].reduced); // see error_estimate
        nodes_[i].error_above = nodes_[i + 1].error_above = error;
    }
}

void TransferTable::insert_node(const ExteriorRadiation& radiation, std::size_t place, double frequency)
{
    const MatrixXcd rows = radiation.at(frequency).transfer_to(points_);
    Node node{frequency, rows.cwiseQuotient(phase(frequency)), -1};
    nodes_.insert(nodes_.begin() + static_cast<std::ptrdiff_t>(place), std::move(node));
}

MatrixXcd TransferTable::phase(double frequency) const
{
    const double omega = two_pi * frequency, k = omega / air_.sound_speed;
    return Complex(0, omega * air_.density) * (Complex(0, -k) * distance_.cast<Complex>()).array().exp().matrix();
}

double TransferTable::row_error(const MatrixXcd& reduced, const MatrixXcd& exact) const
{
    const auto weight = area_.cwiseInverse();
    const Eigen::VectorXd miss = (reduced - exact).cwiseAbs2() * weight, whole = exact.cwiseAbs2() * weight;
    return std::sqrt(miss.cwiseQuotient(whole).maxCoeff());
}

MatrixXcd TransferTable::interpolate(double frequency) const
{
    // Nodes and, for the lowest three, their mirror images at −f.
    struct Pillar
    {
        double frequency;
        const MatrixXcd* value;
        bool is_mirror;
    };
    constexpr std::size_t n_pillars = 6;
    std::vector<Pillar> pillars;
    for (const Node& node : nodes_) pillars.push_back({node.frequency, &node.reduced, false});
    for (std::size_t i = 0; i < std::min<std::size_t>(3, nodes_.size()); ++i)
        pillars.push_back({-nodes_[i].frequency, &nodes_[i].reduced, true});
    std::sort(pillars.begin(), pillars.end(), [&](const Pillar& a, const Pillar& b) {
        return std::abs(a.frequency - frequency) < std::abs(b.frequency - frequency);
    });
    pillars.resize(std::min(n_pillars, pillars.size()));
    MatrixXcd result = MatrixXcd::Zero(distance_.rows(), distance_.cols());
    for (const Pillar& p : pillars) {
        double weight = 1;
        for (const Pillar& q : pillars) {
            if (&q != &p) weight *= (frequency - q.frequency) / (p.frequency - q.frequency);
        }
        if (p.is_mirror) result += weight * p.value->conjugate();
        else result += weight * *p.value;
    }
    return result;
}

MatrixXcd TransferTable::rows(double frequency) const
{
    check_inside(frequency);
    return interpolate(frequency).cwiseProduct(phase(frequency));
}

void TransferTable::check_inside(double frequency) const
{
    if (!(frequency >= nodes_.front().frequency) || !(frequency <= nodes_.back().frequency)) {
        throw DomainError(fmt::format("transfer table: {} Hz lies outside {} to {} Hz", frequency, nodes_.front().frequency,
                                      nodes_.back().frequency));
    }
}

double TransferTable::error_estimate(double frequency) const
{
    check_inside(frequency);
    const auto above = std::upper_bound(nodes_.begin() + 1, nodes_.end() - 1, frequency,
                                        [](double f, const Node& node) { return f < node.frequency; });
    return (above - 1)->error_above;
}

std::vector<double> TransferTable::frequencies() const
{
    std::vector<double> result;
    for (const Node& node : nodes_) result.push_back(node.frequency);
    return result;
}

} // namespace stillwall::solver
