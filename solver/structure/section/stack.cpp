#include "solver/structure/section/stack.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver {
namespace {

struct Column
{
    std::vector<Ply> plies;
    std::vector<PlyOrigin> origin;
    double z_bottom = 0;
};

/// Board and layers as one column of plies; a layer's plies are listed from the face outwards.
Column column_of(const Cabinet& cabinet, int board_index, std::span<const int> layers)
{
    const Board& board = cabinet.board(board_index);
    Column column;
    column.z_bottom = -board.thickness() / 2;
    const auto layer_on = [&](double side) {
        for (int l : layers)
            if (cabinet.layers[static_cast<std::size_t>(l)].side == side) return l;
        return -1;
    };
    const auto ply_of = [&](int layer, int i) {
        Ply ply = cabinet.layers[static_cast<std::size_t>(layer)].layup.plies[static_cast<std::size_t>(i)];
        ply.angle -= board.grain; // a layer's angles are counted from e1
        return ply;
    };
    if (const int inner = layer_on(-1); inner >= 0) {
        const Layup& layup = cabinet.layers[static_cast<std::size_t>(inner)].layup;
        column.z_bottom -= layup.thickness();
        for (int i = static_cast<int>(layup.plies.size()) - 1; i >= 0; --i) {
            column.plies.push_back(ply_of(inner, i));
            column.origin.push_back({inner, i});
        }
    }
    for (int i = 0; i < static_cast<int>(board.layup.plies.size()); ++i) {
        column.plies.push_back(board.layup.plies[static_cast<std::size_t>(i)]);
        column.origin.push_back({-1, i});
    }
    if (const int outer = layer_on(+1); outer >= 0) {
        const Layup& layup = cabinet.layers[static_cast<std::size_t>(outer)].layup;
        for (int i = 0; i < static_cast<int>(layup.plies.size()); ++i) {
            column.plies.push_back(ply_of(outer, i));
            column.origin.push_back({outer, i});
        }
    }
    return column;
}

/// Takes `depth` off the +n side.
void cut_from_top(Column& column, double depth)
{
    constexpr double sliver = 1e-6; // [m] no ply is left thinner
    while (depth > 0 && !column.plies.empty()) {
        double& thickness = column.plies.back().thickness;
        if (thickness > depth + sliver) {
            thickness -= depth;
            return;
        }
        depth -= thickness;
        column.plies.pop_back();
        column.origin.pop_back();
    }
}

/// Bending of a run of plies, along and across averaged: stiffness about its own neutral plane.
struct Bending
{
    double EA = 0, D = 0, z = 0; ///< [N/m], [N·m], [m] neutral plane
};

double modulus(const Ply& ply, const std::vector<Material>& materials)
{
    const Material& m = materials[static_cast<std::size_t>(ply.material)];
    return std::max(m.E1.value, m.E2.value);
}

Bending bending_of(const std::vector<Ply>& plies, std::size_t first, std::size_t last, double z_first,
                   const std::vector<Material>& materials)
{
    double e0 = 0, e1 = 0, e2 = 0, z = z_first;
    for (std::size_t i = first; i < last; ++i) {
        const double E = modulus(plies[i], materials), top = z + plies[i].thickness;
        e0 += E * (top - z);
        e1 += E * (top * top - z * z) / 2;
        e2 += E * (top * top * top - z * z * z) / 3;
        z = top;
    }
    return {e0, e2 - e1 * e1 / e0, e1 / e0};
}

constexpr double soft_ratio = 1.0 / 200; ///< plywood's rolling shear lies at 1/90: never a film
constexpr double missed = 0.01;

} // namespace

Stack make_stack(const Cabinet& cabinet, int board, std::span<const int> layers, std::span<const PlyOrigin> soft,
                 int rebate)
{
    Column column = column_of(cabinet, board, layers);
    if (rebate >= 0)
        cut_from_top(column, cabinet.board(board).openings.at(static_cast<std::size_t>(rebate)).insert.body.recess);
    Stack stack;
    double z = column.z_bottom;
    const auto n = static_cast<int>(column.plies.size());
    const auto is_soft = [&](int i) {
        return std::find(soft.begin(), soft.end(), column.origin[static_cast<std::size_t>(i)]) != soft.end();
    };
    Leaf leaf{0, 0, z, false, {}};
    const auto close = [&](int last) {
        leaf.last = last;
        const PlyOrigin bottom = column.origin[static_cast<std::size_t>(leaf.first)];
        for (int i = leaf.first; i < last; ++i)
            leaf.is_base |= column.origin[static_cast<std::size_t>(i)] == PlyOrigin{-1, 0};
        leaf.key = bottom;
        if (leaf.is_base) stack.base = static_cast<int>(stack.leaves.size());
        stack.leaves.push_back(leaf);
    };
    for (int i = 0; i < n; ++i) {
        if (i > leaf.first && i + 1 < n && is_soft(i)) {
            close(i);
            stack.films.push_back(
                {i, static_cast<int>(stack.leaves.size()) - 1, z, column.origin[static_cast<std::size_t>(i)]});
            leaf = {i + 1, 0, z + column.plies[static_cast<std::size_t>(i)].thickness, false, {}};
        }
        z += column.plies[static_cast<std::size_t>(i)].thickness;
    }
    close(n);
    stack.plies = std::move(column.plies);
    stack.origin = std::move(column.origin);
    return stack;
}

std::vector<PlyOrigin> soft_plies(const Cabinet& cabinet, const std::vector<Material>& materials, int board,
                                  std::span<const int> layers, double f_max_Hz)
{
    const Column column = column_of(cabinet, board, layers);
    const auto n = column.plies.size();
    double mass = 0;
    for (const Ply& ply : column.plies)
        mass += materials[static_cast<std::size_t>(ply.material)].rho.value * ply.thickness;
    std::vector<PlyOrigin> found;
    double z = column.z_bottom;
    for (std::size_t i = 0; i < n; z += column.plies[i].thickness, ++i) {
        const Material& m = materials[static_cast<std::size_t>(column.plies[i].material)];
        const double G = std::min(m.G13.value, m.G23.value), h = column.plies[i].thickness;
        if (i == 0 || i + 1 == n) continue;
        const double E_beside =
            std::min(modulus(column.plies[i - 1], materials), modulus(column.plies[i + 1], materials));
        if (G > soft_ratio * E_beside) continue;
        const Bending whole = bending_of(column.plies, 0, n, column.z_bottom, materials);
        const Bending below = bending_of(column.plies, 0, i, column.z_bottom, materials);
        const Bending above = bending_of(column.plies, i + 1, n, z + h, materials);
        const double slide = G * std::pow(above.z - below.z, 2) / h, sum = below.D + above.D, shared = whole.D - sum;
        const double k2 = 2 * std::numbers::pi * f_max_Hz * std::sqrt(mass / sum); // shortest wave: leaves alone
        const double one_angle = whole.D / (1 + shared * shared / whole.D * k2 / slide);
        const double leaves = sum + shared / (1 + shared * k2 / slide);
        if (std::abs(one_angle / leaves - 1) > missed) found.push_back(column.origin[i]);
    }
    return found;
}

Layup without_films(const Layup& layup, std::span<const PlyOrigin> soft)
{
    Layup solid = layup;
    for (const PlyOrigin& film : soft)
        if (film.layer < 0 && film.ply > 0) {
            const auto i = static_cast<std::size_t>(film.ply);
            solid.plies[i].material = solid.plies[i - 1].material;
            solid.plies[i].angle = solid.plies[i - 1].angle;
        }
    return solid;
}

} // namespace stillwall::solver
