// Elements of the air cut along planes.
#include "mesh/cabinet/build.h"
#include "mesh/core/cut_air.h"
#include "mesh/gmsh/air_mesher.h"
#include "solver/air/regions.h"
#include "tests/mesh/mesher_cabinets.h"
#include "tests/solver/air_duct.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <map>
#include <tuple>

using namespace stillwall;
using namespace stillwall::mesh_tests;
using Catch::Matchers::WithinRel;
using On = AirMesh::Face::On;

namespace {

/// ∫ n dA by tag [m²], exact on curved faces too.
std::map<std::tuple<int, int, int, int, int>, Vector3d> areas(const AirMesh& mesh)
{
    std::map<std::tuple<int, int, int, int, int>, Vector3d> sum;
    for (const AirMesh::Face& f : mesh.faces) {
        const auto [it, is_new] =
            sum.try_emplace({static_cast<int>(f.on), f.board, f.side, f.opening, f.item}, Vector3d::Zero());
        it->second += area_vector(mesh, f);
    }
    return sum;
}

/// Elements right way round, neighbours share whole faces with all six nodes, the rest are the boundary's, every node
/// is used.
void check_conforming(const AirMesh& mesh)
{
    REQUIRE(mesh.tets.size() == mesh.chamber.size());
    std::map<std::array<int, 3>, std::vector<std::array<int, 6>>> uses;
    std::vector<bool> is_used(static_cast<std::size_t>(mesh.n_nodes()), false);
    const auto key_of = [](const std::array<int, 6>& node) {
        std::array<int, 3> key{node[0], node[1], node[2]};
        std::sort(key.begin(), key.end());
        return key;
    };
    double worst = 1;
    for (const auto& tet : mesh.tets) {
        worst = std::min(worst, jacobian_ratio(mesh, tet));
        for (const int node : tet) is_used[static_cast<std::size_t>(node)] = true;
        for (const auto& local : tet10_faces) {
            std::array<int, 6> node{};
            for (std::size_t a = 0; a < 6; ++a) node[a] = tet[static_cast<std::size_t>(local[a])];
            auto sorted = node;
            std::sort(sorted.begin(), sorted.end());
            uses[key_of(node)].push_back(sorted);
        }
    }
    CHECK(worst > 0);
    CHECK(std::all_of(is_used.begin(), is_used.end(), [](bool used) { return used; }));
    std::size_t n_open = 0;
    bool agree = true;
    for (const auto& [key, nodes] : uses) {
        n_open += nodes.size() == 1;
        agree = agree && nodes.size() <= 2 && nodes.front() == nodes.back();
    }
    CHECK(agree);
    CHECK(n_open == mesh.faces.size());
    for (const AirMesh::Face& face : mesh.faces) {
        const auto found = uses.find(key_of(face.node));
        REQUIRE(found != uses.end());
        auto sorted = face.node;
        std::sort(sorted.begin(), sorted.end());
        CHECK((found->second.size() == 1 && found->second[0] == sorted));
    }
}

/// Greatest height of an element's corners on the wrong side of a plane that runs through it [m].
double crossing(const AirMesh& mesh, const CuttingPlane& plane)
{
    double worst = 0;
    for (const auto& tet : mesh.tets) {
        double low = 0, high = 0;
        for (std::size_t c = 0; c < 4; ++c) {
            low = std::min(low, plane.height_of(mesh.nodes.col(tet[c])));
            high = std::max(high, plane.height_of(mesh.nodes.col(tet[c])));
        }
        worst = std::max(worst, std::min(-low, high));
    }
    return worst;
}

} // namespace

TEST_CASE("cut air is the same air", "[mesh][air]")
{
    CabinetPlan plan = box_with_shelf();
    plan.openings[0].insert.kind = InsertPlan::Kind::Driver;
    plan.openings[0].insert.volume = 1e-3; // a round body with curved elements about it
    const Cabinet cabinet = build_cabinet(plan);
    const AirMesh before = mesh::mesh_air(cabinet, {0.06});
    const std::vector<CuttingPlane> planes = {{{0, 0.25, 0}, Vector3d::UnitY()},
                                              {{0.06, 0, 0}, Vector3d::UnitX()},
                                              {{0.1, 0.1, 0.1}, Vector3d(1, 2, 2) / 3},
                                              {{0, 5, 0}, Vector3d::UnitY()}}; // the last one misses the box
    const AirMesh after = cut_air(before, planes);
    check_conforming(after);
    CHECK(after.n_chambers == before.n_chambers);
    // Reference: the uncut mesh: curved elements are cut as they are, moved corners stay in their face. Tolerance:
    // round-off of 20 l and of some 0.1 m².
    CHECK_THAT(volume(after), WithinRel(volume(before), 1e-12));
    const auto a = areas(before), b = areas(after);
    REQUIRE(a.size() == b.size());
    for (const auto& [tag, value] : a) CHECK((b.at(tag) - value).norm() < 1e-12);
    // 3 % of an edge of at most 60 mm may stay.
    for (const CuttingPlane& plane : planes) CHECK(crossing(after, plane) < 0.03 * 0.06);
    CHECK(crossing(before, planes[0]) > 0.01);
    CHECK(cut_air(before, {}).nodes == before.nodes);
    CHECK(cut_air(before, {planes[3]}).tets == before.tets);
}

TEST_CASE("on a fitted mesh fillings are exact in volume, also where they meet", "[solver][air]")
{
    CabinetPlan plan = box(0.3, 0.4, 0.5, 0.018); // 264 × 364 × 464 mm inside
    plan.braces = {shelf("shelf", 0.3, 0.02)};
    const Cabinet cabinet = build_cabinet(plan);
    Filling low, back, both;
    low.high = {1, 1, 0.171};
    back.board = cabinet.board_index("back");
    back.thickness = 0.05;
    both.board = cabinet.board_index("shelf");
    both.thickness = 0.03;
    const std::vector<Filling> fillings = {low, both, back};
    const AirMesh mesh = solver::fit_to_fillings(cabinet, mesh::mesh_air(cabinet, {0.057}), fillings);
    check_conforming(mesh);
    const auto regions = solver::assemble_regions(cabinet, mesh, fillings);
    // Reference: by hand. Tolerance: round-off; a corner left within 3 % of an edge
    // of the plane would cost up to 2e-3 of a filling, but here there is none.
    CHECK_THAT(regions[1].volume, WithinRel(0.264 * (0.364 - 0.05) * 0.153, 1e-9));
    CHECK_THAT(regions[2].volume, WithinRel(2 * 0.03 * 0.264 * (0.364 - 0.05), 1e-9));
    CHECK_THAT(regions[3].volume, WithinRel(0.05 * 0.264 * 0.444, 1e-9));
}
