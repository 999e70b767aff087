#include "solver/measured/impedance_model.h"
#include "solver/measured/internal/scatter.h"

#include <algorithm>
#include <cmath>

namespace stillwall::solver {
namespace internal {

Scatter scatter_of(const Sweep& sweep)
{
    const Eigen::Index n = sweep.size();
    Scatter scatter{Eigen::VectorXcd::Zero(n), Eigen::VectorXd::Ones(n)};
    for (Eigen::Index i = 2; i + 2 < n; ++i) {
        const auto x = [&](Eigen::Index k) { return std::log(sweep.f_Hz[static_cast<std::size_t>(k)]); };
        scatter.left[i] = sweep.Z[i];
        double squares = 1;
        for (const Eigen::Index k : {i - 2, i - 1, i + 1, i + 2}) { // Lagrange's cubic through the neighbours
            double weight = 1;
            for (const Eigen::Index m : {i - 2, i - 1, i + 1, i + 2})
                if (m != k) weight *= (x(i) - x(m)) / (x(k) - x(m));
            scatter.left[i] -= weight * sweep.Z[k];
            squares += weight * weight;
        }
        scatter.gain[i] = std::sqrt(squares);
    }
    return scatter;
}

} // namespace internal

Eigen::VectorXd sweep_noise(const Sweep& sweep)
{
    constexpr Eigen::Index half = 15; // points to either side
    constexpr double least = 1e-6;    // of |Z|: a computed curve has no scatter, and weights must stay finite
    const Eigen::Index n = sweep.size();
    const internal::Scatter scatter = internal::scatter_of(sweep);
    Eigen::VectorXd noise(n);
    std::vector<double> sizes;
    for (Eigen::Index i = 0; i < n; ++i) {
        sizes.clear();
        const Eigen::Index from = std::max<Eigen::Index>(2, std::min(i - half, n - 3 - 2 * half));
        for (Eigen::Index k = from; k < std::min(from + 2 * half + 1, n - 2); ++k) {
            sizes.push_back(std::abs(scatter.left[k].real()) / scatter.gain[k]);
            if (sweep.has_phase) sizes.push_back(std::abs(scatter.left[k].imag()) / scatter.gain[k]);
        }
        const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
        std::nth_element(sizes.begin(), middle, sizes.end());
        constexpr double median_of_normal = 0.6745;
        noise[i] = std::max(*middle / median_of_normal, least * std::abs(sweep.Z[i]));
    }
    return noise;
}

} // namespace stillwall::solver
