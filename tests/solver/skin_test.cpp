// Motion of the boards' faces: rigid bodies, volume changes and integrals by hand.

#include "mesh/cabinet/build_hull.h"
#include "mesh/gmsh/air_mesher.h"
#include "mesh/gmsh/mesher.h"
#include "solver/air/face_points.h"
#include "solver/drive/skin.h"
#include "tests/mesh/morph_cabinets.h"

#include <catch2/catch.hpp>

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

using namespace stillwall;
using namespace stillwall::mesh_tests;
using namespace stillwall::solver;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using Eigen::VectorXd;
using On = AirMesh::Face::On;

namespace {

/// Motion at a place.
struct Motion
{
    Vector3d u = Vector3d::Zero(), theta = Vector3d::Zero();
};

struct Model
{
    Cabinet cabinet;
    ShellMesh shell;
    Structure structure;
    AirMesh air;

    explicit Model(const CabinetPlan& plan) : cabinet(build_cabinet(plan)), shell(mesh::mesh_shell(cabinet, {0.06}))
    {
        LawCache laws;
        structure = build_structure(cabinet, shell, 500, laws);
        air = mesh::mesh_air(cabinet, {0.08});
    }

    /// The unknowns of a motion given in space.
    template <class Field> [[nodiscard]] VectorXd unknowns(const Field& field) const
    {
        VectorXd v(6 * structure.nodes.cols());
        for (Eigen::Index n = 0; n < structure.nodes.cols(); ++n) {
            const Motion m = field(Vector3d(structure.nodes.col(n)));
            v.segment<6>(6 * n) << m.u, m.theta;
        }
        return v;
    }
    [[nodiscard]] VectorXd translation(const Vector3d& u) const
    {
        return unknowns([&](const Vector3d&) { return Motion{u, Vector3d::Zero()}; });
    }
    [[nodiscard]] RowMatrix coupling() const { return air_coupling(cabinet, shell, structure, air); }
    [[nodiscard]] double volume_change(const VectorXd& v) const { return (coupling() * v).sum(); }
    /// C of some of the faces alone.
    template <class Wanted> [[nodiscard]] RowMatrix coupling_of(const Wanted& wanted) const
    {
        AirMesh part = air;
        std::erase_if(part.faces, [&](const AirMesh::Face& face) { return !wanted(face); });
        REQUIRE(!part.faces.empty());
        return air_coupling(cabinet, shell, structure, part);
    }
};

const Vector3d shift(0.3, -0.7, 0.5), turn(-0.4, 0.9, 0.6); // general, neither small nor along an axis

Motion rigid(const Vector3d& x)
{
    return {shift + turn.cross(x), turn};
}

/// What the contract promises at a face's point under the rigid motion: the point's own motion on boards, the centre of
/// mass's along the axis on inserts.
double promised(const Cabinet& cabinet, const SkinPoint& point)
{
    const Board& board = cabinet.board(point.board);
    const Opening* opening = point.opening ? &board.openings[static_cast<std::size_t>(*point.opening)] : nullptr;
    if (opening == nullptr || opening->insert.kind == InsertPlan::Kind::None)
        return point.normal.dot(rigid(point.at).u);
    const Vector3d centre = board.frame.to_space(opening->centre) - opening->insert.offset * board.frame.n;
    return point.normal.dot(board.frame.n) * board.frame.n.dot(rigid(centre).u);
}

/// Rigid motion on all faces that move; returns how many faces of each kind there were.
std::map<On, int> check_rigid(const Model& model)
{
    std::map<On, int> count;
    std::vector<SkinPoint> points;
    for (const AirMesh::Face& face : model.air.faces) {
        ++count[face.on];
        if (face.on == On::Rod || face.on == On::Mouth) continue;
        const bool is_insert = face.on == On::Hole || face.on == On::Body;
        for (const auto& p : internal::face_points(model.air, face))
            points.push_back(
                {p.at, p.dA.normalized(), face.board, is_insert ? std::optional(face.opening) : std::nullopt});
    }
    const VectorXd v = model.unknowns(rigid);
    const VectorXd motion = normal_motion(model.cabinet, model.shell, model.structure, points) * v;
    double worst = 0;
    for (std::size_t p = 0; p < points.size(); ++p)
        worst = std::max(worst, std::abs(motion[static_cast<Eigen::Index>(p)] - promised(model.cabinet, points[p])));
    CHECK(worst < 1e-11); // round-off of motions of order 1, Newton's last step, and the fit of a rim's rotation
    return count;
}

OpeningPlan with_insert(OpeningPlan opening, InsertPlan::Kind kind, double volume, double offset)
{
    opening.insert.kind = kind;
    opening.insert.mass = 1.5;
    opening.insert.volume = volume;
    opening.insert.offset = offset;
    return opening;
}

/// Shelf, window, a hole without insert, layers inside and on both faces of the shelf.
CabinetPlan layered_cabinet()
{
    CabinetPlan plan = box_with_shelf();
    const auto layer = [](const char* name, const char* board, bool inside) {
        LayerPlan l;
        l.name = name;
        l.board = board;
        l.inside = inside;
        l.layup = board_of(0.004);
        l.cover = 0.5;
        return l;
    };
    plan.layers = {layer("a", "left", true), layer("b", "shelf", true), layer("c", "shelf", false)};
    return plan;
}

/// Driver with a body, port with a body, plate, all off the middle.
CabinetPlan cabinet_with_inserts()
{
    CabinetPlan plan = box(0.24, 0.30, 0.38, 0.018);
    plan.openings = {with_insert(hole("front", 0.12, 0.13, 0.15), InsertPlan::Kind::Driver, 6e-4, 0.02),
                     with_insert(hole("front", 0.11, 0.29, 0.06), InsertPlan::Kind::Port, 1.5e-4, 0.03),
                     with_insert(hole("back", 0.13, 0.2, 0.07), InsertPlan::Kind::Plate, 0, 0)};
    return plan;
}

} // namespace

