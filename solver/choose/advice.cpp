#include "solver/choose/advice.h"

#include "mesh/cabinet/build.h"
#include "solver/choose/ideas.h"
#include "solver/choose/internal/pass.h"

#include <algorithm>
#include <chrono>

namespace stillwall::solver {
namespace {

/// Base and derivatives, in a process of its own: figures, and what the ideas promise.
std::string weigh(const PlanSource& source, const CabinetPlan& plan, const SchemeTask& task,
                  const SchemeComputer& computer)
{
    SchemeTask ringing = task;
    ringing.plays = false;
    ringing.wants_worth = true;
    const ComputedScheme rung = computer.compute(plan, source.workshop(), ringing);
    const ComputedScheme base = task.plays ? computer.compute(plan, source.workshop(), task) : rung;
    std::vector<Idea> ideas;
    if (const std::optional<std::size_t> worst = worst_wall(base.figures)) {
        // Played modes lie a little lower: the one alike counts.
        const int column = task.plays ? met_again(base.figures, rung.figures)[*worst].mode : static_cast<int>(*worst);
        if (column >= 0) {
            CabinetPlan same = plan;
            same.f_max = task.f_max;
            const Cabinet cabinet = build_cabinet(same);
            ideas = ideas_for({source, plan, cabinet}, rung.figures, *rung.worth, static_cast<std::size_t>(column));
        }
    }
    Packer packer;
    packer(base, ideas);
    return packer.take();
}

/// What became of the wall that was worst.
AdvisedChange compared(const Idea& idea, const SchemeFigures& base, std::size_t worst, const SchemeFigures& now)
{
    AdvisedChange change;
    change.words = idea.words;
    change.entry = idea.entry;
    if (const int met = met_again(base, now)[worst].mode; met >= 0)
        change.same = now.modes[static_cast<std::size_t>(met)];
    if (const SchemeMode* there = now.at(worst_wall(now))) change.worst = *there;
    change.mass_change = now.mass - base.mass;
    change.volume_change = now.net_volume - base.net_volume;
    return change;
}

} // namespace

Advice advise(const PlanSource& source, const CabinetPlan& plan, const AdviceTask& task, const SchemeComputer& computer,
              const ShowProgress& progress)
{
    constexpr std::size_t most_computed = 6, most_kept = 3;
    constexpr double least_gain_dB = 0.5; // less would be printed as nothing
    const auto start = std::chrono::steady_clock::now();
    Advice advice;
    advice.is_played = task.plays;
    // The changes move modes by a tenth or two; what lies far above costs most of the time and is seldom heard.
    const double top = task.worst_Hz ? std::min(task.f_max, std::max(2 * *task.worst_Hz, 400.0)) : task.f_max;
    const SchemeTask scheme{.plays = task.plays, .accuracy = Accuracy::Draft, .f_max = top};
    ComputedScheme base;
    std::vector<Idea> ideas;
    progress("what to change first", 0.1);
    computer.apart(
        1, [&](std::size_t) { return weigh(source, plan, scheme, computer); },
        [&](std::size_t, const Outcome& outcome) {
            if (!outcome.problem.empty()) return;
            Unpacker unpacker(outcome.bytes);
            unpacker(base, ideas);
        });
    const std::optional<std::size_t> worst = worst_wall(base.figures);
    if (!worst || ideas.empty()) return advice;
    advice.worst = base.figures.modes[*worst];
    advice.n_weighed = static_cast<int>(ideas.size());

    std::stable_sort(ideas.begin(), ideas.end(),
                     [](const Idea& a, const Idea& b) { return a.promise_dB > b.promise_dB; });
    const Cabinet drawn = build_cabinet(plan);
    std::erase_if(ideas, [&](const Idea& idea) { return !leaves_room(source, drawn, idea.entry); });
    ideas.resize(std::min(ideas.size(), most_computed));
    advice.n_computed = static_cast<int>(ideas.size());
    std::vector<std::optional<AdvisedChange>> found(ideas.size());
    std::size_t n_done = 0;
    computer.apart(
        ideas.size(),
        [&](std::size_t i) {
            return packed(computer.compute(source.variant_of_text(ideas[i].entry), source.workshop(), scheme));
        },
        [&](std::size_t i, const Outcome& outcome) {
            if (outcome.problem.empty())
                found[i] = compared(ideas[i], base.figures, *worst, unpacked(outcome.bytes).figures);
            progress("what to change first",
                     0.3 + 0.7 * static_cast<double>(++n_done) / static_cast<double>(ideas.size()));
        });
    const double drawn_dB = nearness_dB(*advice.worst);
    for (const std::optional<AdvisedChange>& change : found)
        if (change && change->worst_over_dB() < drawn_dB - least_gain_dB) advice.changes.push_back(*change);
    std::stable_sort(advice.changes.begin(), advice.changes.end(), [](const AdvisedChange& a, const AdvisedChange& b) {
        return a.worst_over_dB() < b.worst_over_dB();
    });
    advice.changes.resize(std::min(advice.changes.size(), most_kept));
    advice.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    return advice;
}

} // namespace stillwall::solver
