#pragma once
// How finely the air inside and the outer faces are meshed for `sound`: the one place for these figures.

#include "mesh/cabinet/air.h"
#include "mesh/cabinet/cabinet.h"
#include "solver/modes/accuracy.h"

#include <algorithm>
#include <vector>

namespace stillwall::app {

using solver::Accuracy;

inline constexpr double sound_speed = Air{}.sound_speed; ///< [m/s] at 20 °C: fineness only

/// Largest edges [m], however low the frequencies: walls must show their mass, stiffness and openings, air the box's
/// own shape, panels that of the walls' motion. On a coarser mesh of shells a driver near a corner leaves no sound
/// element.
inline constexpr double largest_shell_element = 0.08, largest_air_element = 0.25, largest_panel = 0.08;

/// The same for one cabinet: as above up to a least side of 0.8 m; of larger ones a tenth of that side for walls and
/// panels, which no large opening outgrows, panels no more than a quarter of the shortest bending wave, and air a
/// third.
struct LargestEdges
{
    double shell = largest_shell_element, air = largest_air_element, panel = largest_panel; ///< [m]
};
[[nodiscard]] LargestEdges largest_edges(const Cabinet& cabinet, double f_high);

/// Edge of the walls' elements [m].
[[nodiscard]] double shell_element_size(const Cabinet& cabinet, double f_high, Accuracy accuracy);

/// Node spacings per shortest bending wave below f_high: seven tenths of those of `modes`, since what is heard lies
/// mostly an octave lower, where they are as many.
[[nodiscard]] constexpr double sound_points_per_wave(Accuracy accuracy)
{
    return 0.7 * points_per_wave(accuracy);
}

/// Edge of the air's tetrahedra [m] for waves up to f_high [Hz]: half of the shortest, so a quarter an octave lower,
/// where most is heard and 0.2 % of frequency are left (mesh/gmsh/air_mesher.h; 3 % at f_high). Draft 1/1.7, fine a
/// third.
[[nodiscard]] constexpr double air_element_size(double f_high, Accuracy accuracy, double largest = largest_air_element)
{
    const double per_wave = accuracy == Accuracy::Draft ? 1.7 : accuracy == Accuracy::Fine ? 3 : 2;
    return std::min(sound_speed / (per_wave * f_high), largest);
}

/// Panels outside and up to where they serve.
struct OuterLevel
{
    double top_Hz = 0;
    double element_size = 0; ///< [m]
};

/// Three levels, each for an octave below the next, the last up to f_high; a sixth of the shortest wave (draft: 4.5,
/// fine: an eighth), at the highest level three quarters as fine, where the panels' error is 0.4 dB and the cost grows
/// with the sixth power of frequency; but small enough to show the shape of the walls' motion. Levels that would be
/// equal are one. From coarse to fine.
[[nodiscard]] inline std::vector<OuterLevel> outer_levels(double f_high, Accuracy accuracy,
                                                          double largest = largest_panel)
{
    const double per_wave = accuracy == Accuracy::Draft ? 4.5 : accuracy == Accuracy::Fine ? 8 : 6;
    std::vector<OuterLevel> levels;
    for (const double top : {f_high / 4, f_high / 2, f_high}) {
        const double share = top == f_high && accuracy != Accuracy::Fine ? 0.75 : 1;
        const double size = std::min(sound_speed / (share * per_wave * top), largest);
        if (!levels.empty() && levels.back().element_size == size)
            levels.back().top_Hz = top;
        else
            levels.push_back({top, size});
    }
    return levels;
}

} // namespace stillwall::app
