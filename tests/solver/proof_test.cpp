// The putty that tells two walls apart, against the cabinet with that mass in it.

#include "solver/explain/proof.h"
#include "tests/solver/cabinet_fixture.h"

using namespace stillwall;
using namespace cabinet_fixture;
using namespace stillwall::solver;

namespace {

/// Modes of the small box as a played cabinet would have them.
struct Modes
{
    Cabinet cabinet;
    SoundResult sound;
};

Modes modes_of(const CabinetPlan& plan)
{
    Modes m{build_cabinet(plan), {}};
    const ShellMesh mesh = mesh::mesh_shell(m.cabinet, {.element_size = 0.05});
    ModesResult result = analyse_modes(m.cabinet, mesh, {.f_max = 1500, .progress = {}});
    m.sound.shapes = result.shapes;
    m.sound.drawn = result.drawn;
    m.sound.wall_modes = result.modes;
    for (std::size_t i = 0; i < result.modes.size(); ++i) {
        SoundMode mode;
        mode.wall = static_cast<int>(i);
        mode.f_Hz = result.modes[i].f_Hz;
        m.sound.modes.push_back(mode);
    }
    return m;
}

} // namespace

TEST_CASE("proof: putty lowers the one mode and leaves the other", "[explain]")
{
    CabinetPlan plan = box(make({.E = 3e9, .nu = 0.25}));
    const Modes bare = modes_of(plan);
    REQUIRE(bare.sound.modes.size() >= 3);
    const SoundMode &a = bare.sound.modes[0], &b = bare.sound.modes[2];
    const Proof proof =
        proof_between(bare.cabinet, bare.sound, {Cause::Wall, &a}, {Cause::Wall, &b}, a.f_Hz, 30, false);
    REQUIRE(proof.kind == Proof::Kind::Putty);
    const Proof::Lump& putty = proof.putty.value();
    const Board& board = bare.cabinet.board(putty.board);
    CHECK(board.kind == Board::Kind::Wall);
    CHECK(std::abs(board.frame.height_of(putty.at) - 0.5 * board.thickness()) < 1e-9); // on the outer face
    CHECK(std::abs(putty.first_falls_to - putty.second_falls_to) > 0.4 * a.f_Hz / 30);

    // The same mass stuck on as a foot of stiffness nought would not do; a stub rod is: 20 mm of a heavy bar.
    plan.materials.push_back(make({.name = "lead", .E = 16e9, .rho = 11340}));
    RibPlan lump;
    lump.name = "lump";
    lump.board = board.name;
    const double side = std::cbrt(putty.mass / 11340);
    const auto set = [&](std::optional<double>& one, std::optional<double>& two, double at, bool is_along) {
        one = at - (is_along ? side / 2 : 0);
        two = at + (is_along ? side / 2 : 0);
    };
    if (std::abs(board.frame.n.x()) > 0.7)
        set(lump.y1, lump.y2, putty.at.y(), true), set(lump.z1, lump.z2, putty.at.z(), false);
    if (std::abs(board.frame.n.y()) > 0.7)
        set(lump.x1, lump.x2, putty.at.x(), true), set(lump.z1, lump.z2, putty.at.z(), false);
    if (std::abs(board.frame.n.z()) > 0.7)
        set(lump.x1, lump.x2, putty.at.x(), true), set(lump.y1, lump.y2, putty.at.y(), false);
    lump.width = lump.height = side;
    lump.inside = false;
    lump.material = static_cast<int>(plan.materials.size()) - 1;
    plan.ribs.push_back(lump);
    const Modes loaded = modes_of(plan);
    const double fell_a = loaded.sound.modes[0].f_Hz / a.f_Hz, said = putty.first_falls_to / a.f_Hz;
    CAPTURE(putty.mass, board.name, fell_a, said, loaded.sound.modes[2].f_Hz / b.f_Hz, putty.second_falls_to / a.f_Hz);
    // Reference: own baseline, the cabinet solved again with the lump. Tolerance: Rayleigh's quotient of the old shape
    // is an upper bound (0.2 % for the lump's own stiffness); the shape gives way and adds up to half of the fall.
    CHECK(fell_a < said + 0.002);
    CHECK(1 - fell_a < 1.5 * (1 - said));
    CHECK(std::abs(loaded.sound.modes[2].f_Hz / b.f_Hz - 1) < 0.002);
}

TEST_CASE("proof: which test for which pair", "[explain]")
{
    const Cabinet none;
    const SoundResult sound;
    const auto kind = [&](Cause a, Cause b, bool has_free_air) {
        return proof_between(none, sound, {a, nullptr}, {b, nullptr}, 400, 30, has_free_air).kind;
    };
    using Kind = Proof::Kind;
    CHECK(kind(Cause::Air, Cause::Driver, true) == Kind::Filling);
    CHECK(kind(Cause::Port, Cause::Air, true) == Kind::BlockPort);
    CHECK(kind(Cause::Driver, Cause::Nothing, false) == Kind::FreeAir);
    CHECK(kind(Cause::Driver, Cause::Nothing, true) == Kind::SwapDriver);
    CHECK(kind(Cause::Rocking, Cause::Nothing, false) == Kind::Feet);
    CHECK(kind(Cause::Nothing, Cause::Nothing, false) == Kind::Repeat);
}
