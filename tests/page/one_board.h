#pragma once
// One upright board before a box, one element: places and shapes easy to say by heart.

#include "mesh/core/shell_mesh.h"

namespace stillwall::test {

/// The front of a box, 200 mm wide and 300 mm high, its mid-plane 9 mm behind the face; sawn 18 mm wider to both sides.
inline Cabinet front_board()
{
    Board board;
    board.name = "front";
    board.frame = {{0, 0.009, 0}, Vector3d::UnitX(), Vector3d::UnitZ(), -Vector3d::UnitY()};
    board.layup = {{{0, 0.018, 0}}, "mdf 18 mm"};
    board.outline = {{0, 0}, {0.2, 0}, {0.2, 0.3}, {0, 0.3}};
    board.sawn = {{-0.018, 0}, {0.218, 0}, {0.218, 0.3}, {-0.018, 0.3}};
    Cabinet cabinet;
    cabinet.name = "one board";
    cabinet.boards = {board};
    return cabinet;
}

/// Nine nodes, numbered as in shell_mesh.h.
inline ShellMesh one_element()
{
    ShellMesh mesh;
    mesh.nodes.resize(3, 9);
    const double x[9] = {0, 0.2, 0.2, 0, 0.1, 0.2, 0.1, 0, 0.1}, z[9] = {0, 0, 0.3, 0.3, 0, 0.15, 0.3, 0.15, 0.15};
    for (int i = 0; i < 9; ++i) mesh.nodes.col(i) = Vector3d(x[i], 0.009, z[i]);
    ShellMesh::Quad quad;
    for (int i = 0; i < 9; ++i) quad.node[static_cast<std::size_t>(i)] = i;
    mesh.quads = {quad};
    return mesh;
}

} // namespace stillwall::test
