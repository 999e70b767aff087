#include "app/verbs/explain/explain_learn.h"

#include "app/write/numbers.h"
#include "app/write/text_table.h"
#include "mesh/cabinet/build.h"
#include "mesh/cabinet/opening.h"
#include "mesh/cabinet/stock_name.h"
#include "solver/explain/track.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace stillwall::app {
namespace {

using solver::Known;
using solver::LearnedFigure;
using Kind = solver::UncertainFigure::Kind;

constexpr double sure = 0.8; ///< odds from which a reading teaches

Eigen::VectorXd frequencies(const std::vector<solver::Mode>& modes)
{
    Eigen::VectorXd f(static_cast<Eigen::Index>(modes.size()));
    for (std::size_t i = 0; i < modes.size(); ++i) f[static_cast<Eigen::Index>(i)] = modes[i].f_Hz;
    return f;
}

/// Readings of walls, one a mode, freed of the load: measured over computed under load, times computed without.
std::vector<solver::ModeMeasured> wall_readings(const ExplainReport& report)
{
    std::vector<solver::ModeMeasured> readings;
    for (const solver::ExplainedReading& r : report.explanation.readings) {
        const solver::CauseOdds& cause = r.causes.front();
        if (!cause.candidate || cause.odds < sure) continue;
        const auto& c = report.explanation.suspects.candidates[static_cast<std::size_t>(*cause.candidate)];
        if (c.cause != solver::Cause::Wall || !c.resonance) continue;
        const int wall = report.sound.modes[static_cast<std::size_t>(*c.resonance)].wall.value();
        const solver::Mode& mode = report.sound.wall_modes[static_cast<std::size_t>(wall)];
        const auto freed = [](const Known& k, double bare, double loaded) {
            return Known{k.value * bare / loaded, k.error * bare / loaded};
        };
        const solver::ModeMeasured reading{wall, freed(r.reading.f_Hz, mode.f_Hz, c.f_Hz),
                                           freed(r.reading.Q, mode.Q, c.Q)};
        // A mode that was measured twice teaches once: what the model has wrong of it is the same in both.
        const auto same =
            std::find_if(readings.begin(), readings.end(), [&](const auto& other) { return other.mode == wall; });
        if (same == readings.end())
            readings.push_back(reading);
        else if (reading.f_Hz.error < same->f_Hz.error)
            *same = reading;
    }
    return readings;
}

LearnedMaterial::Factor factor_of(double value)
{
    return {value, 0.01};
}

/// The plan with factors on its materials' and baskets' figures.
CabinetPlan changed(const CabinetPlan& plan, const std::vector<solver::UncertainFigure>& figures,
                    const std::vector<double>& factors)
{
    CabinetPlan next = plan;
    for (std::size_t k = 0; k < factors.size(); ++k)
        for (Material& m : next.materials) {
            const bool is_meant = m.name == figures[k].part || stock_name(m.name) == figures[k].part;
            if (!is_meant || figures[k].kind == Kind::MotorStiffness || factors[k] == 1) continue;
            LearnedMaterial l;
            if (figures[k].kind == Kind::InPlane) l.stiffness = factor_of(factors[k]);
            if (figures[k].kind == Kind::TransverseShear) l.shear = factor_of(factors[k]);
            if (figures[k].kind == Kind::Loss) l.loss = factor_of(factors[k]);
            apply_learned(l, m);
        }
    for (std::size_t k = 0; k < factors.size(); ++k)
        for (OpeningPlan& opening : next.openings) {
            const std::string& name = insert_name(opening);
            const bool is_meant = figures[k].kind == Kind::MotorStiffness && name == figures[k].part;
            if (is_meant && opening.insert.basket && factors[k] != 1)
                apply_learned(LearnedBasket{name, factor_of(std::sqrt(factors[k]))}, *opening.insert.basket);
        }
    return next;
}

solver::ModelAnswer first_answer(const solver::SoundResult& sound)
{
    solver::ModelAnswer a{frequencies(sound.wall_modes), {}, sound.sensitivity};
    a.Q.resize(a.f_Hz.size());
    for (Eigen::Index i = 0; i < a.Q.size(); ++i) a.Q[i] = sound.wall_modes[static_cast<std::size_t>(i)].Q;
    return a;
}

const char* kind_word(Kind kind)
{
    return kind == Kind::InPlane           ? "moduli in its plane"
           : kind == Kind::TransverseShear ? "shear through it"
           : kind == Kind::MotorStiffness  ? "motor's frequency"
                                           : "loss factor";
}

/// A figure as the file and people have it: of a motor on its basket the frequency, not the stiffness, its square.
struct Told
{
    double factor, error, prior_error;
};
Told told(const LearnedFigure& f)
{
    const double power = f.figure.kind == Kind::MotorStiffness ? 0.5 : 1;
    return {std::pow(f.factor, power), power * f.error, power * f.prior_error};
}

std::string lesson_words(const solver::Lesson& lesson, const char* what, const char* from)
{
    if (lesson.figures.empty()) return "";
    if (lesson.stands)
        return wrapped(fmt::format("{} {} for {} unknown {}: too few, what the library says stands.", lesson.n_readings,
                                   from, lesson.figures.size(), what));
    if (lesson.is_poor)
        return wrapped(
            fmt::format("{} {} leave {:.1f} % (r.m.s.) that no {} can mend: too much for a box that is as drawn (good "
                        "fits leave under 1 %), so nothing is changed. Check thicknesses, braces and materials, or add "
                        "readings.",
                        lesson.n_readings, from, 100 * lesson.left_over, what));
    TextTable table{{{"Material, driver", Align::Left},
                     {"Figure", Align::Left},
                     {"Times", Align::Left},
                     {"Before", Align::Left},
                     {"", Align::Left}},
                    {}};
    for (const LearnedFigure& f : lesson.figures) {
        const auto [factor, error, prior_error] = told(f);
        table.rows.push_back({f.figure.part, kind_word(f.figure.kind),
                              f.is_learned ? with_error(factor, factor * error) : "1",
                              fmt::format("±{:.0f} %", 100 * prior_error),
                              f.is_learned ? fmt::format("{:.1f} times better known", prior_error / error)
                                           : "the readings say little of it: what was taken before stands"});
    }
    return table.text() +
           wrapped(fmt::format("{} {}, off by {:.1f} % (r.m.s.) before, {:.1f} % after.", lesson.n_readings, from,
                               100 * lesson.misfit_before, 100 * lesson.misfit_after));
}

} // namespace

