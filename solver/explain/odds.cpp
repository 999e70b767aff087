#include "solver/explain/odds.h"

#include "solver/explain/internal/assignments.h"

#include <algorithm>
#include <cmath>

namespace stillwall::solver {
namespace {

using explain_internal::Assignments;

constexpr double least_odds = 1e-3;

/// The suspects with doubts as wide as a box of this fidelity asks for.
Suspects widened(const Suspects& suspects, const Fidelity& fidelity)
{
    Suspects wide = suspects;
    for (Candidate& c : wide.candidates) {
        if (c.boards.empty()) continue; // no mode of the walls
        const Eigen::Index n_figures = std::min<Eigen::Index>(std::ssize(suspects.figures), c.slopes.size());
        for (Eigen::Index k = 0; k < n_figures; ++k)
            if (suspects.figures[static_cast<std::size_t>(k)].kind == UncertainFigure::Kind::TransverseShear)
                c.slopes[k] *= fidelity.shear;
        for (Eigen::Index k = n_figures; k < c.slopes.size(); ++k) c.slopes[k] *= fidelity.walls;
        c.f_error *= fidelity.walls;
        c.Q_error *= fidelity.walls;
        c.ohm_error *= fidelity.walls;
        c.f_band = std::hypot(c.slopes.norm(), c.f_error);
    }
    return wide;
}

/// Adds a list of odds to another, each times its weight.
void add(std::vector<CauseOdds>& sum, const std::vector<CauseOdds>& odds, double weight)
{
    for (const CauseOdds& o : odds) {
        const auto at = std::find_if(sum.begin(), sum.end(), [&](const CauseOdds& s) {
            return s.candidate == o.candidate && s.background == o.background;
        });
        if (at == sum.end())
            sum.push_back({o.candidate, o.background, weight * o.odds});
        else
            at->odds += weight * o.odds;
    }
}

} // namespace

OddsResult odds_of(const Suspects& suspects, const Evidence& evidence)
{
    std::vector<Assignments> worlds;
    std::vector<double> log_weights;
    for (const Fidelity& fidelity : suspects.fidelities) {
        worlds.push_back(explain_internal::weigh_assignments(widened(suspects, fidelity), evidence));
        log_weights.push_back(std::log(fidelity.odds) + worlds.back().log_evidence);
    }
    const double top = *std::max_element(log_weights.begin(), log_weights.end());
    OddsResult result;
    double all = 0;
    for (double w : log_weights) all += std::exp(w - top);
    result.readings.resize(evidence.readings.size());
    result.visible = 0 * worlds[0].visible;
    result.theta = 0 * worlds[0].theta;
    Eigen::VectorXd square = result.theta;
    for (std::size_t w = 0; w < worlds.size(); ++w) {
        const double weight = std::exp(log_weights[w] - top) / all;
        result.fidelity.push_back(weight);
        for (std::size_t r = 0; r < result.readings.size(); ++r) add(result.readings[r], worlds[w].readings[r], weight);
        result.visible += weight * worlds[w].visible;
        result.theta += weight * worlds[w].theta;
        square += weight * worlds[w].theta_square;
        result.beam_lost += weight * worlds[w].lost;
    }
    result.theta_error = (square - result.theta.cwiseAbs2()).cwiseMax(0).cwiseSqrt();
    for (std::vector<CauseOdds>& list : result.readings) {
        std::erase_if(list, [](const CauseOdds& o) { return o.odds < least_odds; });
        std::stable_sort(list.begin(), list.end(), [](const auto& a, const auto& b) { return a.odds > b.odds; });
    }
    return result;
}

} // namespace stillwall::solver
