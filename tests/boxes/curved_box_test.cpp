// A box with two curved sides against a 3-D solid, modes paired within each way of being symmetric.
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
#include <map>

using namespace stillwall;
using nlohmann::json;

namespace {

constexpr double mm = 1e-3;

CabinetPlan plan_of(const json& box)
{
    Material m;
    m.name = "board";
    const double E = box.at("E"), nu = box.at("nu"), rho = box.at("rho");
    const auto fix = [](Quantity& q, double value) { q.value = q.low = q.high = value; };
    for (Quantity* q : {&m.E1, &m.E2, &m.E3}) fix(*q, E);
    for (Quantity* q : {&m.nu12, &m.nu13, &m.nu23}) fix(*q, nu);
    for (Quantity* q : {&m.G12, &m.G13, &m.G23}) fix(*q, E / (2 * (1 + nu)));
    fix(m.rho, rho);
    fix(m.eta, 0.02);
    m.eta2 = m.eta;
    m.is_isotropic = true;

    const double W = box.at("width"), D = box.at("depth"), t = box.at("thickness"), bulge = box.at("bulge");
    const auto wall = [&](const std::string& name, double bulge_mm) {
        WallPlan w;
        w.name = name;
        w.layup.plies = {{0, t * mm, 0}};
        w.bulge = bulge_mm * mm;
        return w;
    };
    CabinetPlan plan;
    plan.name = "curved";
    plan.materials = {m};
    plan.outline = {{0, 0}, {W * mm, 0}, {W * mm, D * mm}, {0, D * mm}};
    plan.height = box.at("height").get<double>() * mm;
    plan.walls = {wall("front", 0), wall("right", bulge), wall("back", 0), wall("left", bulge)};
    plan.top = wall("top", 0);
    plan.bottom = wall("bottom", 0);
    return plan;
}

/// "+-+": symmetric about the middle planes across x and z, antisymmetric about the one across y.
class Symmetry
{
public:
    Symmetry(const Cabinet& cabinet, const ShellMesh& mesh, const Vector3d& middle)
    {
        for (const auto& [board, mirrored] : {std::pair{"front", "back"}, {"right", "left"}, {"top", "bottom"}}) {
            const int b = cabinet.board_index(board).value(), other = cabinet.board_index(mirrored).value();
            const Board& own = cabinet.board(b);
            const Bounds2 box{own.outline[0], own.outline[0]};
            Vector2d low = box.low, high = box.high;
            for (const Vector2d& p : own.outline) low = low.cwiseMin(p), high = high.cwiseMax(p);
            for (const double s : {0.13, 0.29, 0.41})
                for (const double r : {0.17, 0.37, 0.45}) {
                    const Vector3d x = own.frame.to_space(low + (high - low).cwiseProduct(Vector2d(r, s)));
                    for (int axis = 0; axis < 3; ++axis) {
                        Vector3d image = x;
                        image[axis] = 2 * middle[axis] - x[axis];
                        const bool is_across = std::abs(own.frame.n[axis]) > 0.9;
                        pairs_.push_back(
                            {axis, at(cabinet, mesh, b, x), at(cabinet, mesh, is_across ? other : b, image)});
                    }
                }
        }
    }

    [[nodiscard]] std::string of(const Eigen::VectorXd& shape) const
    {
        Vector3d sum = Vector3d::Zero();
        for (const Pair& pair : pairs_) {
            Vector3d image = pair.image.motion(shape);
            image[pair.axis] = -image[pair.axis];
            sum[pair.axis] += pair.point.motion(shape).dot(image);
        }
        std::string word;
        for (int axis = 0; axis < 3; ++axis) word += sum[axis] > 0 ? '+' : '-';
        return word;
    }

private:
    struct Point
    {
        std::array<int, 9> node{};
        Eigen::VectorXd N;
        [[nodiscard]] Vector3d motion(const Eigen::VectorXd& shape) const
        {
            Vector3d u = Vector3d::Zero();
            for (std::size_t a = 0; a < 9; ++a) u += N[static_cast<Eigen::Index>(a)] * shape.segment<3>(3 * node[a]);
            return u;
        }
    };
    struct Pair
    {
        int axis = 0;
        Point point, image;
    };
    static Point at(const Cabinet& cabinet, const ShellMesh& mesh, int board, const Vector3d& x)
    {
        const auto place = solver::locate(cabinet, mesh, board, x);
        return {mesh.quads[static_cast<std::size_t>(place.quad)].node, place.N};
    }
    std::vector<Pair> pairs_;
};

struct Comparison
{
    double mean_percent = 0, worst_percent = 0;
};

Comparison compare(double points_per_wave)
{
    const json box = json::parse(std::ifstream("tests/boxes/box_curved.json"));
    const Cabinet cabinet = build_cabinet(plan_of(box));
    const ShellMesh mesh = mesh::mesh_shell(cabinet, {solver::element_size_for(cabinet, 1500, points_per_wave)});
    solver::ModesOptions options;
    options.f_max = box.at("up_to_Hz").get<double>() * 1.03;
    const auto result = solver::analyse_modes(cabinet, mesh, options);
    REQUIRE(result.is_proved);
    REQUIRE(result.n_rigid == 6);
    CHECK(std::abs(result.mass_model / box.at("mass_kg").get<double>() - 1) < 1e-3);

    const Vector3d middle(box.at("width").get<double>() / 2 * mm, box.at("depth").get<double>() / 2 * mm,
                          box.at("height").get<double>() / 2 * mm);
    const Symmetry symmetry(cabinet, mesh, middle);
    std::map<std::string, std::vector<double>> found;
    for (std::size_t k = 0; k < result.modes.size(); ++k)
        found[symmetry.of(result.shapes.col(static_cast<Eigen::Index>(k)))].push_back(result.modes[k].f_Hz);
    Comparison comparison;
    int n = 0;
    std::printf("curved box, %.0f spacings a wave, %d unknowns, mass %.4f\n", points_per_wave, result.n_unknowns,
                result.mass_model);
    for (const auto& [word, list] : box.at("f_Hz").items())
        for (std::size_t k = 0; k < list.size(); ++k) {
            const double reference = list[k];
            if (reference > box.at("up_to_Hz").get<double>()) continue;
            REQUIRE(found[word].size() > k);
            const double off = 100 * (found[word][k] / reference - 1);
            std::printf("  %s %9.2f Hz %9.2f Hz %+6.2f %%\n", word.c_str(), reference, found[word][k], off);
            comparison.mean_percent += std::abs(off);
            comparison.worst_percent = std::max(comparison.worst_percent, std::abs(off));
            ++n;
        }
    comparison.mean_percent /= n;
    print_measured(fmt::format("box with two curved sides, {:g} spacings a wave, {} unknowns, {} modes, against 3-D "
                               "elasticity",
                               points_per_wave, result.n_unknowns, n),
                   fmt::format("mean {:.2f} %, worst {:.2f} %", comparison.mean_percent, comparison.worst_percent));
    return comparison;
}

} // namespace

TEST_CASE("box with curved sides against 3-D elasticity", "[solver][boxes][reference]")
{
    // Reference: 3-D elasticity, own computation (curved_box.py beside this file), 27-node bricks on an eighth of the
    //   box; 0.1 to 0.2 % too high, see the data file.
    // Tolerance: the project's aim for boxes, 1.5 % each and 0.7 % in the mean; measured 0.25 % in the mean, 0.69 % at
    //   worst.
    const Comparison c = compare(10);
    CHECK(c.mean_percent < 0.7);
    CHECK(c.worst_percent < 1.5);
}
