// Whole boxes against converged 3-D elasticity, modes paired by shape.
#include "mesh/cabinet/build.h"
#include "mesh/gmsh/mesher.h"
#include "solver/modes/analysis.h"
#include "solver/structure/shell/attach.h"
#include "tests/measured.h"

#include <catch2/catch.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <numbers>

using namespace stillwall;
using nlohmann::json;

namespace {

constexpr double mm = 1e-3;

void fix(Quantity& q, double value)
{
    q.value = q.low = q.high = value;
}

Material material_of(const json& m)
{
    Material material;
    material.name = "board";
    if (m.at("type") == "iso") {
        const double E = m.at("E"), nu = m.at("nu");
        for (Quantity* q : {&material.E1, &material.E2, &material.E3}) fix(*q, E);
        for (Quantity* q : {&material.nu12, &material.nu13, &material.nu23}) fix(*q, nu);
        for (Quantity* q : {&material.G12, &material.G13, &material.G23}) fix(*q, E / (2 * (1 + nu)));
        material.is_isotropic = true;
    } else {
        fix(material.E1, m.at("E1"));
        fix(material.E2, m.at("E2"));
        fix(material.E3, m.at("E3"));
        fix(material.G12, m.at("G12"));
        fix(material.G13, m.at("G13"));
        fix(material.G23, m.at("G23"));
        fix(material.nu12, m.at("nu12"));
        fix(material.nu13, m.at("nu13"));
        fix(material.nu23, m.at("nu23"));
    }
    fix(material.rho, m.at("rho"));
    fix(material.eta, 0.02);
    material.eta2 = material.eta;
    return material;
}

WallPlan wall(const std::string& name, double thickness_mm)
{
    WallPlan w;
    w.name = name;
    w.layup.plies = {{0, thickness_mm * mm, 0}};
    w.grain = std::numbers::pi / 2; // axis 1 along z, or y for top and bottom
    return w;
}

CabinetPlan plan_of(const json& box)
{
    CabinetPlan plan;
    plan.name = box.at("box");
    plan.materials = {material_of(box.at("material"))};
    const double W = box.at("width"), D = box.at("depth"), H = box.at("height");
    plan.outline = {{0, 0}, {W * mm, 0}, {W * mm, D * mm}, {0, D * mm}};
    plan.height = H * mm;
    const json& t = box.at("thickness");
    plan.walls = {wall("front", t.at("front")), wall("right", t.at("side")), wall("back", t.at("back")),
                  wall("left", t.at("side"))};
    plan.top = wall("top", t.at("top"));
    plan.bottom = wall("bottom", t.at("bottom"));
    for (const json& hole : box.at("holes")) {
        OpeningPlan opening;
        opening.name = "hole " + std::to_string(plan.openings.size() + 1);
        opening.board = "front";
        opening.width = opening.height = hole[0].get<double>() * mm;
        opening.x = (W / 2 + hole[1].get<double>()) * mm;
        opening.z = hole[2].get<double>() * mm;
        plan.openings.push_back(opening);
    }
    for (const json& shelf : box.at("shelves")) {
        BracePlan brace;
        brace.name = "shelf" + std::to_string(plan.braces.size() + 1);
        brace.at = shelf.at("z").get<double>() * mm;
        brace.layup.plies = {{0, shelf.at("t").get<double>() * mm, 0}};
        OpeningPlan window;
        window.name = brace.name + " window";
        window.board = brace.name;
        window.shape = OpeningPlan::Shape::Rectangle;
        window.width = shelf.at("win")[0].get<double>() * mm;
        window.height = shelf.at("win")[1].get<double>() * mm;
        plan.braces.push_back(brace);
        plan.openings.push_back(window);
    }
    return plan;
}

/// One sample of a board's normal displacement, as shape functions over an element's nodes.
struct Probe
{
    std::string board;
    std::size_t index = 0;
    std::array<int, 9> node{};
    Eigen::VectorXd N;
    Vector3d normal;
};

std::vector<Probe> probes_of(const json& box, const Cabinet& cabinet, const ShellMesh& mesh)
{
    std::vector<Probe> probes;
    for (const auto& [name, board] : box.at("boards").items()) {
        const auto& n = board.at("normal");
        for (std::size_t i = 0; i < board.at("points_mm").size(); ++i) {
            if (box.at("modes")[0].at("samples").at(name)[i].is_null()) continue;
            const auto& p = board.at("points_mm")[i];
            const auto at =
                solver::locate(cabinet, mesh, cabinet.board_index(name).value(), Vector3d(p[0], p[1], p[2]) * mm);
            probes.push_back(
                {name, i, mesh.quads[static_cast<std::size_t>(at.quad)].node, at.N, Vector3d(n[0], n[1], n[2])});
        }
    }
    return probes;
}

Eigen::VectorXd sampled(const std::vector<Probe>& probes, const Eigen::VectorXd& shape)
{
    Eigen::VectorXd v = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(probes.size()));
    for (std::size_t i = 0; i < probes.size(); ++i)
        for (std::size_t a = 0; a < 9; ++a)
            v[static_cast<Eigen::Index>(i)] += probes[i].N[static_cast<Eigen::Index>(a)] *
                                               shape.segment<3>(3 * probes[i].node[a]).dot(probes[i].normal);
    return v;
}

