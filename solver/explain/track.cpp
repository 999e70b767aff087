#include "solver/explain/track.h"

#include <algorithm>
#include <cmath>

namespace stillwall::solver {

std::vector<std::optional<int>> tracked(const Eigen::MatrixXd& before, const Eigen::VectorXd& f_before,
                                        const Eigen::MatrixXd& after, const Eigen::VectorXd& f_after)
{
    constexpr double least = 0.5, equal = 0.02;
    const Eigen::MatrixXd alike =
        (before.colwise().normalized().transpose() * after.colwise().normalized()).cwiseAbs2();
    struct Pair
    {
        double likeness, apart;
        Eigen::Index a, b;
    };
    std::vector<Pair> pairs;
    for (Eigen::Index a = 0; a < alike.rows(); ++a)
        for (Eigen::Index b = 0; b < alike.cols(); ++b)
            if (alike(a, b) > least)
                pairs.push_back({std::round(alike(a, b) / equal), std::abs(std::log(f_after[b] / f_before[a])), a, b});
    std::sort(pairs.begin(), pairs.end(), [](const Pair& p, const Pair& q) {
        return p.likeness != q.likeness ? p.likeness > q.likeness : p.apart < q.apart;
    });
    std::vector<std::optional<int>> to(static_cast<std::size_t>(alike.rows()));
    std::vector<bool> taken(static_cast<std::size_t>(alike.cols()), false);
    for (const Pair& p : pairs) {
        if (to[static_cast<std::size_t>(p.a)] || taken[static_cast<std::size_t>(p.b)]) continue;
        to[static_cast<std::size_t>(p.a)] = static_cast<int>(p.b);
        taken[static_cast<std::size_t>(p.b)] = true;
    }
    return to;
}

} // namespace stillwall::solver
