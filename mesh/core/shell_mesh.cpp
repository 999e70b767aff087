#include "mesh/core/shell_mesh.h"

#include "mesh/core/quad9.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <map>

namespace stillwall {

namespace {

/// ∂x/∂r × ∂x/∂s [m²]
Vector3d area_vector(const ShellMesh& mesh, const ShellMesh::Quad& quad, double r, double s)
{
    const Vector3d nr = quadratics(r), ns = quadratics(s), dr = quadratic_slopes(r), ds = quadratic_slopes(s);
    Vector3d xr = Vector3d::Zero(), xs = Vector3d::Zero();
    for (int k = 0; k < 9; ++k) {
        const auto x = mesh.nodes.col(quad.node[k]);
        xr += dr[quad9_column[k]] * ns[quad9_row[k]] * x;
        xs += nr[quad9_column[k]] * ds[quad9_row[k]] * x;
    }
    return xr.cross(xs);
}

/// Length [m] of a quadratic side through three points.
double side_length(const Vector3d& first, const Vector3d& middle, const Vector3d& last)
{
    double length = 0;
    for (std::size_t i = 0; i < 3; ++i) {
        const Vector3d d = quadratic_slopes(gauss_x[i]);
        length += gauss_w[i] * (d[0] * first + d[1] * middle + d[2] * last).norm();
    }
    return length;
}

} // namespace

double scaled_jacobian(const ShellMesh& mesh, const ShellMesh::Quad& quad)
{
    const Vector3d up = area_vector(mesh, quad, 0, 0).normalized();
    double low = std::numeric_limits<double>::max(), high = 0;
    for (int k = 0; k < 9; ++k) {
        const double J = area_vector(mesh, quad, quad9_column[k] - 1, quad9_row[k] - 1).dot(up);
        low = std::min(low, J);
        high = std::max(high, std::abs(J));
    }
    return low / high;
}

double area(const ShellMesh& mesh, const ShellMesh::Quad& quad)
{
    double sum = 0;
    for (std::size_t i = 0; i < 3; ++i)
        for (std::size_t j = 0; j < 3; ++j)
            sum += gauss_w[i] * gauss_w[j] * area_vector(mesh, quad, gauss_x[i], gauss_x[j]).norm();
    return sum;
}

MeshQuality mesh_quality(const ShellMesh& mesh)
{
    MeshQuality quality;
    quality.min_scaled_jacobian = mesh.quads.empty() ? 0 : 1;
    std::map<int, std::pair<int, double>> sides; // mid-side node → uses, length
    for (const ShellMesh::Quad& quad : mesh.quads) {
        quality.min_scaled_jacobian = std::min(quality.min_scaled_jacobian, scaled_jacobian(mesh, quad));
        quality.area += area(mesh, quad);
        for (int c = 0; c < 4; ++c) {
            auto& [uses, length] = sides[quad.node[4 + c]];
            if (uses++ == 0)
                length = side_length(mesh.nodes.col(quad.node[c]), mesh.nodes.col(quad.node[4 + c]),
                                     mesh.nodes.col(quad.node[(c + 1) % 4]));
        }
    }
    for (const auto& [node, side] : sides)
        if (side.first == 1) quality.free_edge_length += side.second;
    return quality;
}

} // namespace stillwall
