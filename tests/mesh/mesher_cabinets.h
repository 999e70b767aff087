#pragma once
// Plans for the mesher's tests.

#include "mesh/cabinet/build.h"

namespace stillwall::mesh_tests {

/// Material 0 is a plain board, isotropic; the mesher never looks at it.
[[nodiscard]] inline Material plain_board()
{
    const auto q = [](double v) { return Quantity{v, v, v, "", ""}; };
    Material m;
    m.name = m.title = "plain";
    m.E1 = m.E2 = m.E3 = q(3e9);
    m.G12 = m.G13 = m.G23 = q(1.2e9);
    m.nu12 = m.nu13 = m.nu23 = q(0.25);
    m.rho = q(750);
    m.eta = m.eta2 = q(0.02);
    m.is_isotropic = true;
    return m;
}

[[nodiscard]] inline Layup board_of(double thickness)
{
    return {{{0, thickness, 0}}, "plain"};
}

[[nodiscard]] inline WallPlan wall(const std::string& name, double thickness)
{
    WallPlan w;
    w.name = name;
    w.layup = board_of(thickness);
    return w;
}

/// A box W × D × H [m], all boards `thickness`.
[[nodiscard]] inline CabinetPlan box(double W, double D, double H, double thickness)
{
    CabinetPlan plan;
    plan.name = "box";
    plan.materials = {plain_board()};
    plan.outline = {{0, 0}, {W, 0}, {W, D}, {0, D}};
    plan.height = H;
    for (const char* name : {"front", "right", "back", "left"}) plan.walls.push_back(wall(name, thickness));
    plan.top = wall("top", thickness);
    plan.bottom = wall("bottom", thickness);
    return plan;
}

[[nodiscard]] inline OpeningPlan hole(const std::string& board, double x, double z, double diameter)
{
    OpeningPlan o;
    o.name = board + " hole " + std::to_string(static_cast<int>(z * 1000));
    o.board = board;
    o.x = x;
    o.z = z;
    o.width = o.height = diameter;
    return o;
}

[[nodiscard]] inline OpeningPlan window(const std::string& board, double width, double height)
{
    OpeningPlan o;
    o.name = "window in " + board;
    o.board = board;
    o.shape = OpeningPlan::Shape::Rectangle;
    o.width = width;
    o.height = height;
    return o;
}

[[nodiscard]] inline BracePlan shelf(const std::string& name, double z, double thickness)
{
    BracePlan b;
    b.name = name;
    b.at = z;
    b.layup = board_of(thickness);
    return b;
}

/// 240 × 300 × 380 mm, 30 mm front with two holes, 12 mm back, a shelf with a window that runs into the larger hole.
[[nodiscard]] inline CabinetPlan box_with_shelf()
{
    CabinetPlan plan = box(0.24, 0.30, 0.38, 0.018);
    plan.walls[0].layup = board_of(0.030);
    plan.walls[2].layup = board_of(0.012);
    plan.openings = {hole("front", 0.12, 0.13, 0.17), hole("front", 0.12, 0.29, 0.09), window("shelf", 0.11, 0.15)};
    plan.braces = {shelf("shelf", 0.205, 0.018)};
    return plan;
}

} // namespace stillwall::mesh_tests
