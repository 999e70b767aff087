#include "solver/explain/learn.h"

#include "mesh/cabinet/error.h"

#include <Eigen/Cholesky>
#include <Eigen/LU>

#include <algorithm>
#include <cmath>

namespace stillwall::solver {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;
using Kind = UncertainFigure::Kind;

/// Readings of one kind as a linear problem about the present model.
struct Problem
{
    VectorXd off;      ///< ln measured − ln model
    VectorXd variance; ///< readings and model
    MatrixXd slopes;   ///< of every figure, in its logarithm
};

/// The kind of reading: ln f with ∂ln f, or ln Q with −∂ln η.
enum class Of
{
    Frequency,
    Q
};

Problem problem_of(const std::vector<ModeMeasured>& readings, const ModelAnswer& answer, Of of,
                   const LearnSetting& setting)
{
    std::vector<const ModeMeasured*> used;
    for (const ModeMeasured& r : readings)
        if ((of == Of::Frequency || r.Q) && std::isfinite(answer.f_Hz[r.mode])) used.push_back(&r);
    const auto n = static_cast<Index>(used.size());
    Problem p{VectorXd(n), VectorXd(n), MatrixXd(n, answer.sensitivity.n_figures())};
    for (Index i = 0; i < n; ++i) {
        const ModeMeasured& r = *used[static_cast<std::size_t>(i)];
        const Known& measured = of == Of::Frequency ? r.f_Hz : *r.Q;
        const double model = of == Of::Frequency ? answer.f_Hz[r.mode] : answer.Q[r.mode];
        p.off[i] = std::log(measured.value / model);
        p.variance[i] = std::pow(measured.error / measured.value, 2) +
                        std::pow(of == Of::Frequency ? setting.model_error : setting.loss_model_error, 2);
        const auto& slopes = of == Of::Frequency ? answer.sensitivity.ln_f : answer.sensitivity.ln_loss;
        p.slopes.row(i) = (of == Of::Frequency ? 1 : -1) * slopes.row(r.mode);
    }
    return p;
}

/// One standard deviation of each figure, mean over the readings' modes.
VectorXd prior_errors(const std::vector<ModeMeasured>& readings, const Sensitivity& s)
{
    VectorXd sum = VectorXd::Zero(s.n_figures());
    for (const ModeMeasured& r : readings)
        sum += (s.to_high.row(r.mode) - s.to_low.row(r.mode)).transpose() / (2 * range_deviations);
    return sum / std::max<double>(1, static_cast<double>(readings.size()));
}

bool is_asked(Kind kind, Of of)
{
    if (of == Of::Q) return kind == Kind::Loss;
    return kind == Kind::InPlane || kind == Kind::TransverseShear || kind == Kind::MotorStiffness;
}

/// Places of the figures to be asked.
std::vector<Index> asked_of(const Problem& p, const VectorXd& prior, const Sensitivity& s, Of of, double least_share)
{
    std::vector<Index> asked;
    for (Index k = 0; k < s.n_figures(); ++k) {
        if (!is_asked(s.figures[static_cast<std::size_t>(k)].kind, of)) continue;
        bool matters = false;
        for (Index i = 0; i < p.off.size(); ++i) {
            const double all = p.slopes.row(i).transpose().cwiseProduct(prior).squaredNorm();
            matters = matters || std::pow(p.slopes(i, k) * prior[k], 2) > least_share * all;
        }
        if (matters) asked.push_back(k);
    }
    return asked;
}

/// Linear part of a step: everything about the present x of the asked figures.
class Step
{
public:
    Step(const Problem& p, const VectorXd& prior, const std::vector<Index>& asked)
        : S_(p.slopes(Eigen::all, asked)), off_(p.off), weight_(prior(asked).cwiseAbs2().cwiseInverse())
    {
        MatrixXd R = p.variance.asDiagonal();
        for (Index k = 0; k < p.slopes.cols(); ++k) // what is not asked may have moved the readings as well
            if (std::find(asked.begin(), asked.end(), k) == asked.end())
                R += prior[k] * prior[k] * p.slopes.col(k) * p.slopes.col(k).transpose();
        R_.compute(R);
    }
    [[nodiscard]] MatrixXd covariance() const
    {
        MatrixXd information = S_.transpose() * R_.solve(S_);
        information += weight_.asDiagonal();
        return information.inverse();
    }
    [[nodiscard]] VectorXd towards(const VectorXd& x) const
    {
        return covariance() * (S_.transpose() * R_.solve(off_) - weight_.cwiseProduct(x));
    }
    [[nodiscard]] double cost(const VectorXd& x) const { return off_.dot(R_.solve(off_)) + x.cwiseAbs2().dot(weight_); }
    /// What of the readings' distance neither the asked nor the other figures make: the most probable errors of model
    /// and reading.
    [[nodiscard]] VectorXd left_over(const Problem& p) const { return p.variance.cwiseProduct(R_.solve(off_)); }
    [[nodiscard]] VectorXd off_in_deviations() const
    {
        return off_.cwiseQuotient(
            (R_.reconstructedMatrix().diagonal() + (S_ * covariance() * S_.transpose()).diagonal()).cwiseSqrt());
    }

private:
    MatrixXd S_;
    VectorXd off_, weight_;
    Eigen::LDLT<MatrixXd> R_;
};

double rms(const VectorXd& x)
{
    return x.size() > 0 ? x.norm() / std::sqrt(static_cast<double>(x.size())) : 0;
}

/// The whole search.
class Learner
{
public:
    Learner(const std::vector<ModeMeasured>& readings, const Model& model, const LearnSetting& setting)
        : readings_(readings), model_(model), setting_(setting), answer_(model({})),
          ln_factors_(VectorXd::Zero(answer_.sensitivity.n_figures()))
    {
        for (const ModeMeasured& r : readings)
            if (r.mode < 0 || r.mode >= answer_.f_Hz.size())
                throw DomainError("a reading of a mode that the model does not have");
        prior_ = prior_errors(readings, answer_.sensitivity);
    }

