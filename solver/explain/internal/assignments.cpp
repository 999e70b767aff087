#include "solver/explain/internal/assignments.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

namespace stillwall::solver::explain_internal {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr std::size_t beam_width = 1500;
constexpr double gate = 3.5;           ///< standard deviations of ln f beyond which a candidate is not tried
constexpr double least_f_error = 1e-3; ///< of ln f of a reading: two methods rarely agree better

double log_normal(double x, double sd)
{
    return -0.5 * (x / sd) * (x / sd) - std::log(sd * std::sqrt(2 * std::numbers::pi));
}

/// One in twelve is much farther off than its standard deviation says: what a model leaves out has long tails.
double log_long_tailed(double x, double sd)
{
    constexpr double share = 1.0 / 12, wide = 2.5;
    return std::log((1 - share) * std::exp(log_normal(x, sd)) + share * std::exp(log_normal(x, wide * sd)));
}

double below(double x) // Φ
{
    return 0.5 * std::erfc(-x / std::numbers::sqrt2);
}

double relative(const Known& k)
{
    return k.error / k.value;
}

/// A reading in logarithms.
struct Reading
{
    int measurement = 0;
    double ln_f = 0, f_error = 0, ln_Q = 0, Q_error = 0;
    std::optional<double> ln_ohm;
    double ohm_error = 0;
};

Reading reading_of(const ToExplain& r)
{
    Reading reading{r.measurement,
                    std::log(r.f_Hz.value),
                    std::hypot(relative(r.f_Hz), least_f_error),
                    std::log(r.Q.value),
                    relative(r.Q),
                    {},
                    0};
    if (r.ohm) {
        reading.ln_ohm = std::log(r.ohm->value);
        reading.ohm_error = relative(*r.ohm);
    }
    return reading;
}

/// Chance that a knock on a board lets a candidate ring loud enough (judgements).
double rings(const Candidate& c, int board)
{
    switch (c.cause) {
    case Cause::Wall: {
        constexpr double half = 0.1; // share of the motion in the board at which every second one is heard
        const double share = c.boards.empty() ? 1.0 : c.boards[static_cast<std::size_t>(board)];
        return 0.9 * below(std::log(std::max(share, 1e-6) / half) / 0.8);
    }
    case Cause::Air:
    case Cause::Rocking:
        return 0.3;
    case Cause::Driver:
        return 0.1;
    case Cause::Port:
    case Cause::Nothing:
        break;
    }
    return 0.05;
}

double chance_to_show(const Candidate& c, const Measurement& m)
{
    const double ln_f = std::log(c.f_Hz);
    const double within = below((ln_f - std::log(m.f_from)) / c.f_band) - below((ln_f - std::log(m.f_to)) / c.f_band);
    if (m.board) return within * rings(c, *m.board);
    if (!(c.ohm > 0)) return 0;
    const double least = m.detection ? m.detection(c.f_Hz, c.Q) : 0;
    if (!(least > 0)) return 0.97 * within;
    constexpr double detection_error = 0.3; // of ln height: the edge of detection is soft
    const double sd = std::hypot(std::hypot(c.ohm_error, c.Q_error), detection_error);
    return 0.97 * within * below(std::log(c.ohm / least) / sd); // 3 %: hidden by a neighbour
}

/// Where a reading's cause stands: candidates first, then backgrounds.
struct Choice
{
    std::optional<int> candidate, background;
    double log_weight = 0; ///< without ln f of a candidate
    double misfit = 0;     ///< of ln f, one standard deviation, besides the candidate's own: wrong at one place
};

double log_Q_and_height(const Candidate& c, const Reading& r)
{
    const double off = r.ln_Q - std::log(c.Q);
    double log_p = log_long_tailed(off, std::hypot(c.Q_error, r.Q_error));
    if (r.ln_ohm) log_p += log_long_tailed(*r.ln_ohm - std::log(c.ohm) - off, std::hypot(c.ohm_error, r.ohm_error));
    return log_p;
}

class Explainer
{
public:
    Explainer(const Suspects& suspects, const Evidence& evidence) : suspects_(suspects)
    {
        const auto n = static_cast<Index>(suspects.candidates.size());
        kernel_.resize(n, n);
        visible_.resize(n, static_cast<Index>(evidence.measurements.size()));
        for (Index i = 0; i < n; ++i) {
            const Candidate& c = candidate(static_cast<int>(i));
            for (Index j = 0; j < n; ++j) kernel_(i, j) = c.slopes.dot(candidate(static_cast<int>(j)).slopes);
            kernel_(i, i) += c.f_error * c.f_error;
            for (Index m = 0; m < visible_.cols(); ++m)
                visible_(i, m) = chance_to_show(c, evidence.measurements[static_cast<std::size_t>(m)]);
        }
        for (const ToExplain& r : evidence.readings) readings_.push_back(reading_of(r));
        for (std::size_t i = 0; i < readings_.size(); ++i) choices_.push_back(choices_for(readings_[i]));
        order_.resize(readings_.size());
        std::iota(order_.begin(), order_.end(), 0);
        std::stable_sort(order_.begin(), order_.end(),
                         [&](std::size_t a, std::size_t b) { return choices_[a].size() < choices_[b].size(); });
    }