Eigen::VectorXd reference_samples(const std::vector<Probe>& probes, const json& mode)
{
    Eigen::VectorXd v(static_cast<Eigen::Index>(probes.size()));
    for (std::size_t i = 0; i < probes.size(); ++i)
        v[static_cast<Eigen::Index>(i)] = mode.at("samples").at(probes[i].board)[probes[i].index];
    return v;
}

struct Comparison
{
    double mean_percent = 0, worst_percent = 0, least_likeness = 1;
};

/// Pairs each reference mode with the computed one of the most alike shape (modal assurance criterion), each used once.
Comparison compare(const std::string& name, double points_per_wave)
{
    const json box = json::parse(std::ifstream("tests/boxes/box_" + name + ".json"));
    const Cabinet cabinet = build_cabinet(plan_of(box));
    const ShellMesh mesh = mesh::mesh_shell(cabinet, {solver::element_size_for(cabinet, 1500, points_per_wave)});
    solver::ModesOptions options;
    options.f_max = 1.06 * box.at("modes").back().at("f_hz").get<double>();
    const auto result = solver::analyse_modes(cabinet, mesh, options);
    REQUIRE(result.is_proved);
    REQUIRE(result.n_rigid == 6);
    CHECK(std::abs(result.mass_model / box.at("mass_kg").get<double>() - 1) < 1e-3);

    const auto probes = probes_of(box, cabinet, mesh);
    std::vector<Eigen::VectorXd> shapes;
    for (Eigen::Index k = 0; k < result.shapes.cols(); ++k) shapes.push_back(sampled(probes, result.shapes.col(k)));
    Comparison comparison;
    std::vector<bool> is_taken(shapes.size(), false);
    std::printf("box %s, %.0f spacings a wave, %d unknowns\n", name.c_str(), points_per_wave, result.n_unknowns);
    for (const json& mode : box.at("modes")) {
        const Eigen::VectorXd reference = reference_samples(probes, mode);
        std::size_t best = 0;
        double likeness = -1;
        for (std::size_t k = 0; k < shapes.size(); ++k) {
            const double mac =
                std::pow(reference.dot(shapes[k]), 2) / reference.squaredNorm() / shapes[k].squaredNorm();
            if (!is_taken[k] && mac > likeness) {
                likeness = mac;
                best = k;
            }
        }
        is_taken[best] = true;
        const double f_ref_Hz = mode.at("f_hz"), f_Hz = result.modes[best].f_Hz, off = 100 * (f_Hz / f_ref_Hz - 1);
        std::printf("  %9.2f Hz  %9.2f Hz  %+6.2f %%  likeness %.3f\n", f_ref_Hz, f_Hz, off, likeness);
        comparison.mean_percent += std::abs(off) / static_cast<double>(box.at("modes").size());
        comparison.worst_percent = std::max(comparison.worst_percent, std::abs(off));
        comparison.least_likeness = std::min(comparison.least_likeness, likeness);
    }
    print_measured(fmt::format("box {}, {:g} spacings a wave, {} unknowns, {} modes, against 3-D elasticity", name,
                               points_per_wave, result.n_unknowns, box.at("modes").size()),
                   fmt::format("mean {:.2f} %, worst {:.2f} %", comparison.mean_percent, comparison.worst_percent));
    return comparison;
}

} // namespace

TEST_CASE("boxes against 3-D elasticity at the default mesh rule", "[solver][boxes][reference]")
{
    // Reference: 3-D elasticity, 20 elastic modes, own converged computation (error 0.01 to 0.14 %, in the data file).
    // Tolerance: the project's aim, 1.5 % each and 0.7 % in the mean; no constant of the model was fitted to these
    // boxes. Measured:
    //   A 0.16 / 0.37 %, C 0.27 / 1.19 %, F 0.26 / 0.90 % (mean / worst). Likeness 0.85: two close modes of one
    //   symmetry may mix.
    const std::string name = GENERATE("A", "C", "F");
    const Comparison c = compare(name, 10);
    CAPTURE(name);
    CHECK(c.mean_percent < 0.7);
    CHECK(c.worst_percent < 1.5);
    CHECK(c.least_likeness > 0.85);
}

TEST_CASE("boxes against 3-D elasticity on a fine mesh", "[solver][boxes][reference]")
{
    // Reference: as above. Tolerance: what is left on a fine mesh is the model's own error, not the mesh's; measured
    // means 0.13,
    //   0.30 and 0.29 %, worst 0.97 %; the rest is head-room for another mesher.
    const std::string name = GENERATE("A", "C", "F");
    const Comparison c = compare(name, 18);
    CAPTURE(name);
    CHECK(c.mean_percent < 0.45);
    CHECK(c.worst_percent < 1.2);
}
