#pragma once
// A small box for the laws of the mode analysis. All figures invented.

#include "mesh/cabinet/build.h"
#include "mesh/gmsh/mesher.h"
#include "solver/modes/analysis.h"

#include <catch2/catch.hpp>

namespace cabinet_fixture {

using namespace stillwall;

inline Quantity figure(double value, double low, double high)
{
    return {value, low, high, {}, {}};
}
inline Quantity exactly(double value)
{
    return figure(value, value, value);
}

/// Isotropic; ranges as factors on modulus and loss.
struct Wood
{
    std::string name = "wood";
    double E = 3e9, rho = 750, loss = 0.02;
    double low = 1, high = 1, loss_low = 1, loss_high = 1;
    double nu = 0.3;
};

inline Material make(const Wood& w)
{
    const double G = w.E / (2 * (1 + w.nu));
    Material m;
    m.name = w.name;
    m.E1 = m.E2 = m.E3 = figure(w.E, w.low * w.E, w.high * w.E);
    m.G12 = m.G13 = m.G23 = figure(G, w.low * G, w.high * G);
    m.nu12 = m.nu13 = m.nu23 = exactly(w.nu);
    m.rho = exactly(w.rho);
    m.eta = m.eta2 = figure(w.loss, w.loss_low * w.loss, w.loss_high * w.loss);
    m.is_isotropic = true;
    return m;
}

/// A film whose modulus grows with frequency: G at 100 Hz and at 1000 Hz.
inline Material film(double G_100, double G_1000, double loss)
{
    Material m = make({.name = "film", .E = 2 * 1.49 * G_100, .rho = 1000, .loss = loss, .nu = 0.49});
    m.damping = {{20, 100, exactly(G_100), exactly(loss)}, {20, 1000, exactly(G_1000), exactly(loss)}};
    return m;
}

inline WallPlan wall(const std::string& name, double t = 0.018, int material = 0)
{
    WallPlan w;
    w.name = name;
    w.layup.plies = {{material, t, 0}};
    return w;
}

/// A box of 200 × 300 × 250 mm with a shelf, so that corners and Tee joints are in it.
inline CabinetPlan box(const Material& wood)
{
    CabinetPlan plan;
    plan.name = "box";
    plan.materials = {wood};
    plan.outline = {{0, 0}, {0.2, 0}, {0.2, 0.25}, {0, 0.25}};
    plan.height = 0.3;
    plan.walls = {wall("front"), wall("right"), wall("back"), wall("left")};
    plan.top = wall("top");
    plan.bottom = wall("bottom");
    BracePlan shelf;
    shelf.name = "shelf";
    shelf.at = 0.14;
    shelf.layup.plies = {{0, 0.018, 0}};
    plan.braces = {shelf};
    return plan;
}

inline void add_driver(CabinetPlan& plan, double mass)
{
    OpeningPlan hole;
    hole.name = "woofer";
    hole.board = "front";
    hole.width = hole.height = 0.08;
    hole.x = 0.1;
    hole.z = 0.07;
    hole.insert.kind = InsertPlan::Kind::Driver;
    hole.insert.mass = mass;
    plan.openings.push_back(hole);
}

/// A back that can be taken off: springs per metre of its edges.
inline void loosen_back(CabinetPlan& plan, double normal, double shear, double loss)
{
    JointPlan joint;
    joint.name = "back";
    joint.kind = JointPlan::Kind::Springs;
    joint.board = "back";
    joint.normal = exactly(normal);
    joint.shear = exactly(shear);
    joint.loss = exactly(loss);
    plan.joints.push_back(joint);
}

/// A layer over the whole clear inner face of a board, plies from the face away.
inline void add_layer(CabinetPlan& plan, const std::string& board, std::vector<Ply> plies, double cover = 1)
{
    LayerPlan layer;
    layer.name = "layer on " + board;
    layer.board = board;
    layer.layup.plies = std::move(plies);
    layer.cover = cover;
    plan.layers.push_back(layer);
}

inline solver::ModesResult analyse(const CabinetPlan& plan, double f_max = 1500, double element_size = 0.06)
{
    const Cabinet cabinet = build_cabinet(plan);
    solver::ModesOptions options;
    options.f_max = f_max;
    return solver::analyse_modes(cabinet, mesh::mesh_shell(cabinet, {.element_size = element_size}), options);
}

} // namespace cabinet_fixture