    [[nodiscard]] LearnResult result()
    {
        LearnResult result;
        result.stiffness = lesson(Of::Frequency);
        result.loss = lesson(Of::Q);
        const Problem p = problem_of(readings_, answer_, Of::Frequency, setting_);
        if (p.off.size() > 0) {
            const VectorXd off = Step(p, prior_, {}).off_in_deviations();
            for (Index i = 0; i < off.size(); ++i)
                if (std::abs(off[i]) > 4) result.outliers.push_back(static_cast<int>(i));
        }
        result.n_rounds = n_rounds_;
        return result;
    }

private:
    [[nodiscard]] ModelAnswer computed(const VectorXd& ln_factors) const
    {
        const VectorXd factors = ln_factors.array().exp();
        return model_({factors.data(), factors.data() + factors.size()});
    }

    /// Walks to the most probable values of these figures, all others as they are.
    void walk(const std::vector<Index>& asked, Of of)
    {
        for (int round = 0; round < setting_.most_rounds; ++round) {
            const Step step(problem_of(readings_, answer_, of, setting_), prior_, asked);
            const VectorXd x = ln_factors_(asked), by = step.towards(x);
            constexpr double small = 1e-3; // of the prior's error
            if (by.cwiseQuotient(prior_(asked)).norm() < small) return;
            const double before = step.cost(x);
            bool is_better = false;
            for (double share = 1; share > 0.05 && !is_better; share /= 2) {
                VectorXd next = ln_factors_;
                next(asked) = x + share * by;
                ModelAnswer answer = computed(next);
                ++n_rounds_;
                const Step there(problem_of(readings_, answer, of, setting_), prior_, asked);
                is_better = there.cost(next(asked)) < before;
                if (!is_better) continue;
                ln_factors_ = next;
                answer_ = std::move(answer);
            }
            if (!is_better) return;
        }
    }

    [[nodiscard]] Lesson lesson(Of of)
    {
        const Problem before = problem_of(readings_, answer_, of, setting_);
        std::vector<Index> asked = asked_of(before, prior_, answer_.sensitivity, of, setting_.least_share);
        Lesson lesson;
        lesson.n_readings = static_cast<int>(before.off.size());
        lesson.misfit_before = lesson.misfit_after = rms(before.off);
        for (const Index k : asked)
            lesson.figures.push_back(
                {answer_.sensitivity.figures[static_cast<std::size_t>(k)], 1, prior_[k], prior_[k], false});
        lesson.stands = before.off.size() < static_cast<Index>(asked.size());
        if (lesson.stands || asked.empty()) return lesson;

        std::vector<Index> all = asked;
        while (!asked.empty()) { // those known hardly better than before are left as they were, the worst first
            const MatrixXd C = Step(problem_of(readings_, answer_, of, setting_), prior_, asked).covariance();
            const VectorXd left = C.diagonal().cwiseSqrt().cwiseQuotient(prior_(asked));
            Index worst = 0;
            if (left.maxCoeff(&worst) < setting_.stands_above) break;
            asked.erase(asked.begin() + worst);
        }
        if (asked.empty()) return lesson;
        walk(asked, of);
        const Problem after = problem_of(readings_, answer_, of, setting_);
        const Step there(after, prior_, asked);
        const MatrixXd C = there.covariance();
        lesson.misfit_after = rms(after.off);
        lesson.left_over = rms(there.left_over(after));
        if (of == Of::Frequency && lesson.left_over > setting_.poor_fit) {
            lesson.is_poor = true;
            ln_factors_.setZero();
            answer_ = model_({});
            return lesson;
        }
        for (std::size_t i = 0; i < asked.size(); ++i) {
            const auto at = static_cast<std::size_t>(std::find(all.begin(), all.end(), asked[i]) - all.begin());
            LearnedFigure& figure = lesson.figures[at];
            figure.factor = std::exp(ln_factors_[asked[i]]);
            figure.error = std::sqrt(C(static_cast<Index>(i), static_cast<Index>(i)));
            figure.is_learned = true;
        }
        return lesson;
    }

    const std::vector<ModeMeasured>& readings_;
    const Model& model_;
    const LearnSetting& setting_;
    ModelAnswer answer_;
    VectorXd ln_factors_; ///< of all figures
    VectorXd prior_;
    int n_rounds_ = 0;
};

} // namespace

LearnResult learn(const std::vector<ModeMeasured>& readings, const Model& model, const LearnSetting& setting)
{
    return Learner(readings, model, setting).result();
}

} // namespace stillwall::solver
