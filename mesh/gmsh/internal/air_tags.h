#pragma once
// What fills a point of the cabinet, and what lies behind a point of the air's boundary.

#include "mesh/core/air_mesh.h"
#include "mesh/gmsh/internal/air_shapes.h"

#include <optional>
#include <vector>

namespace stillwall::mesh {

class AirTagger
{
public:
    AirTagger(const Cabinet& cabinet, std::vector<AirBrace> braces, std::vector<AirBody> bodies,
              std::vector<AirLayer> layers);

    /// What the face at point p with unit normal n out of the air lies on; the nodes are left empty.
    /// Nothing when no solid is found there.
    [[nodiscard]] std::optional<AirMesh::Face> at(const Vector3d& p, const Vector3d& n) const;

    /// Whether the point lies between the walls' inner faces.
    [[nodiscard]] bool is_inside(const Vector3d& p) const;

    /// What stands in the box at the point, as the tag of its surface (a brace: its edge, with the window when that is
    /// within 0.1 mm). Nothing in the air.
    [[nodiscard]] std::optional<AirMesh::Face> solid_at(const Vector3d& p) const;

    [[nodiscard]] const Cabinet& cabinet() const { return cabinet_; }

private:
    [[nodiscard]] std::optional<AirMesh::Face> wall_at(const Vector3d& p, const Vector3d& n) const;
    [[nodiscard]] std::optional<AirMesh::Face> brace_face_at(const Vector3d& p, const Vector3d& n) const;
    [[nodiscard]] std::optional<AirMesh::Face> layer_face_at(const Vector3d& p, const Vector3d& n) const;
    /// Whether the point lies behind the face of a hole that the layer lifts, be it that the layer ends short of the
    /// hole's edge.
    [[nodiscard]] bool is_lifted(const AirLayer& layer, const Vector3d& p) const;
    [[nodiscard]] std::optional<AirMesh::Face> layer_edge_at(const Vector3d& behind) const;
    [[nodiscard]] std::optional<AirMesh::Face> body_at(const Vector3d& p, const Vector3d& n) const;
    [[nodiscard]] std::optional<AirMesh::Face> bar_at(const Vector3d& behind) const;
    [[nodiscard]] std::optional<AirMesh::Face> brace_edge_at(const Vector3d& behind) const;
    [[nodiscard]] AirMesh::Face on_face(int board, int side, const Vector3d& p) const;

    const Cabinet& cabinet_;
    Hull inner_;
    std::vector<AirBrace> braces_;
    std::vector<AirBody> bodies_;
    std::vector<AirLayer> layers_;
    std::vector<Polygon> wall_faces_; ///< inner faces, in the boards' frames
};

} // namespace stillwall::mesh
