#include "solver/drive/verdicts.h"

#include <algorithm>

namespace stillwall::solver {
namespace {

/// The judged one farthest over its strict line of those that count; the first of equals.
template <class Counts> // a predicate of a mode; callers differ
const SoundMode* worst_of(const std::vector<SoundMode>& modes, Counts counts)
{
    const SoundMode* worst = nullptr;
    for (const SoundMode& mode : modes)
        if (mode.worst && counts(mode) && (worst == nullptr || over_notice_dB(mode) > over_notice_dB(*worst)))
            worst = &mode;
    return worst;
}

} // namespace

std::vector<std::size_t> modes_by_verdict(const std::vector<SoundMode>& modes)
{
    std::vector<std::size_t> order;
    for (std::size_t m = 0; m < modes.size(); ++m)
        if (modes[m].worst) order.push_back(m);
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        const Verdict &first = modes[a].worst->verdict, &second = modes[b].worst->verdict;
        if (first.word != second.word) return first.word < second.word; // declared from audible to inaudible
        return first.over_strict_dB > second.over_strict_dB;
    });
    return order;
}

VerdictCount count_verdicts(const std::vector<SoundMode>& modes)
{
    VerdictCount count;
    for (const SoundMode& mode : modes) {
        if (!mode.worst) continue;
        const Verdict& verdict = mode.worst->verdict;
        count.audible += verdict.word == Audibility::Audible;
        count.borderline += verdict.word == Audibility::Borderline;
        if (verdict.word == Audibility::Inaudible) {
            ++count.inaudible;
            count.could_join += verdict.at_worst != Audibility::Inaudible;
        } else {
            count.could_drop += verdict.at_best == Audibility::Inaudible;
        }
    }
    return count;
}

const SoundMode* worst_wall(const std::vector<SoundMode>& modes)
{
    return worst_of(modes, [](const SoundMode& mode) { return mode.kind == Resonance::Kind::Wall; });
}

std::size_t worst_listener(const SoundResult& result)
{
    const SoundMode* worst = worst_of(result.modes, [](const SoundMode&) { return true; });
    return worst == nullptr ? 0 : static_cast<std::size_t>(worst->worst->listener);
}

const Wrinkle* largest_wrinkle(const SoundMode& mode)
{
    constexpr double least_share = 1e-3;
    const Wrinkle* largest = nullptr;
    for (const Wrinkle& wrinkle : mode.wrinkles)
        if (wrinkle.share >= least_share && (largest == nullptr || wrinkle.share > largest->share)) largest = &wrinkle;
    return largest;
}

std::optional<WallWrinkle> largest_wall_wrinkle(const SoundResult& result, const std::string& way)
{
    std::optional<WallWrinkle> largest;
    for (std::size_t m = 0; m < result.modes.size(); ++m)
        for (const Wrinkle& wrinkle : result.modes[m].wrinkles) {
            const bool counts = wrinkle.way == way && result.modes[m].kind == Resonance::Kind::Wall;
            if (counts && (!largest || wrinkle.share > largest->wrinkle.share)) largest = {m, wrinkle};
        }
    return largest;
}

} // namespace stillwall::solver
