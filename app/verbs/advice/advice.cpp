#include "app/verbs/advice/advice.h"

#include "app/verbs/advice/advice_ideas.h"
#include "app/workers/apart.h"
#include "app/workers/archive.h"
#include "mesh/cabinet/build.h"
#include "solver/verdict/verdict.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>

namespace stillwall::app {
namespace {

using solver::SchemeFigures;
using solver::SchemeMode;

/// How a wall mode counts: over notice by its level, rough where it was not played.
double over_notice(const SchemeMode& mode)
{
    return mode.is_heard ? mode.over_dB : mode.rough_dB - solver::strict_detection_dB(mode.Q);
}

double level_of(const SchemeMode& mode)
{
    return mode.is_heard ? mode.level_dB : mode.rough_dB;
}

int worst_wall(const SchemeFigures& figures)
{
    int worst = -1;
    for (std::size_t i = 0; i < figures.modes.size(); ++i) {
        const SchemeMode& mode = figures.modes[i];
        if (mode.kind != solver::SoundMode::Kind::Wall || !mode.is_board || (figures.is_played && !mode.is_heard))
            continue;
        if (worst < 0 || over_notice(mode) > over_notice(figures.modes[static_cast<std::size_t>(worst)]))
            worst = static_cast<int>(i);
    }
    return worst;
}

/// Whether it can be built.
bool can_be_built(const CabinetSource& source, const std::string& entry)
{
    try {
        static_cast<void>(build_cabinet(source.variant_of_text(entry)));
        return true;
    } catch (const Error&) {
        return false;
    }
}

/// Base and derivatives, in a process of its own: figures, and what the ideas promise.
std::string weigh(const CabinetSource& source, const CabinetPlan& plan, const SchemeTask& task)
{
    SchemeTask ringing = task;
    ringing.plays = false;
    ringing.wants_worth = true;
    const ComputedScheme rung = compute_scheme(plan, source.workshop(), ringing);
    const ComputedScheme base = task.plays ? compute_scheme(plan, source.workshop(), task) : rung;
    Packer packer;
    packer.put(packed(base));
    std::vector<Idea> ideas;
    const int worst = worst_wall(base.figures);
    if (worst >= 0) {
        // Played modes lie a little lower: the one alike counts.
        std::size_t column = static_cast<std::size_t>(worst);
        bool is_found = !task.plays;
        if (task.plays) {
            const solver::Met met = solver::met_again(base.figures, rung.figures)[static_cast<std::size_t>(worst)];
            is_found = met.mode >= 0;
            if (is_found) column = static_cast<std::size_t>(met.mode);
        }
        if (is_found) {
            CabinetPlan same = plan;
            same.f_max = task.f_max;
            const Cabinet cabinet = build_cabinet(same);
            ideas = ideas_for({source, plan, cabinet}, rung.figures, *rung.worth, column);
        }
    }
    packer.put(ideas.size());
    for (const Idea& idea : ideas) packer.put(idea.words), packer.put(idea.entry), packer.put(idea.promise_dB);
    return packer.take();
}

std::vector<Idea> unpack_ideas(const std::string& bytes, ComputedScheme& base)
{
    Unpacker unpacker(bytes);
    std::string scheme;
    unpacker.get(scheme);
    base = unpacked(scheme);
    std::size_t n = 0;
    unpacker.get(n);
    std::vector<Idea> ideas(n);
    for (Idea& idea : ideas) unpacker.get(idea.words), unpacker.get(idea.entry), unpacker.get(idea.promise_dB);
    return ideas;
}

AdvisedChange compared(const Idea& idea, const ComputedScheme& base, int worst, const ComputedScheme& scheme)
{
    AdvisedChange change{idea.words, idea.entry};
    const solver::Met met = solver::met_again(base.figures, scheme.figures)[static_cast<std::size_t>(worst)];
    if (met.mode >= 0) {
        const SchemeMode& there = scheme.figures.modes[static_cast<std::size_t>(met.mode)];
        change.f_Hz = there.f_Hz;
        change.mode_dB = level_of(there);
    }
    if (const int now = worst_wall(scheme.figures); now >= 0) {
        change.worst_over_dB = over_notice(scheme.figures.modes[static_cast<std::size_t>(now)]);
        change.worst_Hz = scheme.figures.modes[static_cast<std::size_t>(now)].f_Hz;
    } else {
        change.worst_over_dB = -200;
    }
    change.mass_change = scheme.figures.mass - base.figures.mass;
    change.volume_change = scheme.figures.net_volume - base.figures.net_volume;
    return change;
}

} // namespace

AdviceReport advise(const CabinetSource& source, const CabinetPlan& plan, bool plays, double f_max, double worst_Hz,
                    Progress& progress)
{
    constexpr std::size_t most_computed = 6, most_kept = 3;
    const auto start = std::chrono::steady_clock::now();
    AdviceReport report;
    report.is_played = plays;
    // The changes move modes by a tenth or two; what lies far above costs most of the time and is seldom heard.
    const double top = worst_Hz > 0 ? std::min(f_max, std::max(2 * worst_Hz, 400.0)) : f_max;
    const SchemeTask task{.plays = plays, .accuracy = Accuracy::Draft, .f_max = top, .pictures = {}};
    ComputedScheme base;
    std::vector<Idea> ideas;
    progress.show("what to change first", 0.1);
    compute_apart(
        1, [&](std::size_t) { return weigh(source, plan, task); },
        [&](std::size_t, const Outcome& outcome) {
            if (outcome.problem.empty()) ideas = unpack_ideas(outcome.bytes, base);
        });
    const int worst = worst_wall(base.figures);
    if (worst < 0 || ideas.empty()) return report;
    const SchemeMode& mode = base.figures.modes[static_cast<std::size_t>(worst)];
    report.mode = mode.name;
    report.f_Hz = mode.f_Hz;
    report.level_dB = level_of(mode);
    report.over_dB = over_notice(mode);
    report.n_weighed = static_cast<int>(ideas.size());

    std::stable_sort(ideas.begin(), ideas.end(),
                     [](const Idea& a, const Idea& b) { return a.promise_dB > b.promise_dB; });
    std::erase_if(ideas, [&](const Idea& idea) { return !can_be_built(source, idea.entry); });
    ideas.resize(std::min(ideas.size(), most_computed));
    report.n_computed = static_cast<int>(ideas.size());
    std::vector<std::optional<AdvisedChange>> found(ideas.size());
    std::size_t n_done = 0;
    compute_apart(
        ideas.size(),
        [&](std::size_t i) {
            return packed(compute_scheme(source.variant_of_text(ideas[i].entry), source.workshop(), task));
        },
        [&](std::size_t i, const Outcome& outcome) {
            if (outcome.problem.empty()) found[i] = compared(ideas[i], base, worst, unpacked(outcome.bytes));
            progress.show("what to change first",
                          0.3 + 0.7 * static_cast<double>(++n_done) / static_cast<double>(ideas.size()));
        });
    for (const std::optional<AdvisedChange>& change : found)
        if (change && change->worst_over_dB < report.over_dB - 0.1) report.changes.push_back(*change);
    std::stable_sort(report.changes.begin(), report.changes.end(),
                     [](const AdvisedChange& a, const AdvisedChange& b) { return a.worst_over_dB < b.worst_over_dB; });
    report.changes.resize(std::min(report.changes.size(), most_kept));
    report.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    return report;
}

} // namespace stillwall::app
