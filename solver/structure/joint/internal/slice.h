#pragma once
// The mesh of a joint's slice.

#include "solver/structure/joint/piece.h"

#include <array>
#include <vector>

namespace stillwall::solver::internal {

/// In leg thicknesses. A joint's own stresses have died away to e⁻⁶ there in isotropic wood, only to about e⁻² where
/// the board shears easily; legs of five thicknesses moved an orthotropic box (F of tests/boxes) by 0.05 % in the mean.
inline constexpr double leg_length = 1.5;

/// Tensor grid of nine-node cells over the cross-shaped slice.
class Slice
{
public:
    explicit Slice(const JointPiece& piece);

    struct Cell
    {
        std::array<int, 9> node;
        double x0, x1, y0, y1;
        bool is_row;
    };

    [[nodiscard]] const std::vector<Cell>& cells() const { return cells_; }
    [[nodiscard]] int n_nodes() const { return n_nodes_; }
    /// Two nodes of the block on a line along x, to take the rigid motion out.
    [[nodiscard]] int first_pin() const { return first_pin_; }
    [[nodiscard]] int second_pin() const { return second_pin_; }

    /// Cells' sides at the end of a leg: nodes (a, middle, b) and the coordinate across the leg.
    struct EndSide
    {
        std::array<int, 3> node;
        double from, to;
    };
    [[nodiscard]] std::vector<EndSide> end_sides(Leg leg) const;

private:
    void number_nodes();

    const JointPiece& piece_;
    std::vector<double> x_, y_;
    std::vector<Cell> cells_;
    int n_nodes_ = 0, first_pin_ = -1, second_pin_ = -1;
};

} // namespace stillwall::solver::internal
