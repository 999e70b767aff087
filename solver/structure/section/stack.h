#pragma once
// A board with the layers bonded to it, cut at its soft films into leaves.
//
// Between two stiff leaves a soft film shears and the leaves slide over each other, each bending on its own: one shear
// angle through the thickness (section.h) cannot say that. Each leaf then gets shell elements of its own over the same
// mid-plane, and the film elements between them (shell/film.h). That reproduces Ross, Kerwin & Ungar (1959) and Mead &
// Markus (J. Sound Vib. 10 (1969) 163) and holds as long as a leaf itself is not softer in shear than section.h allows
// and the film thinner than the leaves.

#include "mesh/cabinet/cabinet.h"

#include <span>
#include <vector>

namespace stillwall::solver {

/// Where a ply comes from: of the board itself (layer −1) or of a face layer (index into Cabinet::layers).
struct PlyOrigin
{
    int layer = -1;
    int ply = 0; ///< in that lay-up
    auto operator<=>(const PlyOrigin&) const = default;
};

struct Leaf
{
    int first = 0, last = 0; ///< plies [first, last) of the stack
    double z_bottom = 0;     ///< [m] above the board's mid-plane
    bool is_base = false;    ///< holds the board's innermost ply: joints, drivers and supports act on it
    PlyOrigin key;           ///< names the leaf: the same with and without other layers
};

struct Film
{
    int ply = 0;         ///< of the stack; lies between leaf `below` and leaf below + 1
    int below = 0;       ///< leaf index
    double z_bottom = 0; ///< [m]
    PlyOrigin key;
};

struct Stack
{
    std::vector<Ply> plies; ///< from −n to +n, angles from the lay-up's zero direction
    std::vector<PlyOrigin> origin;
    std::vector<Leaf> leaves;
    std::vector<Film> films;
    int base = 0; ///< index of the base leaf

    [[nodiscard]] std::span<const Ply> plies_of(const Leaf& leaf) const
    {
        return std::span(plies).subspan(static_cast<std::size_t>(leaf.first),
                                        static_cast<std::size_t>(leaf.last - leaf.first));
    }
};

/// Plies of a board with these face layers on it, cut at the plies named in `soft`.
/// @param layers  indices into cabinet.layers, at most one a face
/// @param rebate  opening of the board under whose driver's flange this is: the rebate's depth is gone from the +n side
[[nodiscard]] Stack make_stack(const Cabinet& cabinet, int board, std::span<const int> layers,
                               std::span<const PlyOrigin> soft, int rebate = -1);

/// Plies at which a board with these layers must be cut: soft ones inside (G < 1/200 of Young's modulus of both plies
/// beside), where the one shear angle of section.h misses the flexural stiffness by more than 1 % at the shortest wave
/// of frequency f_max,
///     one angle:  B₁ = D / (1 + D k²/A_s),  A_s = G d²/h · D²/D_s²
///     leaves:     B₂ = D_a + D_b + D_s / (1 + D_s k²/(G d²/h))
/// D_a, D_b: bending stiffness of the sheets on either side alone, d the distance of their neutral planes, D_s = D −
/// D_a − D_b.
[[nodiscard]] std::vector<PlyOrigin> soft_plies(const Cabinet& cabinet, const std::vector<Material>& materials,
                                                int board, std::span<const int> layers, double f_max_Hz);

/// The board as if its soft films were as stiff as the ply beneath: what its joints are made of.
[[nodiscard]] Layup without_films(const Layup& layup, std::span<const PlyOrigin> soft);

} // namespace stillwall::solver
