#pragma once
// Cabinet → AirMesh: the air between the inner faces of the walls, less what stands in it, in ten-node tetrahedra.

#include "mesh/core/air_mesh.h"

namespace stillwall::mesh {

struct AirMeshOptions
{
    /// [m] edge of a tetrahedron in the open, 2 mm … 10 m. A quarter of the least wavelength (8 nodes on it) leaves 0.2
    /// % in the frequency of that wave, a third 0.6 %. At edges that stand out into the air and at inner ends of ports
    /// the elements are smaller on their own.
    double element_size = 0.057;
};

/// Meshes the air. Taken out: braces in their true thickness with their windows open (openings with an insert are
/// closed), rods, ribs, and the bodies of inserts that displace a volume. Layers on inner faces and braces lie in the
/// air in their true thickness, running on across the holes of their wall.
///
/// Body of an insert, on the −n side of its board: a round driver is a cone frustum as wide as its hole at the board
/// and half as wide at its end; any other insert is a prism of its hole's outline; the depth follows from the volume.
/// When it would come nearer than 5 mm to a board behind it, it is made shorter and wider: first the frustum's end is
/// widened to the hole's width, then the whole body beyond the hole. Where a body runs into a brace beside it, the
/// common part is taken out once. All holes of walls are closed flush with the inner face and their outlines are drawn
/// into the mesh. Curved edges and faces are followed by mid-edge nodes unless that folds an element. The same cabinet
/// gives the same mesh bit for bit.
/// @throws InputError when a body does not fit behind its hole
/// Where the mesh fails, element sizes of 0.9 and 0.8 of what was asked for are tried.
/// @throws MeshError  when the geometry or the mesh fails for all of them, or a face lies on nothing known
/// Gmsh keeps global state: not to be called from two threads.
[[nodiscard]] AirMesh mesh_air(const Cabinet& cabinet, const AirMeshOptions& options);

} // namespace stillwall::mesh