    [[nodiscard]] Assignments result() const;

private:
    /// One way to explain the readings taken so far, in order_.
    struct Hypothesis
    {
        double log_weight = 0;
        std::vector<int> chosen;      ///< index into choices_ per reading taken
        std::vector<int> candidates;  ///< those with one, in order
        std::vector<double> factor;   ///< rows of the Cholesky factor of their frequencies' covariance, packed
        std::vector<double> whitened; ///< L⁻¹ (ln f − ln f̂)
    };

    [[nodiscard]] const Candidate& candidate(int c) const { return suspects_.candidates[static_cast<std::size_t>(c)]; }
    void add_choices(int candidate, const Reading& r, std::vector<Choice>& choices) const;
    [[nodiscard]] double log_nothing_seen() const { return (1 - visible_.array()).log().sum(); }
    [[nodiscard]] std::vector<Choice> choices_for(const Reading& r) const;
    [[nodiscard]] bool is_free(const Hypothesis& h, std::size_t taken, int candidate) const;
    [[nodiscard]] Hypothesis with(const Hypothesis& h, std::size_t taken, int choice) const;
    [[nodiscard]] std::vector<Hypothesis> beam(double& lost) const;
    [[nodiscard]] VectorXd theta_of(const Hypothesis& h) const;

    const Suspects& suspects_;
    MatrixXd kernel_;  ///< covariance of the candidates' ln f
    MatrixXd visible_; ///< shape (candidates, measurements)
    std::vector<Reading> readings_;
    std::vector<std::vector<Choice>> choices_;
    std::vector<std::size_t> order_; ///< fewest choices first
};

/// A wall may be the cause as its doubts have it, or, seldom, with a frequency that is wrong by more.
void Explainer::add_choices(int i, const Reading& r, std::vector<Choice>& choices) const
{
    const Candidate& c = candidate(i);
    const bool is_sweep = r.ln_ohm.has_value();
    const double seen = visible_(i, r.measurement);
    if (is_sweep ? !(c.ohm > 0) : !(seen > 0)) return;
    const double off = std::abs(r.ln_f - std::log(c.f_Hz)), sd = std::hypot(c.f_band, r.f_error);
    const double log_weight = log_Q_and_height(c, r) + (is_sweep ? 0 : std::log(seen)) - std::log(1 - seen);
    const double share = c.cause == Cause::Wall ? suspects_.misfit_share : 0;
    if (off <= gate * sd) choices.push_back({i, std::nullopt, log_weight + std::log(1 - share), 0});
    if (share > 0 && off <= gate * std::hypot(sd, suspects_.misfit_f))
        choices.push_back({i, std::nullopt, log_weight + std::log(share), suspects_.misfit_f});
}

std::vector<Choice> Explainer::choices_for(const Reading& r) const
{
    const bool is_sweep = r.ln_ohm.has_value();
    std::vector<Choice> choices;
    for (int i = 0; i < static_cast<int>(suspects_.candidates.size()); ++i) add_choices(i, r, choices);
    for (std::size_t i = 0; i < suspects_.backgrounds.size(); ++i) {
        const Background& b = suspects_.backgrounds[i];
        const double f = std::exp(r.ln_f);
        if (f < b.f_from || f > b.f_to || (!is_sweep && b.cause == Cause::Driver)) continue;
        double log_p = std::log(b.per_ln_f) + log_normal(r.ln_Q - std::log(b.Q), b.Q_error);
        if (is_sweep) log_p += log_normal(*r.ln_ohm - std::log(b.ohm), b.ohm_error);
        choices.push_back({std::nullopt, static_cast<int>(i), log_p, 0});
    }
    return choices;
}

bool Explainer::is_free(const Hypothesis& h, std::size_t taken, int candidate) const
{
    const int measurement = readings_[order_[taken]].measurement;
    for (std::size_t t = 0; t < taken; ++t) {
        const std::size_t r = order_[t];
        if (readings_[r].measurement == measurement &&
            choices_[r][static_cast<std::size_t>(h.chosen[t])].candidate == candidate)
            return false;
    }
    return true;
}

Explainer::Hypothesis Explainer::with(const Hypothesis& h, std::size_t taken, int choice) const
{
    const std::size_t r = order_[taken];
    const Choice& chosen = choices_[r][static_cast<std::size_t>(choice)];
    Hypothesis next = h;
    next.chosen.push_back(choice);
    next.log_weight += chosen.log_weight;
    if (!chosen.candidate) return next;
    // One more row of the Cholesky factor.
    const Reading& reading = readings_[r];
    const std::size_t n = h.candidates.size(), start = next.factor.size();
    double whitened = reading.ln_f - std::log(candidate(*chosen.candidate).f_Hz);
    const double own = std::hypot(reading.f_error, chosen.misfit);
    double rest = kernel_(*chosen.candidate, *chosen.candidate) + own * own;
    for (std::size_t i = 0; i < n; ++i) {
        const std::size_t row = i * (i + 1) / 2;
        double l = kernel_(*chosen.candidate, h.candidates[i]);
        for (std::size_t k = 0; k < i; ++k) l -= next.factor[row + k] * next.factor[start + k];
        l /= next.factor[row + i];
        next.factor.push_back(l);
        rest -= l * l;
        whitened -= l * h.whitened[i];
    }
    const double sd = std::sqrt(std::max(rest, own * own));
    next.factor.push_back(sd);
    next.whitened.push_back(whitened / sd);
    next.candidates.push_back(*chosen.candidate);
    next.log_weight += log_normal(whitened, sd);
    return next;
}

std::vector<Explainer::Hypothesis> Explainer::beam(double& lost) const
{
    const auto heavier = [](const Hypothesis& a, const Hypothesis& b) { return a.log_weight > b.log_weight; };
    std::vector<Hypothesis> kept(1);
    lost = 0;
    for (std::size_t taken = 0; taken < order_.size(); ++taken) {
        const auto& choices = choices_[order_[taken]];
        std::vector<Hypothesis> next;
        for (const Hypothesis& h : kept)
            for (std::size_t c = 0; c < choices.size(); ++c)
                if (!choices[c].candidate || is_free(h, taken, *choices[c].candidate))
                    next.push_back(with(h, taken, static_cast<int>(c)));
        if (next.size() > beam_width) {
            std::nth_element(next.begin(), next.begin() + beam_width, next.end(), heavier);
            double all = 0, dropped = 0;
            const double top = std::max_element(next.begin(), next.end(), [&](const auto& a, const auto& b) {
                                   return heavier(b, a);
                               })->log_weight;
            for (std::size_t i = 0; i < next.size(); ++i) {
                const double weight = std::exp(next[i].log_weight - top);
                all += weight;
                if (i >= beam_width) dropped += weight;
            }
            lost += dropped / all;
            next.resize(beam_width);
        }
        kept = std::move(next);
    }
    std::sort(kept.begin(), kept.end(), heavier);
    return kept;
}

/// S_aᵀ C⁻¹ (ln f − ln f̂).
VectorXd Explainer::theta_of(const Hypothesis& h) const
{
    const std::size_t n = h.candidates.size();
    std::vector<double> x = h.whitened;
    for (std::size_t i = n; i-- > 0;) { // Lᵀ x = whitened
        for (std::size_t k = i + 1; k < n; ++k) x[i] -= h.factor[k * (k + 1) / 2 + i] * x[k];
        x[i] /= h.factor[i * (i + 1) / 2 + i];
    }
    VectorXd theta = VectorXd::Zero(suspects_.candidates.empty() ? 0 : candidate(0).slopes.size());
    for (std::size_t i = 0; i < n; ++i) theta += x[i] * candidate(h.candidates[i]).slopes;
    return theta;
}

Assignments Explainer::result() const
{
    Assignments result;
    result.visible = visible_;
    const std::vector<Hypothesis> kept = beam(result.lost);
    double all = 0;
    std::vector<std::vector<double>> sums;
    for (const auto& choices : choices_) sums.emplace_back(choices.size(), 0.0);
    for (const Hypothesis& h : kept) {
        const double weight = std::exp(h.log_weight - kept.front().log_weight);
        all += weight;
        for (std::size_t t = 0; t < order_.size(); ++t)
            sums[order_[t]][static_cast<std::size_t>(h.chosen[t])] += weight;
        if (weight < 1e-6) continue;
        const VectorXd theta = theta_of(h);
        if (result.theta.size() == 0) result.theta = result.theta_square = VectorXd::Zero(theta.size());
        result.theta += weight * theta;
        result.theta_square += weight * theta.cwiseAbs2();
    }
    result.theta /= all;
    result.theta_square /= all;
    result.log_evidence = kept.front().log_weight + std::log(all) + log_nothing_seen();
    for (std::size_t r = 0; r < sums.size(); ++r) {
        std::vector<CauseOdds> list; // a candidate's two choices stand side by side
        for (std::size_t c = 0; c < sums[r].size(); ++c) {
            const Choice& choice = choices_[r][c];
            if (!list.empty() && choice.candidate && list.back().candidate == choice.candidate)
                list.back().odds += sums[r][c] / all;
            else
                list.push_back({choice.candidate, choice.background, sums[r][c] / all});
        }
        result.readings.push_back(std::move(list));
    }
    return result;
}

} // namespace

Assignments weigh_assignments(const Suspects& suspects, const Evidence& evidence)
{
    return Explainer(suspects, evidence).result();
}

} // namespace stillwall::solver::explain_internal
