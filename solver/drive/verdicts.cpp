#include "solver/drive/verdicts.h"

#include <algorithm>

namespace stillwall::solver {
namespace {

/// The judged one that is worst of those that count; the first of equals.
template <class Counts> // a predicate of a mode; callers differ
const SoundMode* worst_of(const std::vector<SoundMode>& modes, Counts counts)
{
    const SoundMode* worst = nullptr;
    for (const SoundMode& mode : modes)
        if (mode.worst && counts(mode) && (worst == nullptr || is_worse(*mode.worst, *worst->worst))) worst = &mode;
    return worst;
}

} // namespace

std::vector<std::size_t> modes_by_verdict(const std::vector<SoundMode>& modes)
{
    std::vector<std::size_t> order;
    for (std::size_t m = 0; m < modes.size(); ++m)
        if (modes[m].worst) order.push_back(m);
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return is_worse(*modes[a].worst, *modes[b].worst); });
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
        count.inaudible += verdict.word == Audibility::Inaudible;
        count.out_of_band += verdict.word == Audibility::OutOfBand;
        if (verdict.word == Audibility::OutOfBand) continue;
        count.expected_audible += verdict.audible_odds;
        count.expected_heard += verdict.heard_odds;
    }
    return count;
}

const SoundMode* worst_wall(const std::vector<SoundMode>& modes)
{
    return worst_of(modes, [](const SoundMode& mode) { return mode.kind == Resonance::Kind::Wall; });
}

void judge_played(const SoundResult& result, std::vector<JudgedMode>& judged)
{
    for (JudgedMode& mode : judged)
        if (mode.flag == Flag::NotPlayed) mode = {Flag::Outside, "outside the band that was played", mode.coupling, {}};
    for (const SoundMode& mode : result.modes) {
        if (!mode.wall || !mode.worst) continue;
        JudgedMode& wall = judged.at(static_cast<std::size_t>(*mode.wall));
        wall.played = mode;
        wall.flag = flag_of(mode.worst->verdict);
        wall.reason = mode.reason;
    }
}

const ModeAtListener* worst_at_listener(const SoundMode& mode)
{
    const ModeAtListener* worst = nullptr;
    for (const ModeAtListener& heard : mode.heard)
        if (heard.listener && (worst == nullptr || is_worse(heard, *worst))) worst = &heard;
    return worst;
}

const ModeAtListener* all_round(const SoundMode& mode)
{
    for (const ModeAtListener& heard : mode.heard)
        if (!heard.listener) return &heard;
    return nullptr;
}

std::size_t worst_listener(const SoundResult& result)
{
    const ModeAtListener* worst = nullptr;
    for (const SoundMode& mode : result.modes)
        if (const ModeAtListener* heard = worst_at_listener(mode); heard && (!worst || is_worse(*heard, *worst)))
            worst = heard;
    return worst == nullptr ? 0 : static_cast<std::size_t>(*worst->listener);
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
