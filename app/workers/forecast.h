#pragma once
// What a computation will take, told before it starts, and refused where the machine has not the memory.

#include "app/workers/sound_sizes.h"
#include "app/write/streams.h"
#include "mesh/cabinet/cabinet.h"
#include "solver/choose/scheme.h"

#include <functional>
#include <string>

namespace stillwall::app {

/// Size and cost of one computation.
struct Effort
{
    double shell_unknowns = 0, shell_modes = 0;
    double air_nodes = 0; ///< 0: nothing is played
    double panels = 0;    ///< outside, of the finest mesh
    double seconds = 0;   ///< of one processor
    double bytes = 0;     ///< at most at a time
};

/// Boards by themselves up to f_max [Hz]: nine-node elements by areas and joints, modes by area (Weyl), time as n^1.2.
[[nodiscard]] Effort effort_of_modes(const Cabinet& cabinet, double f_max, Accuracy accuracy);

/// Played up to f_high [Hz]: walls, air by volume and by the edges about which it is refined, panels outside, of which
/// every solve fills a square matrix.
[[nodiscard]] Effort effort_of_sound(const Cabinet& cabinet, double f_high, Accuracy accuracy);

/// Many computations alike, so many at a time, each in a process of its own.
[[nodiscard]] Effort times(const Effort& one, std::size_t n, std::size_t n_at_a_time);

/// [bytes] that this process can still have: what the machine has free, and what its limit of address space leaves.
[[nodiscard]] double available_memory();

/// A run, and what its user can turn down.
struct Forecast
{
    std::function<Effort(double f_high, Accuracy)> effort;
    double f_high = 0; ///< [Hz]
    Accuracy accuracy = Accuracy::Normal;
    std::string lower = "--upper {}"; ///< what lowers the highest frequency
    bool has_accuracy = true;         ///< there is an option --accuracy
};

/// A line where it takes over 20 s or 1 GB: "about 3 min of processor time and 1.6 GB: …"; empty where less.
[[nodiscard]] std::string effort_words(const Effort& effort);

/// The highest frequency of a played cabinet stands in its file.
inline constexpr const char* lower_in_file = "'to: {} Hz' under 'sound'";

/// Says on the stream of errors what a long run will take.
/// @param available  [bytes]
/// @throws Error  when it needs more memory than there is, with the highest frequency that would do, and whether draft
///                accuracy would
void announce(const Forecast& forecast, double available, const Streams& streams);

/// How many schemes are computed.
struct SchemeCount
{
    std::size_t n = 1;
    int at_a_time = 0;        ///< 0: as many as cores
    bool has_accuracy = true; ///< there is an option --accuracy
};

/// The same for verbs that compute many schemes, by the one that takes most; plans of which no cabinet can be built are
/// told when their turn comes.
void announce_schemes(const std::vector<CabinetPlan>& plans, const solver::SchemeTask& task, const SchemeCount& count,
                      const Streams& streams);

} // namespace stillwall::app
