#include "solver/choose/side_by_side.h"

#include <algorithm>

namespace stillwall::solver {

std::vector<std::vector<Met>> met_in_each(std::span<const SchemeFigures* const> schemes)
{
    const SchemeFigures& first = *schemes.front();
    std::vector<Met> self(first.modes.size());
    for (std::size_t i = 0; i < self.size(); ++i) self[i] = {static_cast<int>(i), 1};
    std::vector<std::vector<Met>> met{std::move(self)};
    for (const SchemeFigures* scheme : schemes.subspan(1)) met.push_back(met_again(first, *scheme));
    return met;
}

std::vector<std::size_t> modes_to_follow(const SchemeFigures& first, std::size_t most)
{
    std::vector<std::size_t> walls = wall_modes(first);
    std::erase_if(walls, [&](std::size_t i) { return !first.modes[i].is_board; });
    if (first.is_played)
        std::stable_sort(walls.begin(), walls.end(), [&](std::size_t a, std::size_t b) {
            return over_notice_dB(first.modes[a]) > over_notice_dB(first.modes[b]); // nothing is below all
        });
    walls.resize(std::min(walls.size(), most));
    std::sort(walls.begin(), walls.end());
    return walls;
}

std::optional<std::size_t> chief_mode(const SchemeFigures& figures)
{
    return figures.loudest ? figures.loudest : figures.first;
}

std::optional<ChiefStory> chief_story(const SchemeFigures& first, const SchemeFigures& other,
                                      const std::vector<Met>& met)
{
    const std::optional<std::size_t> chief = chief_mode(first);
    if (!chief) return {};
    ChiefStory story{.from = *chief, .there = {}, .now = chief_mode(other)};
    if (met[*chief].mode >= 0) story.there = static_cast<std::size_t>(met[*chief].mode);
    story.is_new = story.now && std::none_of(met.begin(), met.end(),
                                             [&](const Met& m) { return m.mode == static_cast<int>(*story.now); });
    return story;
}

std::vector<std::size_t> best_first(const std::vector<std::optional<VariantRank>>& variants, bool is_played)
{
    std::vector<std::size_t> places;
    for (std::size_t i = 0; i < variants.size(); ++i)
        if (variants[i]) places.push_back(i);
    std::stable_sort(places.begin(), places.end(), [&](std::size_t a, std::size_t b) {
        return is_played ? variants[a]->over_dB < variants[b]->over_dB : variants[a]->first_Hz > variants[b]->first_Hz;
    });
    return places;
}

} // namespace stillwall::solver
