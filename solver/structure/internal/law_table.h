#pragma once
// The joints' laws, each computed once: like corners share one.

#include "mesh/cabinet/cabinet.h"
#include "solver/structure/joint/strip_law.h"

#include <vector>

namespace stillwall::solver::internal {

/// Direction of a junction line in a board's plane [rad] from its e1.
[[nodiscard]] double edge_direction(const Board& board, const Junction& junction);

/// Mean of a board's corners, in space.
[[nodiscard]] Eigen::Vector3d middle_of(const Board& board);

class LawTable
{
public:
    /// @param known  laws found before, by what enters their slice; new ones are added
    LawTable(const Cabinet& cabinet, LawCache& known) : cabinet_(cabinet), laws_(known) {}

    /// The passing board is the row of the piece, the ending one its column.
    const JointLaw& of(const Junction& junction);

private:
    [[nodiscard]] SliceMaterial slice(int board, const Junction& junction) const;
    [[nodiscard]] JointPiece piece_of(const Junction& junction) const;

    const Cabinet& cabinet_;
    LawCache& laws_;
};

} // namespace stillwall::solver::internal