TEST_CASE("the triangle's rule integrates every monomial to degree 8", "[solver][skin]")
{
    const auto factorial = [](int n) { return std::tgamma(n + 1.0); };
    for (int a = 0; a <= 8; ++a)
        for (int b = 0; a + b <= 8; ++b) {
            double sum = 0;
            for (const auto& [r, s, weight] : internal::triangle_rule_8())
                sum += weight * std::pow(r, a) * std::pow(s, b);
            CAPTURE(a, b);
            // Reference: a! b! / (a + b + 2)!, the beta integral. Tolerance: figures to 15 digits.
            CHECK_THAT(sum, WithinRel(factorial(a) * factorial(b) / factorial(a + b + 2), 1e-12));
        }
}

TEST_CASE("faces of a cabinet that moves as a rigid body move with it", "[solver][skin]")
{
    CabinetPlan taper = box(0.24, 0.30, 0.38, 0.018);
    taper.outline[2].x() -= 0.04;
    taper.outline[3].x() += 0.03;
    taper.walls[1].layup = board_of(0.03);
    CHECK(check_rigid(Model(taper)).size() == 1);
    const auto leaning = check_rigid(Model(leaning_box()));
    CHECK(leaning.at(On::Hole) > 0); // without insert: the board
    const auto full = check_rigid(Model(full_cabinet()));
    CHECK(full.at(On::Rib) > 0);
    const auto layered = check_rigid(Model(layered_cabinet()));
    CHECK(layered.at(On::Layer) > 0);
    const auto inserts = check_rigid(Model(cabinet_with_inserts()));
    CHECK(inserts.at(On::Body) > 0);
    CHECK(inserts.at(On::Hole) > 0);
    CHECK(inserts.at(On::Mouth) > 0);
}

TEST_CASE("a closed cavity carried along keeps its volume", "[solver][skin]")
{
    // Reference: Gauss's theorem, ∫ n dA = 0, and ∫ N n·u over the boundary is ∫ ∇N·u inside: linear pressure p = g·x
    // meets g·u V. Tolerance: round-off of some 0.1 m² on each side; of V also Newton's last step in finding places.
    for (const CabinetPlan& plan : {box_with_shelf(), leaning_box(), layered_cabinet()}) {
        const Model model(plan);
        const RowMatrix C = model.coupling();
        for (const Vector3d& u : {Vector3d(1, 0, 0), Vector3d(0, 1, 0), Vector3d(0, 0, 1)})
            CHECK(std::abs((C * model.translation(u)).sum()) < 1e-12);
        CHECK(std::abs((C * model.unknowns(rigid)).sum()) < 1e-12);
        const Vector3d g(0.2, 0.5, -0.3);
        const VectorXd p = model.air.nodes.transpose() * g;
        CHECK_THAT(p.dot(C * model.translation(shift)), WithinRel(g.dot(shift) * volume(model.air), 1e-10));
    }
}

TEST_CASE("a box blown up about a corner gains the volume its walls sweep", "[solver][skin]")
{
    // u = x: a wall whose mid-plane lies at distance m from the origin moves outwards by m. Reference: by hand, inner
    // faces w d h, opposite mid-planes w + t, d + t, h + t apart. Tolerance: round-off, and Newton's last step in
    // finding places.
    const double t = 0.018, w = 0.204, d = 0.264, h = 0.344;
    const Model model(box(0.24, 0.30, 0.38, t));
    const VectorXd v = model.unknowns([](const Vector3d& x) { return Motion{x, Vector3d::Zero()}; });
    CHECK_THAT(model.volume_change(v), WithinRel((w + t) * d * h + (d + t) * w * h + (h + t) * w * d, 1e-11));
    // The force of a unit pressure does the same work: it pushes the walls apart.
    CHECK_THAT(v.dot(model.coupling().transpose() * VectorXd::Ones(model.air.n_nodes())),
               WithinRel(model.volume_change(v), 1e-12));
}

