#pragma once
// The cabinet as the shell mesher draws it: in a size and a position of its own, so that a cabinet, its mirror image,
// its copy in other units and its copy of another size (with elements as much larger) are all the same drawing, and
// round-off cannot choose between two patterns of elements.

#include "mesh/core/shell_mesh.h"

namespace stillwall::mesh {

/// [m] side of an element on the drawing.
inline constexpr double drawn_element = 0.04;

class CanonicalCabinet
{
public:
    /// @param element_size  [m] of the cabinet as it is
    CanonicalCabinet(const Cabinet& cabinet, double element_size);

    /// Only what the shell mesher looks at: boards, their frames, outlines and openings; junctions, ribs, clamped
    /// edges. In their own order and about frames of their own; coordinates are rounded.
    [[nodiscard]] const Cabinet& cabinet() const { return drawn_; }
    [[nodiscard]] double scale() const { return scale_; } ///< drawn lengths over true ones
    [[nodiscard]] Vector3d to_true(const Vector3d& drawn) const;
    [[nodiscard]] int true_board(int drawn) const { return board_.at(static_cast<std::size_t>(drawn)); }
    /// The mesh of the drawing as one of the cabinet.
    [[nodiscard]] ShellMesh to_true(const ShellMesh& drawn) const;

private:
    struct Draft;
    void take(Draft draft);
    void lay_on_boards(ShellMesh& mesh) const;

    double scale_ = 1, middle_ = 0, sign_ = 1; ///< middle: [m] of the mirror plane x = const
    std::vector<Frame> frames_;                ///< of the true boards
    Cabinet drawn_;
    std::vector<int> board_, junction_;     ///< [drawn] → true
    std::vector<std::vector<int>> opening_; ///< [drawn board][drawn] → true
    std::vector<bool> is_turned_;           ///< [drawn board] its frame runs round the other way
};

} // namespace stillwall::mesh
