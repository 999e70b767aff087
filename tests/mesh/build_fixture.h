#pragma once
// Plans for the tests of build_cabinet(). Lengths are written in millimetres and turned into SI here.

#include "mesh/cabinet/build.h"
#include "mesh/cabinet/units.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>
#include <string>

namespace build_fixture {

using namespace stillwall;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using units::mm;

// Round-off of coordinates below one metre after a few dozen operations [m].
inline constexpr double round_off = 1e-12;

inline Layup board_of(double thickness_mm, int material = 0)
{
    Layup layup;
    layup.plies = {{material, thickness_mm * mm, 0}};
    layup.label = "board";
    return layup;
}

inline SourcePos at_line(int line)
{
    return {"box.yaml", line, 3};
}

inline Material material_of(double rho)
{
    Material material;
    material.name = "mdf";
    material.rho = {rho, rho, rho, "", ""};
    return material;
}

struct BoxSizes
{
    double width = 240, height = 380, depth = 300; // [mm]
    double front = 18, back = 18, side = 18, lid = 18;
};

inline CabinetPlan box_plan(const BoxSizes& s = {}, double rho = 750)
{
    CabinetPlan plan;
    plan.name = "box";
    plan.file = "box.yaml";
    plan.where = at_line(1);
    plan.materials = {material_of(rho)};
    const double W = s.width * mm, D = s.depth * mm;
    plan.outline = {{0, 0}, {W, 0}, {W, D}, {0, D}};
    plan.height = s.height * mm;
    const auto wall = [](const char* name, double t_mm, int line) {
        WallPlan w;
        w.name = name;
        w.layup = board_of(t_mm);
        w.where = at_line(line);
        return w;
    };
    plan.walls = {wall("front", s.front, 10), wall("right", s.side, 11), wall("back", s.back, 12),
                  wall("left", s.side, 13)};
    plan.top = wall("top", s.lid, 14);
    plan.bottom = wall("bottom", s.lid, 15);
    return plan;
}

// An L seen from above: a 300 × 300 square without its 150 × 150 rear right quarter.
inline CabinetPlan l_plan(double t_mm = 18)
{
    CabinetPlan plan = box_plan({.width = 300, .height = 400, .depth = 300});
    plan.outline = {{0, 0}, {0.3, 0}, {0.3, 0.15}, {0.15, 0.15}, {0.15, 0.3}, {0, 0.3}};
    plan.walls.clear();
    for (int k = 0; k < 6; ++k) {
        WallPlan wall;
        wall.name = std::string("w").append(std::to_string(k));
        wall.layup = board_of(t_mm);
        wall.where = at_line(20 + k);
        plan.walls.push_back(wall);
    }
    plan.top.layup = plan.bottom.layup = board_of(t_mm);
    return plan;
}

inline BracePlan brace(const char* name, BracePlan::Plane plane, double at_mm, double t_mm = 18)
{
    BracePlan plan;
    plan.name = name;
    plan.plane = plane;
    plan.at = at_mm * mm;
    plan.layup = board_of(t_mm);
    plan.where = at_line(40);
    return plan;
}

inline OpeningPlan hole(const char* name, const char* board, double diameter_mm)
{
    OpeningPlan plan;
    plan.name = name;
    plan.board = board;
    plan.width = diameter_mm * mm;
    plan.where = at_line(50);
    return plan;
}

inline OpeningPlan hole_xz(const char* name, const char* board, double diameter_mm, double x_mm, double z_mm)
{
    OpeningPlan plan = hole(name, board, diameter_mm);
    plan.x = x_mm * mm;
    plan.z = z_mm * mm;
    return plan;
}

inline const Board& board(const Cabinet& cabinet, const char* name)
{
    const auto index = cabinet.board_index(name);
    REQUIRE(index);
    return cabinet.board(*index);
}

inline double part_mass(const Bookkeeping& book, const char* name)
{
    for (const PartLine& part : book.parts) {
        if (part.name == name) return part.mass;
    }
    FAIL("no part " << name);
    return 0;
}

inline std::vector<Junction> joints(const Cabinet& cabinet, const char* a, const char* b)
{
    const int ia = cabinet.board_index(a).value(), ib = cabinet.board_index(b).value();
    std::vector<Junction> found;
    for (const Junction& j : cabinet.junctions) {
        if ((j.passing == ia && j.ending == ib) || (j.passing == ib && j.ending == ia)) found.push_back(j);
    }
    return found;
}

inline double length(const Junction& junction)
{
    return (junction.to - junction.from).norm();
}

inline double area(const std::vector<Vector2d>& p)
{
    double twice = 0;
    for (std::size_t i = 0; i < p.size(); ++i) {
        const Vector2d &a = p[i], &b = p[(i + 1) % p.size()];
        twice += a.x() * b.y() - a.y() * b.x();
    }
    return twice / 2;
}

} // namespace build_fixture