TEST_CASE("quadratic pressure times linear and quadratic motion, by hand", "[solver][skin]")
{
    // Reference: by hand. p = x² − 2 x z in the cabinet's axes. Only front and back move, u_y = −f(x, z) y: uₙ is f t/2
    // on the front's mid-plane and −f (D − t/2) on the back's, so Σ = (t − D) ∫ p f dx dz over the inner face.
    // Tolerance: round-off of sums that partly cancel; the rule holds the polynomials, of degree 4 on a facet, exactly.
    const double W = 0.24, D = 0.30, H = 0.38, t = 0.018;
    const Model model(box(W, D, H, t));
    const RowMatrix C = model.coupling();
    const auto X = model.air.nodes.row(0).array(), Z = model.air.nodes.row(2).array();
    const VectorXd p = (X * X - 2 * X * Z).matrix().transpose();
    // M(a, b) = ∫∫ x^a z^b over the inner face
    const auto M = [&](int a, int b) {
        const auto power = [](double from, double to, int n) {
            return (std::pow(to, n + 1) - std::pow(from, n + 1)) / (n + 1);
        };
        return power(t, W - t, a) * power(t, H - t, b);
    };
    const VectorXd linear = model.unknowns([](const Vector3d& x) {
        return Motion{{0, -(x.x() + 3 * x.z()) * x.y(), 0}, {}};
    });
    const double by_hand_1 = M(3, 0) + 3 * M(2, 1) - 2 * M(2, 1) - 6 * M(1, 2);
    CHECK_THAT(p.dot(C * linear), WithinRel((t - D) * by_hand_1, 1e-10));
    const VectorXd quadratic = model.unknowns([](const Vector3d& x) {
        return Motion{{0, -(x.x() * x.z() + x.z() * x.z()) * x.y(), 0}, {}};
    });
    const double by_hand_2 = M(3, 1) + M(2, 2) - 2 * M(2, 2) - 2 * M(1, 3);
    CHECK_THAT(p.dot(C * quadratic), WithinRel((t - D) * by_hand_2, 1e-10));
}

TEST_CASE("a shelf pushes the air with both faces and the edges of its window", "[solver][skin]")
{
    // Reference: areas by hand from the drawing. Tolerance: the air mesher's planes to 1e-9, round-off of the rest.
    CabinetPlan plan = box(0.24, 0.30, 0.38, 0.018);
    plan.braces = {shelf("shelf", 0.2, 0.018)};
    plan.openings = {window("shelf", 0.10, 0.14)};
    const Model model(plan);
    const int board = model.cabinet.board_index("shelf").value();
    const double face_area = 0.204 * 0.264 - 0.10 * 0.14;
    const VectorXd up = model.translation(Vector3d::UnitZ());
    for (int side : {-1, 1}) {
        const RowMatrix C =
            model.coupling_of([&](const auto& f) { return f.on == On::Board && f.board == board && f.side == side; });
        // Out of the air is into the wood: the upper face moves away from its air, −n there is −z.
        const double n_z = model.cabinet.board(board).frame.n.z();
        CHECK_THAT((C * up).sum(), WithinRel(-side * n_z * face_area, 1e-9));
    }
    const RowMatrix C = model.coupling_of([&](const auto& f) { return f.board == board && f.opening >= 0; });
    // Edges: out of the air is away from the window's middle; u = x stretches it by its width in x and in y: 2 a b t.
    const VectorXd stretch = model.unknowns([](const Vector3d& x) { return Motion{x, Vector3d::Zero()}; });
    CHECK_THAT((C * stretch).sum(), WithinRel(2 * 0.10 * 0.14 * 0.018, 1e-9));
}

