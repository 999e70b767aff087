#pragma once
// Strips of joints that act on an element.

#include "solver/structure/internal/law_table.h"
#include "solver/structure/structure.h"

namespace stillwall::solver::internal {

/// A junction on either side of an element counts with n pointing to the element.
class StripFinder
{
public:
    StripFinder(const Cabinet& cabinet, const ShellMesh& mesh, LawTable& laws)
        : cabinet_(cabinet), mesh_(mesh), laws_(laws)
    {
    }

    /// Pairs (junction, +1 or −1: which side of the line, along e_s × n of the board).
    using Key = std::vector<std::pair<int, int>>;

    [[nodiscard]] Key key_of(const ShellMesh::Quad& quad) const;
    [[nodiscard]] std::vector<StripUse> uses(const Key& key, int board) const;

    /// Whether another board stands on this face within the element's strips, so that nothing bonded to the face
    /// passes.
    [[nodiscard]] bool blocks(const Key& key, int board, double side) const;

private:
    [[nodiscard]] bool repeats_line(const Key& key, int junction) const;
    [[nodiscard]] StripLaw law_of(const Junction& junction, int board) const;
    [[nodiscard]] double side_of(const Junction& junction, int board) const;
    [[nodiscard]] const Junction& junction(int index) const
    {
        return cabinet_.junctions[static_cast<std::size_t>(index)];
    }

    const Cabinet& cabinet_;
    const ShellMesh& mesh_;
    LawTable& laws_;
};

} // namespace stillwall::solver::internal
