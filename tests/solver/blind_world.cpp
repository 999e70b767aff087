#include "tests/solver/blind_world.h"

#include "app/workers/sound_sizes.h"
#include "mesh/cabinet/basket_estimate.h"
#include "mesh/cabinet/build.h"
#include "mesh/cabinet/build_sound.h"
#include "mesh/core/shell_locator.h"
#include "mesh/gmsh/air_mesher.h"
#include "mesh/gmsh/mesher.h"
#include "mesh/gmsh/outer_mesher.h"

namespace blind {
namespace {

using sweep_circuits::Bump;
using Random = std::mt19937_64;

constexpr double f_top = 850; ///< [Hz] of the sweeps

double uniform(Random& random, double from, double to)
{
    return std::uniform_real_distribution<double>(from, to)(random);
}

double normal(Random& random)
{
    return std::normal_distribution<double>()(random);
}

bool happens(Random& random, double chance)
{
    return uniform(random, 0, 1) < chance;
}

Quantity figure(double low, double value, double high)
{
    return {value, low, high, {}, {}};
}

/// After the library's standard fibreboard.
Material fibreboard()
{
    Material m;
    m.name = "fibreboard";
    m.E1 = m.E2 = figure(2.5e9, 3.2e9, 4e9);
    m.G12 = figure(1e9, 1.28e9, 1.6e9);
    m.E3 = figure(0.06e9, 0.12e9, 0.3e9);
    m.G13 = m.G23 = figure(0.08e9, 0.15e9, 0.35e9);
    m.nu12 = figure(0.25, 0.25, 0.25);
    m.nu13 = m.nu23 = figure(0.3, 0.3, 0.3);
    m.rho = figure(680, 740, 800);
    m.eta = m.eta2 = figure(0.012, 0.02, 0.035);
    return m;
}

/// A factor from a figure's range: its ends are two standard deviations out.
double factor(const Quantity& q, Random& random)
{
    return std::exp(normal(random) * std::log(q.high / q.low) / 4);
}

void scale(std::initializer_list<Quantity*> figures, double by)
{
    for (Quantity* q : figures) *q = {q->value * by, q->low * by, q->high * by, {}, {}};
}

OpeningPlan round_hole(const std::string& name, const std::string& board, double diameter, double x, double z)
{
    OpeningPlan hole;
    hole.name = name;
    hole.board = board;
    hole.width = hole.height = diameter;
    hole.x = x;
    hole.z = z;
    return hole;
}

SmallSignal woofer(Random& random)
{
    SmallSignal s;
    s.Re = uniform(random, 3.2, 6.5);
    s.Le = uniform(random, 0.2e-3, 0.8e-3);
    s.Le_exponent = uniform(random, 0.6, 0.9);
    s.Sd = uniform(random, 80e-4, 140e-4);
    s.Mms = s.Sd * uniform(random, 0.9, 1.3);
    const double w = 2 * sweep_circuits::pi * uniform(random, 35, 55);
    s.Cms = 1 / (w * w * s.Mms);
    s.Rms = w * s.Mms / uniform(random, 3, 7);
    s.Bl = std::sqrt(w * s.Mms * s.Re / uniform(random, 0.3, 0.5));
    return s;
}

CabinetPlan drawn_plan(Random& random)
{
    CabinetPlan plan;
    plan.name = "box";
    plan.materials = {fibreboard()};
    const double width = uniform(random, 0.21, 0.28), height = uniform(random, 0.34, 0.48),
                 depth = uniform(random, 0.21, 0.33);
    plan.outline = {{0, 0}, {width, 0}, {width, depth}, {0, depth}};
    plan.height = height;
    const double t = std::array{0.015, 0.016, 0.018, 0.019, 0.022}[static_cast<std::size_t>(uniform(random, 0, 4.99))];
    const double t_front = happens(random, 0.4) ? t + 0.006 : t;
    const auto wall = [](const std::string& name, double thickness) {
        WallPlan w;
        w.name = name;
        w.layup.plies = {{0, thickness, 0}};
        return w;
    };
    plan.walls = {wall("front", t_front), wall("right", t), wall("back", t), wall("left", t)};
    plan.top = wall("top", t);
    plan.bottom = wall("bottom", t);

    OpeningPlan hole =
        round_hole("woofer", "front", 0.132, width / 2, std::max(0.125, height * uniform(random, 0.3, 0.42)));
    hole.insert.kind = InsertPlan::Kind::Driver;
    hole.insert.name = "woofer";
    hole.insert.mass = uniform(random, 1.2, 2.2);
    hole.insert.offset = 0.03;
    hole.insert.volume = 0.5e-3;
    hole.insert.small_signal = woofer(random);
    plan.openings = {hole};
    if (happens(random, 0.5)) {
        OpeningPlan port = round_hole("port", "back", 0.05, width / 2, 0.2 * height);
        port.insert.kind = InsertPlan::Kind::Port;
        port.insert.mass = 0.1;
        port.insert.port_length = uniform(random, 0.1, 0.14);
        plan.openings.push_back(port);
    }
    if (happens(random, 0.5)) {
        BracePlan shelf;
        shelf.name = "shelf";
        shelf.at = std::max(*plan.openings[0].z + 0.12, height * uniform(random, 0.58, 0.66)); // clear of the hole
        shelf.layup.plies = {{0, 0.015, 0}};
        plan.braces = {shelf};
        OpeningPlan window;
        window.name = "window";
        window.board = "shelf";
        window.shape = OpeningPlan::Shape::Rectangle;
        window.width = 0.45 * width;
        window.height = 0.45 * depth;
        plan.openings.push_back(window);
    }
    if (happens(random, 0.5)) {
        FillingPlan lining;
        lining.name = "lining";
        lining.material = "wadding";
        lining.flow_resistivity = figure(1000, 3000, 8000);
        lining.board = "back";
        lining.thickness = 0.03;
        plan.sound.fillings = {lining};
    }
    plan.sound.leakage_Q = uniform(random, 8, 20);
    return plan;
}

/// Springs along every joint, none said twice.
void join_by_springs(CabinetPlan& plan, Random& random)
{
    const double stiffness = 1e9 * std::pow(20, uniform(random, 0, 1));
    const auto join = [&](const std::string& board, const std::string& neighbour) {
        JointPlan joint;
        joint.name = board + neighbour;
        joint.kind = JointPlan::Kind::Springs;
        joint.board = board;
        joint.neighbour = neighbour;
        joint.normal = figure(stiffness, stiffness, stiffness);
        joint.shear = figure(stiffness / 3, stiffness / 3, stiffness / 3);
        joint.loss = figure(0.03, 0.03, 0.03);
        plan.joints.push_back(joint);
    };
    join("front", "");
    join("back", "");
    for (const std::string board : {"top", "bottom"})
        for (const std::string side : {"left", "right"}) join(board, side);
    for (const BracePlan& brace : plan.braces)
        for (const std::string side : {"left", "right"}) join(brace.name, side);
}

void make_foreign(CabinetPlan& plan, Random& random)
{
    Material& m = plan.materials[0];
    scale({&m.E1, &m.E2, &m.G12}, uniform(random, 0.85, 1.15));
    if (happens(random, 0.5)) {
        m.E3 = m.E1;
        m.G13 = m.G23 = m.G12;
    }
    join_by_springs(plan, random);
    InsertPlan& driver = plan.openings[0].insert;
    constexpr std::array kinds{Basket::Kind::Cast, Basket::Kind::PressedSteel, Basket::Kind::Polymer};
    Basket basket = complete_basket({.kind = kinds[static_cast<std::size_t>(uniform(random, 0, 2.99))]},
                                    plan.openings[0].width, driver.mass);
    for (Quantity* q : {&basket.rim_share, &basket.rim_EI, &basket.axial_Hz, &basket.rocking_Hz, &basket.loss})
        scale({q}, factor(*q, random));
    driver.basket = basket;
}

/// As it came out of the workshop.
CabinetPlan built_plan(const CabinetPlan& drawn, Kind kind, Random& random)
{
    CabinetPlan plan = drawn;
    Material& m = plan.materials[0];
    scale({&m.E1, &m.E2, &m.G12}, factor(m.E1, random));
    scale({&m.G13, &m.G23}, factor(m.G13, random));
    scale({&m.rho}, factor(m.rho, random));
    scale({&m.eta, &m.eta2}, factor(m.eta, random));
    if (kind == Kind::Foreign) make_foreign(plan, random);
    const Material common = m;
    const double apart = kind == Kind::Foreign ? 0.06 : 0.03, thicker = kind == Kind::Foreign ? 0.3e-3 : 0.1e-3;
    const auto own = [&](Layup& layup, const std::string& name) {
        Material board = common;
        board.name = name;
        scale({&board.E1, &board.E2, &board.G12}, std::exp(apart * normal(random)));
        layup.plies[0].thickness += thicker * normal(random);
        layup.plies[0].material = static_cast<int>(plan.materials.size());
        plan.materials.push_back(board);
    };
    for (WallPlan& wall : plan.walls) own(wall.layup, wall.name);
    own(plan.top.layup, "top");
    own(plan.bottom.layup, "bottom");
    for (BracePlan& brace : plan.braces) own(brace.layup, brace.name);
    plan.openings[0].insert.mass *= std::exp(0.03 * normal(random));
    for (FillingPlan& f : plan.sound.fillings) scale({&f.flow_resistivity}, factor(f.flow_resistivity, random));
    return plan;
}

solver::SoundResult sound_of(const CabinetPlan& plan, const Cabinet& cabinet, app::Accuracy accuracy)
{
    const SoundSetting setting = build_sound(plan, cabinet);
    const double top = setting.frequencies.back();
    const double shell = std::min(solver::element_size_for(cabinet, top, app::sound_points_per_wave(accuracy)),
                                  app::largest_shell_element);
    const ShellMesh walls = mesh::mesh_shell(cabinet, {.element_size = shell});
    const AirMesh air = mesh::mesh_air(cabinet, {.element_size = app::air_element_size(top, accuracy)});
    std::vector<OuterMesh> outer;
    std::vector<double> tops;
    for (const app::OuterLevel& level : app::outer_levels(top, accuracy)) {
        outer.push_back(mesh::mesh_outer(cabinet, {.element_size = level.element_size}));
        tops.push_back(level.top_Hz);
    }
    return solver::analyse_sound(cabinet, setting, {walls, air, outer, tops}, {});
}

solver::Sweep free_air_sweep(const SmallSignal& s, const std::vector<double>& f, const std::vector<Bump>& bumps)
{
    sweep_circuits::Circuit circuit;
    circuit.Re = s.Re;
    circuit.Le = s.Le;
    circuit.n = s.Le_exponent;
    circuit.Bl = s.Bl;
    circuit.Mms = s.Mms;
    circuit.Cms = s.Cms;
    circuit.Rms = s.Rms;
    return sweep_circuits::swept(circuit, f, bumps);
}

void add_modes(World& world)
{
    for (const solver::SoundMode& mode : world.built.modes) {
        if (mode.wrinkles.empty()) continue;
        const bool is_wall = mode.kind == solver::SoundMode::Kind::Wall;
        const bool hangs =
            is_wall && !world.built.wall_modes[static_cast<std::size_t>(mode.wall.value())].on_basket.empty();
        world.truths.push_back({hangs     ? solver::Cause::Driver
                                : is_wall ? solver::Cause::Wall
                                          : solver::Cause::Air,
                                mode.f_Hz, mode.Q, mode.wrinkles[0].ohm, mode.wall, mode.name});
    }
    for (const OpeningPlan& hole : world.drawn.openings)
        if (hole.insert.kind == InsertPlan::Kind::Port)
            world.truths.push_back({solver::Cause::Port,
                                    343.2 / (2 * (hole.insert.port_length.value() + 0.73 * hole.width)),
                                    20,
                                    0.02,
                                    {},
                                    {}});
}

/// What is neither wall nor air.
void add_bumps(World& world, const SmallSignal& driver, Kind kind, Random& random)
{
    std::vector<Bump> in_box, alone;
    if (happens(random, 0.6)) {
        const Bump own{uniform(random, 350, 800), uniform(random, 4, 15),
                       std::polar(uniform(random, 0.1, 0.5), normal(random))};
        in_box.push_back(own);
        alone.push_back({own.f * std::exp(0.005 * normal(random)), own.Q * std::exp(0.1 * normal(random)),
                         own.A * std::exp(0.15 * normal(random))});
        world.truths.push_back({solver::Cause::Driver, own.f, own.Q, std::abs(own.A), -1, {}});
    }
    const int n_loose = kind == Kind::Foreign ? (happens(random, 0.5) ? 1 + (happens(random, 0.4) ? 1 : 0) : 0)
                                              : (happens(random, 0.1) ? 1 : 0);
    for (int i = 0; i < n_loose; ++i) {
        const Bump other{uniform(random, 150, 800), uniform(random, 10, 40), uniform(random, 0.05, 0.2)};
        in_box.push_back(other);
        world.truths.push_back({solver::Cause::Nothing, other.f, other.Q, std::abs(other.A), -1, {}});
    }
    for (std::size_t i = 0; i < world.in_box.f_Hz.size(); ++i)
        for (const Bump& b : in_box) world.in_box.Z[static_cast<Eigen::Index>(i)] += b.at(world.in_box.f_Hz[i]);
    if (happens(random, 0.7)) world.free_air = free_air_sweep(driver, sweep_circuits::log_grid(15, 2000, 96), alone);
}

/// What a ladder of L and two R‖L, about as large as the power law it stands for, has more than that.
void wind_as_ladder(solver::Sweep& sweep, const SmallSignal& s, double L, const std::array<double, 4>& steps)
{
    sweep_circuits::Circuit power;
    power.Re = 0;
    power.Le = s.Le;
    power.n = s.Le_exponent;
    for (std::size_t i = 0; i < sweep.f_Hz.size(); ++i) {
        const std::complex<double> jw(0, 2 * sweep_circuits::pi * sweep.f_Hz[i]);
        std::complex<double> ladder = L * jw;
        for (const std::size_t k : {0, 2}) ladder += 1.0 / (1.0 / steps[k] + 1.0 / (jw * steps[k + 1]));
        sweep.Z[static_cast<Eigen::Index>(i)] += ladder - power.coil(sweep.f_Hz[i]);
    }
}

void wind_as_ladder(World& world, const SmallSignal& s, Random& random)
{
    const double L = s.Le * uniform(random, 0.5, 0.8);
    const std::array steps{uniform(random, 1, 4), s.Le * uniform(random, 0.4, 1.2), uniform(random, 5, 20),
                           s.Le * uniform(random, 0.2, 0.6)};
    wind_as_ladder(world.in_box, s, L, steps);
    if (world.free_air) wind_as_ladder(*world.free_air, s, L, steps);
}

} // namespace

World made(unsigned seed, Kind kind)
{
    Random random(seed);
    World world;
    world.drawn = drawn_plan(random);
    world.is_filled = !world.drawn.sound.fillings.empty();
    if (kind == Kind::Foreign)
        world.drawn.openings[0].insert.basket =
            complete_basket({}, world.drawn.openings[0].width, world.drawn.openings[0].insert.mass);
    CabinetPlan plan = built_plan(world.drawn, kind, random);
    plan.sound.f_from = 15;
    plan.sound.f_to = f_top;
    plan.sound.per_octave = 96;
    const Cabinet cabinet = build_cabinet(plan);
    world.built = sound_of(plan, cabinet, app::Accuracy::Normal);
    world.in_box = {"in box", world.built.frequency, world.built.ways[0].impedance, true};
    add_modes(world);
    const SmallSignal& driver = *world.drawn.openings[0].insert.small_signal;
    add_bumps(world, driver, kind, random);
    if (kind == Kind::Foreign && happens(random, 0.5)) wind_as_ladder(world, driver, random);
    const sweep_circuits::Disturbance disturbance{.share = 1e-3, .floor = 1e-3, .warming = 2e-3, .n_pickups = 1};
    sweep_circuits::disturb(world.in_box, disturbance, driver.Re, random);
    if (world.free_air) sweep_circuits::disturb(*world.free_air, disturbance, driver.Re, random);
    return world;
}

Told told(const World& world, double highest_Hz)
{
    CabinetPlan plan = world.drawn;
    plan.sound.f_from = 20;
    plan.sound.f_to = std::clamp(1.25 * highest_Hz, 500.0, 1200.0);
    plan.sound.per_octave = 24;
    Told t{build_cabinet(plan), {}};
    t.sound = sound_of(plan, t.cabinet, app::Accuracy::Draft);
    return t;
}

namespace {

/// Motion across the boards at 6 × 6 points of each, a mode a column, each of length 1.
Eigen::MatrixXd sampled(const Cabinet& cabinet, const solver::SoundResult& sound)
{
    constexpr int n = 6;
    const ShellLocator locator(cabinet, sound.drawn);
    Eigen::MatrixXd samples(static_cast<Eigen::Index>(cabinet.boards.size()) * n * n, sound.shapes.cols());
    Eigen::Index row = 0;
    for (int b = 0; b < static_cast<int>(cabinet.boards.size()); ++b) {
        const Board& board = cabinet.board(b);
        Vector2d low = board.outline[0], high = low;
        for (const Vector2d& p : board.outline) low = low.cwiseMin(p), high = high.cwiseMax(p);
        for (int i = 0; i < n * n; ++i, ++row) {
            const Vector2d share((i % n + 0.5) / n, (i / n + 0.5) / n);
            const auto at = locator.nearest(b, board.frame.to_space(low + share.cwiseProduct(high - low)));
            const ShellMesh::Quad& quad = sound.drawn.quads[static_cast<std::size_t>(at.quad)];
            const Quad9Values N = quad9_values(at.r, at.s);
            samples.row(row).setZero();
            for (int a = 0; a < 9; ++a)
                samples.row(row) += N[a] * (board.frame.n.transpose() *
                                            sound.shapes.middleRows<3>(3 * quad.node[static_cast<std::size_t>(a)]));
        }
    }
    return samples.colwise().normalized();
}

} // namespace

Eigen::MatrixXd likeness(const World& world, const Told& told)
{
    const Cabinet built =
        build_cabinet(world.drawn); // thicknesses differ by tenths of a millimetre: the planes are the same
    return (sampled(built, world.built).transpose() * sampled(told.cabinet, told.sound)).cwiseAbs2();
}

} // namespace blind
