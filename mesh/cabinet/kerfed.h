#pragma once
// Boards that are kerfed to bend.

#include "mesh/cabinet/plan.h"

namespace stillwall {

/// Stiffness round the curve of a board with open kerfs, over that of the uncut one, for plies of its two parts.
struct KerfFactors
{
    double ribs = 1; ///< on the modulus of the cut part
    double skin = 1; ///< on that of the skin left under the cuts
};

/// Along the curve the skin alone carries under the kerfs, the whole section between them, one after the other:
///     1/A = (1 − φ)/t + φ/s,   1/D = 12 ((1 − φ)/t³ + φ/s³)   per modulus, φ = (w + s/2)/p at most 1, s = t − d
/// D about each part's own middle, at no force along the curve. The half skin on φ is how far the skin's give reaches
/// under the ribs, a quarter of its thickness each way as at a joint (strip_extension). The factors give two plies of
/// thickness d and s the same A and D. Own derivation for a uniform section; not checked by measurement. φ neglects
/// that nearly closed kerfs touch.
/// @param thickness  t [m]
/// @throws DomainError unless 0 < depth < t and 0 < width < pitch
[[nodiscard]] KerfFactors kerf_factors(const Kerfs& kerfs, double thickness);

/// The lay-up with its plies cut. Ribs keep 1 − w/p of their modulus along the kerfs, of transverse shear and of
/// density; in-plane shear goes with the modulus round the curve (the ribs' own twist is neglected). Filled kerfs leave
/// the lay-up as it is: cured wood glue is about as stiff as panels of wood (from memory).
/// @param is_inside  cut from the first ply (−n face), else from the last
/// @param grain      [rad] of the lay-up from the direction round the curve, a multiple of π/2
/// @param materials  gets those of the cut plies
/// @throws DomainError as above, and when a ply runs neither along nor across the kerfs
[[nodiscard]] Layup kerfed(const Layup& layup, const Kerfs& kerfs, bool is_inside, double grain,
                           std::vector<Material>& materials);

} // namespace stillwall
