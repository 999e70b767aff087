#pragma once
// A small cabinet that plays, for the laws of the driven computation. All figures invented.

#include "cabinet_fixture.h"

#include "mesh/cabinet/build_sound.h"
#include "mesh/gmsh/air_mesher.h"
#include "mesh/gmsh/outer_mesher.h"
#include "solver/drive/internal/build_player.h"
#include "solver/drive/skin.h"
#include "solver/drive/sound.h"

namespace sound_fixture {

using namespace stillwall;
using cabinet_fixture::exactly;

/// fs 45.9 Hz, Qms 4.0, Qes 0.44.
inline SmallSignal small_woofer()
{
    SmallSignal s;
    s.Re = 6;
    s.Le = 0.4e-3;
    s.Le_exponent = 0.7;
    s.Bl = 6;
    s.Mms = 9e-3;
    s.Cms = 1.335e-3;
    s.Rms = 0.65;
    s.Sd = 60e-4;
    return s;
}

inline OpeningPlan hole(const std::string& name, const std::string& board, double diameter, double x, double z)
{
    OpeningPlan opening;
    opening.name = name;
    opening.board = board;
    opening.width = opening.height = diameter;
    (board == "left" || board == "right" ? opening.y : opening.x) = x;
    opening.z = z;
    return opening;
}

inline OpeningPlan driver(const std::string& name, const std::string& board, double x, double z, double mass = 1)
{
    OpeningPlan opening = hole(name, board, 0.092, x, z);
    opening.insert.kind = InsertPlan::Kind::Driver;
    opening.insert.name = name;
    opening.insert.mass = mass;
    opening.insert.small_signal = small_woofer();
    return opening;
}

/// 200 × 300 × 250 mm outside, 18 mm, empty.
inline CabinetPlan sealed_box(cabinet_fixture::Wood wood = {})
{
    CabinetPlan plan = cabinet_fixture::box(cabinet_fixture::make(wood));
    plan.braces.clear();
    plan.openings = {driver("woofer", "front", 0.1, 0.11)};
    plan.sound.f_from = 20;
    plan.sound.f_to = 800;
    plan.sound.per_octave = 12;
    plan.sound.wall_absorption = 0;
    return plan;
}

/// Everything from the plan to what can be played.
struct Stage
{
    CabinetPlan plan;
    Cabinet cabinet;
    SoundSetting setting;
    ShellMesh shell;
    AirMesh air;
    std::vector<OuterMesh> outer;
    std::vector<double> tops;
    solver::ModesWork work;
    solver::ModesResult modes;

    explicit Stage(const CabinetPlan& p, double shell_size = 0.07, double air_size = 0.07, double panel = 0.06)
        : plan(p), cabinet(build_cabinet(plan)), setting(build_sound(plan, cabinet))
    {
        const double top = setting.frequencies.back();
        shell = mesh::mesh_shell(cabinet, {.element_size = shell_size});
        air = solver::fit_to_fillings(cabinet, mesh::mesh_air(cabinet, {.element_size = air_size}), setting.fillings);
        outer = {mesh::mesh_outer(cabinet, {.element_size = panel, .source_size = 0.03})};
        tops = {top};
        solver::ModesOptions options;
        options.f_max = 1.3 * top;
        modes = solver::analyse_modes(cabinet, shell, options, &work);
    }

    [[nodiscard]] solver::Player player() const
    {
        solver::SoundResult ignored;
        solver::Points points(3, static_cast<Eigen::Index>(setting.listeners.size()) + 1);
        for (std::size_t l = 0; l < setting.listeners.size(); ++l)
            points.col(static_cast<Eigen::Index>(l)) = setting.listeners[l].at;
        points.rightCols(1) = setting.level_at;
        const solver::SoundMeshes meshes{shell, air, outer, tops};
        const auto rigid = solver::rigid_wall_air(cabinet, air, setting.fillings,
                                                  solver::internal::openings_of(solver::internal::sources_of(cabinet)),
                                                  solver::internal::air_range * setting.frequencies.back());
        return solver::internal::build_player({cabinet, setting, meshes, work}, rigid, points,
                                              setting.frequencies.front(), setting.frequencies.back(), ignored,
                                              [](const std::string&, double) {})
            .player;
    }

    [[nodiscard]] solver::SoundResult sound() const
    {
        return solver::analyse_sound(cabinet, setting, {shell, air, outer, tops}, {});
    }
};

} // namespace sound_fixture
