#include "mesh/gmsh/mesher.h"

namespace stillwall::mesh {
ShellMesh mesh_shell(const Cabinet&, const MeshOptions&) { throw MeshError("not built yet"); }
} // namespace stillwall::mesh