TEST_CASE("a driver's body and hole move with the driver", "[solver][skin]")
{
    const double body_volume = GENERATE(6e-4, 0.0); // 0: nothing but the closed hole
    CabinetPlan plan = cabinet_with_inserts();
    plan.openings[0].insert.mount = {{2e5, 2e5, 2e5, {}, {}}, {}};
    plan.openings[0].insert.volume = body_volume;
    const Model model(plan);
    const RimTap& tap = model.structure.taps[0];
    REQUIRE(tap.nodes.size() == 1); // soft mounted: a node of its own
    VectorXd v = VectorXd::Zero(6 * model.structure.nodes.cols());
    v.segment<3>(6 * tap.nodes[0]) = model.cabinet.board(0).frame.n;
    // Reference: only it moves, by 1 outwards: the air gains the hole's area, whatever the body's shape. Tolerance: the
    // air's mesh follows the circle by parabolas over at most 45°.
    CHECK_THAT(model.volume_change(v), WithinRel(std::numbers::pi * 0.075 * 0.075, 3e-3));
    Vector3d area = Vector3d::Zero();
    for (const AirMesh::Face& face : model.air.faces)
        if ((face.on == On::Body || face.on == On::Hole) && face.board == 0 && face.opening == 0)
            area += area_vector(model.air, face);
    CHECK_THAT(model.volume_change(v), WithinRel(area.dot(model.cabinet.board(0).frame.n), 1e-11));
}

TEST_CASE("a back that can be taken off moves on nodes of its own", "[solver][skin]")
{
    CabinetPlan plan = box(0.24, 0.30, 0.38, 0.018);
    JointPlan joint;
    joint.name = "back";
    joint.kind = JointPlan::Kind::Springs;
    joint.board = "back";
    joint.normal = joint.shear = {5e7, 5e7, 5e7, {}, {}};
    plan.joints = {joint};
    const Model model(plan);
    const int back = model.cabinet.board_index("back").value();
    VectorXd v = VectorXd::Zero(6 * model.structure.nodes.cols());
    for (std::size_t q = 0; q < model.shell.quads.size(); ++q)
        if (model.shell.quads[q].board == back)
            for (int node : model.structure.base_nodes[q]) v[6 * node + 1] = 1;
    const VectorXd motion = model.coupling() * v;
    CHECK_THAT(motion.sum(),
               WithinRel(0.204 * 0.344, 1e-10)); // Reference: its inner face, by hand. Tolerance: round-off
}

TEST_CASE("outer facets move by their mean", "[solver][skin]")
{
    // Reference: a rigid motion's mean over a facet is its motion at the centroid. Tolerance: as in check_rigid,
    // round-off and the fit of a rim's rotation.
    CabinetPlan plan = leaning_box();
    plan.openings[0] = with_insert(plan.openings[0], InsertPlan::Kind::Driver, 0, 0.03);
    const Model model(plan);
    const Hull hull = make_hull(model.cabinet.boards, Hull::Surface::Outer);
    OuterMesh outer; // the four upright walls as one facet each, the back as two triangles, and the front once more for
                     // the driver
    for (const auto& corner : hull.corners) outer.vertices.insert(outer.vertices.end(), corner.begin(), corner.end());
    for (int w = 0; w < 4; ++w) {
        const int a = 2 * w, b = 2 * ((w + 1) % 4);
        if (w == 2) {
            outer.faces.push_back({{a, b, b + 1, -1}, OuterMesh::Face::On::Board, w, -1});
            outer.faces.push_back({{a, b + 1, a + 1, -1}, OuterMesh::Face::On::Board, w, -1});
        } else {
            outer.faces.push_back({{a, b, b + 1, a + 1}, OuterMesh::Face::On::Board, w, -1});
        }
    }
    auto front = outer.faces[0];
    front.opening = 0;
    for (const auto on : {OuterMesh::Face::On::Insert, OuterMesh::Face::On::Source}) {
        front.on = on;
        outer.faces.push_back(front);
    }
    const VectorXd motion = outer_motion(model.cabinet, model.shell, model.structure, outer) * model.unknowns(rigid);
    REQUIRE(motion.size() == 7);
    for (std::size_t f = 0; f < outer.faces.size(); ++f) {
        const auto& face = outer.faces[f];
        Vector3d area = Vector3d::Zero(), moment = Vector3d::Zero(); // of the facet as triangles about its first corner
        const auto x = [&](std::size_t k) { return outer.vertices[static_cast<std::size_t>(face.corner[k])]; };
        double total = 0;
        for (std::size_t k = 1; k < (face.corner[3] < 0 ? 2u : 3u); ++k) {
            const Vector3d part = (x(k) - x(0)).cross(x(k + 1) - x(0)) / 2;
            area += part;
            total += part.norm();
            moment += part.norm() * (x(0) + x(k) + x(k + 1)) / 3;
        }
        CAPTURE(f);
        CHECK(area.normalized().dot(model.cabinet.board(face.board).frame.n) > 0.999999);
        const bool is_wood = face.on == OuterMesh::Face::On::Board;
        const SkinPoint centroid{moment / total, area.normalized(), face.board,
                                 is_wood ? std::nullopt : std::optional(face.opening)};
        CHECK_THAT(motion[static_cast<Eigen::Index>(f)], WithinAbs(promised(model.cabinet, centroid), 1e-11));
    }
}
