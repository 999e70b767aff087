#pragma once
// Cabinets and their small changes, for the morph's tests.

#include "tests/mesh/mesher_cabinets.h"

#include <functional>

namespace stillwall::mesh_tests {

/// A cabinet family: the plan for a change of s millimetres.
struct Change
{
    std::string name;
    std::function<CabinetPlan(double s)> plan;
    double size = 1; ///< [mm] of the change tested at length
};

[[nodiscard]] inline BracePlan upright(const std::string& name, BracePlan::Plane plane, double at)
{
    BracePlan brace = shelf(name, at, 0.018);
    brace.plane = plane;
    return brace;
}

/// Holes of every shape, a shelf, two crossing braces, a free edge, two ribs, a taper, a window.
[[nodiscard]] inline CabinetPlan full_cabinet()
{
    CabinetPlan plan = box(0.30, 0.34, 0.70, 0.018);
    plan.outline[2].x() -= 0.025;
    plan.outline[3].x() += 0.025;
    plan.walls[0].layup = board_of(0.025);
    OpeningPlan port = hole("back", 0.15, 0.12, 0.068);
    OpeningPlan terminal = hole("back", 0.15, 0.55, 0.09);
    terminal.shape = OpeningPlan::Shape::RoundedRectangle;
    terminal.height = 0.07;
    terminal.corner_radius = 0.012;
    OpeningPlan slot = hole("right", 0, 0.18, 0.12);
    slot.x.reset();
    slot.y = 0.10;
    slot.shape = OpeningPlan::Shape::Slot;
    slot.height = 0.03;
    plan.openings = {hole("front", 0.15, 0.22, 0.19), hole("front", 0.15, 0.55, 0.10), port, terminal, slot,
                     window("shelf", 0.12, 0.14)};
    plan.braces = {shelf("shelf", 0.40, 0.018), upright("spine", BracePlan::Plane::FrontToBack, 0.15),
                   upright("frame", BracePlan::Plane::SideToSide, 0.20)};
    plan.braces[1].y_from = 0.12; // a free front edge
    plan.braces[2].z_to = 0.40;
    RibPlan rib;
    rib.name = "rib";
    rib.board = "left";
    rib.y1 = 0.07;
    rib.z1 = 0.50;
    rib.y2 = 0.25;
    rib.z2 = 0.62;
    rib.width = 0.02;
    rib.height = 0.03;
    plan.ribs = {rib};
    return plan;
}

/// The front leans back by about 10°.
[[nodiscard]] inline CabinetPlan leaning_box()
{
    CabinetPlan plan = box(0.24, 0.32, 0.42, 0.018);
    plan.baffle_slope = 0.17;
    plan.openings = {hole("front", 0.12, 0.20, 0.16)};
    return plan;
}

[[nodiscard]] inline std::vector<Change> changes()
{
    const auto vary = [](CabinetPlan (*make)(), auto alter) {
        return [make, alter](double s) {
            CabinetPlan plan = make();
            alter(plan, s);
            return plan;
        };
    };
    using Plan = CabinetPlan;
    const auto thicker = [](WallPlan& w, double s) { w.layup.plies[0].thickness += s * 1e-3; };
    return {
        {"shelf moved", vary(box_with_shelf, [](Plan& p, double s) { p.braces[0].at += s * 1e-3; }), 3},
        {"shelf thicker",
         vary(box_with_shelf, [](Plan& p, double s) { p.braces[0].layup = board_of((18 + s) * 1e-3); })},
        {"side thicker", vary(box_with_shelf, [=](Plan& p, double s) { thicker(p.walls[1], s); })},
        {"front thicker", vary(box_with_shelf, [=](Plan& p, double s) { thicker(p.walls[0], s); })},
        {"hole moved and larger", vary(box_with_shelf,
                                       [](Plan& p, double s) {
                                           *p.openings[0].x += s * 1e-3;
                                           p.openings[0].width += s * 1e-3;
                                       })},
        {"window wider", vary(box_with_shelf, [](Plan& p, double s) { p.openings[2].width += s * 1e-3; }), 2},
        {"window turned", vary(box_with_shelf, [](Plan& p, double s) { p.openings[2].rotation += 0.01 * s; })},
        {"taller", vary(box_with_shelf, [](Plan& p, double s) { p.height += s * 1e-3; }), 3},
        {"leaning, front thicker", vary(leaning_box, [=](Plan& p, double s) { thicker(p.walls[0], s); })},
        {"leaning further", vary(leaning_box, [](Plan& p, double s) { p.baffle_slope += 0.002 * s; })},
        {"full, spine moved", vary(full_cabinet, [](Plan& p, double s) { p.braces[1].at += s * 1e-3; })},
        {"full, frame moved", vary(full_cabinet, [](Plan& p, double s) { p.braces[2].at += s * 1e-3; })},
        {"full, free edge moved", vary(full_cabinet, [](Plan& p, double s) { *p.braces[1].y_from += s * 1e-3; })},
        {"full, side thicker", vary(full_cabinet, [=](Plan& p, double s) { thicker(p.walls[3], s); })},
        {"full, more taper", vary(full_cabinet, [](Plan& p, double s) { p.outline[2].x() -= s * 1e-3; })},
        {"full, rib turned", vary(full_cabinet, [](Plan& p, double s) { *p.ribs[0].z2 += s * 1e-3; }), 3},
        {"full, terminal rounder", vary(full_cabinet,
                                        [](Plan& p, double s) {
                                            p.openings[3].corner_radius += s * 1e-3;
                                            p.openings[3].height += s * 1e-3;
                                        })},
        {"full, slot longer", vary(full_cabinet, [](Plan& p, double s) { p.openings[4].width += s * 1e-3; })},
    };
}

} // namespace stillwall::mesh_tests