std::vector<solver::CombFit> comb_of(const ExplainReport& report)
{
    const solver::SoundResult& sound = report.sound;
    const auto& candidates = report.explanation.suspects.candidates;
    std::vector<solver::Tooth> teeth;
    for (std::size_t c = 0; c < candidates.size(); ++c) {
        if (candidates[c].cause != solver::Cause::Wall || !candidates[c].resonance) continue;
        const int wall = sound.modes[static_cast<std::size_t>(*candidates[c].resonance)].wall.value();
        double slope = 0;
        for (Eigen::Index k = 0; k < sound.sensitivity.n_figures(); ++k)
            if (sound.sensitivity.figures[static_cast<std::size_t>(k)].kind == Kind::InPlane)
                slope += sound.sensitivity.ln_f(wall, k);
        const double seen = report.explanation.odds.visible.row(static_cast<Eigen::Index>(c)).maxCoeff();
        teeth.push_back({candidates[c].f_Hz, slope, seen});
    }
    std::vector<Known> readings;
    for (const solver::ExplainedReading& r : report.explanation.readings) readings.push_back(r.reading.f_Hz);
    return solver::comb_fits(readings, teeth);
}

std::string slip_words(const std::vector<solver::CombFit>& combs)
{
    constexpr double by_far = 0.9;
    if (combs.size() < 2 || combs[0].odds > by_far) return "";
    return wrapped(
        fmt::format("Nothing is learned: the readings fit the walls in two ways, with the boards' moduli {:.2f} times "
                    "the library's "
                    "({}) and {:.2f} times ({}). A knock on one board, or a strip of it (stillwall strip), would tell.",
                    combs[0].factor, odds_words(combs[0].odds), combs[1].factor, odds_words(combs[1].odds)));
}

solver::LearnResult learn_from(const ExplainReport& report, const CabinetPlan& plan, const ShellMesh& mesh,
                               double f_max)
{
    const solver::SoundResult& sound = report.sound;
    const Eigen::VectorXd f_first = frequencies(sound.wall_modes);
    const solver::Model model = [&](const std::vector<double>& factors) {
        solver::ModelAnswer answer = first_answer(sound);
        if (factors.empty()) return answer;
        solver::ModesOptions options;
        options.f_max = f_max;
        const solver::ModesResult now =
            solver::analyse_modes(build_cabinet(changed(plan, sound.sensitivity.figures, factors)), mesh, options);
        const auto to = solver::tracked(sound.shapes, f_first, now.shapes, frequencies(now.modes));
        for (std::size_t i = 0; i < to.size(); ++i) {
            const auto at = static_cast<Eigen::Index>(i);
            const solver::Mode* met = to[i] ? &now.modes[static_cast<std::size_t>(*to[i])] : nullptr;
            answer.f_Hz[at] = met != nullptr ? met->f_Hz : std::numeric_limits<double>::quiet_NaN();
            if (met == nullptr || now.sensitivity.n_figures() != answer.sensitivity.n_figures()) continue;
            answer.Q[at] = met->Q;
            answer.sensitivity.ln_f.row(at) = now.sensitivity.ln_f.row(*to[i]);
            answer.sensitivity.ln_loss.row(at) = now.sensitivity.ln_loss.row(*to[i]);
        }
        return answer;
    };
    return solver::learn(wall_readings(report), model);
}

Learned learned_of(const solver::LearnResult& result)
{
    Learned learned;
    std::vector<LearnedMaterial>& all = learned.materials;
    for (const solver::Lesson* lesson : {&result.stiffness, &result.loss})
        for (const LearnedFigure& f : lesson->figures) {
            if (!f.is_learned) continue;
            if (f.figure.kind == Kind::MotorStiffness) {
                const auto [factor, error, prior_error] = told(f);
                learned.baskets.push_back({f.figure.part, {factor, error}, {}});
                continue;
            }
            auto at = std::find_if(all.begin(), all.end(),
                                   [&](const LearnedMaterial& m) { return m.material == f.figure.part; });
            if (at == all.end()) {
                all.emplace_back().material = f.figure.part;
                at = all.end() - 1;
            }
            const LearnedMaterial::Factor factor{f.factor, f.error};
            (f.figure.kind == Kind::InPlane           ? at->stiffness
             : f.figure.kind == Kind::TransverseShear ? at->shear
                                                      : at->loss) = factor;
        }
    return learned;
}

std::string learned_text(const solver::LearnResult& result)
{
    if (result.stiffness.n_readings == 0)
        return wrapped("Learned: nothing; no reading is a wall's for sure (odds over 80 %).");
    std::string text = wrapped("Learned from the readings that are walls' for sure:");
    text += lesson_words(result.stiffness, "stiffnesses", "frequencies");
    text += lesson_words(result.loss, "losses", "Qs");
    for (const int outlier : result.outliers)
        text += wrapped(fmt::format(
            "The {}. of these readings fits no such figures: is its cause right, and the box as drawn?", outlier + 1));
    return text;
}

} // namespace stillwall::app
