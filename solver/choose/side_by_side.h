#pragma once
// Schemes held against the first of them, and variants put in order.

#include "solver/choose/figures.h"

#include <span>

namespace stillwall::solver {

/// The first scheme's modes met again in each scheme, by places in `modes`; in the first itself each is its own.
/// @param schemes  at least one, the first is what the others are held against
/// @return  [scheme][mode of the first]
[[nodiscard]] std::vector<std::vector<Met>> met_in_each(std::span<const SchemeFigures* const> schemes);

/// Places of the modes of boards that are worth following through other schemes: those nearest to being heard when
/// played, else the lowest; ascending.
[[nodiscard]] std::vector<std::size_t> modes_to_follow(const SchemeFigures& first, std::size_t most);

/// Place of the mode a scheme is known by: its loudest wall, not played its first one; nothing for none.
[[nodiscard]] std::optional<std::size_t> chief_mode(const SchemeFigures& figures);

/// What became of the first scheme's chief mode in another, by places in `modes`.
struct ChiefStory
{
    std::size_t from = 0;             ///< in the first scheme
    std::optional<std::size_t> there; ///< where it is met again; nothing: no mode is like it
    std::optional<std::size_t> now;   ///< the other's own chief mode
    bool is_new = false;              ///< `now` has no like in the first scheme
};

/// @param met  of `first` in `other`, as met_in_each gives it
/// @return  nothing where the first scheme has no chief mode
[[nodiscard]] std::optional<ChiefStory> chief_story(const SchemeFigures& first, const SchemeFigures& other,
                                                    const std::vector<Met>& met);

/// What variants are put in order by.
struct VariantRank
{
    double first_Hz = 0; ///< first wall mode [Hz], > 0
    double over_dB = 0;  ///< of the wall nearest to notice; counts when played
};

/// Places of the variants that have a rank, the best first: the quietest when played, else the one with the highest
/// first mode; equals in their order.
[[nodiscard]] std::vector<std::size_t> best_first(const std::vector<std::optional<VariantRank>>& variants,
                                                  bool is_played);

} // namespace stillwall::solver
