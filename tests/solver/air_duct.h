#pragma once
// A straight duct of ten-node tetrahedra on a lattice, for waves that depend on one coordinate only.

#include "mesh/core/air_mesh.h"

#include <algorithm>
#include <map>
#include <numeric>

namespace air_duct {

using namespace stillwall;
using On = AirMesh::Face::On;

/// length × width × width along x, `n` cells along it and one across, each cut in six along its diagonal. Faces: x = 0
/// is a hole (board 0, opening 0), x = length board 1, the sides are mouths of nothing, so that they do not absorb.
inline AirMesh duct(double length, double width, int n)
{
    AirMesh mesh;
    mesh.n_chambers = 1;
    const auto node = [](int i, int j, int k) { return (i * 3 + j) * 3 + k; }; // lattice of half cells
    mesh.nodes.resize(3, (2 * n + 1) * 9);
    for (int i = 0; i <= 2 * n; ++i)
        for (int j = 0; j < 3; ++j)
            for (int k = 0; k < 3; ++k)
                mesh.nodes.col(node(i, j, k)) = Vector3d(length * i / (2 * n), width * j / 2, width * k / 2);
    for (int cell = 0; cell < n; ++cell) {
        std::array<int, 3> axis{0, 1, 2};
        do {
            std::array<Eigen::Vector3i, 4> corner;
            corner[0] = {2 * cell, 0, 0};
            for (std::size_t c = 0; c < 3; ++c) corner[c + 1] = corner[c] + 2 * Eigen::Vector3i::Unit(axis[c]);
            const bool is_odd = (axis[1] - axis[0] + 3) % 3 != 1;
            if (is_odd) std::swap(corner[1], corner[2]);
            std::array<int, 10> tet{};
            for (std::size_t c = 0; c < 4; ++c) tet[c] = node(corner[c][0], corner[c][1], corner[c][2]);
            for (std::size_t e = 0; e < 6; ++e) {
                const Eigen::Vector3i m = (corner[static_cast<std::size_t>(tet10_edges[e][0])] +
                                           corner[static_cast<std::size_t>(tet10_edges[e][1])]) /
                                          2;
                tet[4 + e] = node(m[0], m[1], m[2]);
            }
            mesh.tets.push_back(tet);
            mesh.chamber.push_back(0);
        } while (std::next_permutation(axis.begin(), axis.end()));
    }
    std::map<std::array<int, 3>, std::array<int, 6>> open;
    for (const auto& tet : mesh.tets) {
        for (const auto& local : tet10_faces) {
            std::array<int, 6> face{};
            for (std::size_t a = 0; a < 6; ++a) face[a] = tet[static_cast<std::size_t>(local[a])];
            std::array<int, 3> key{face[0], face[1], face[2]};
            std::sort(key.begin(), key.end());
            if (const auto [it, is_new] = open.try_emplace(key, face); !is_new) open.erase(it);
        }
    }
    for (const auto& [key, nodes] : open) {
        AirMesh::Face face;
        face.node = nodes;
        const auto all_at = [&](double x) {
            return std::all_of(key.begin(), key.end(), [&](int a) { return std::abs(mesh.nodes(0, a) - x) < 1e-9; });
        };
        face.on = all_at(0) ? On::Hole : all_at(length) ? On::Board : On::Mouth;
        face.board = all_at(0) ? 0 : all_at(length) ? 1 : 2;
        face.side = -1;
        face.opening = face.board == 1 ? -1 : 0;
        mesh.faces.push_back(face);
    }
    return mesh;
}

/// Boards enough for the tags: 0 with the hole at x = 0, 1 the end, its inner face at x = length.
inline Cabinet ends(double length, double width, double thickness = 0.018)
{
    Cabinet cabinet;
    cabinet.boards.resize(3);
    for (Board& board : cabinet.boards) board.layup.plies = {{0, thickness, 0}};
    cabinet.boards[0].openings.resize(1);
    Board& end = cabinet.boards[1];
    end.frame = {{length + thickness / 2, 0, 0}, Vector3d::UnitY(), Vector3d::UnitZ(), Vector3d::UnitX()};
    end.outline = {{-thickness, -thickness},
                   {width + thickness, -thickness},
                   {width + thickness, width + thickness},
                   {-thickness, width + thickness}};
    return cabinet;
}

} // namespace air_duct
