#pragma once
// One scheme from its plan to its figures, as the verbs that weigh many of them do it, each in a process of its own.

#include "solver/choose/scheme.h"

#include <filesystem>

namespace stillwall::app {

using solver::ComputedScheme, solver::SchemeTask;

/// A meshed cabinet whose mesh serves for others that differ by lengths only: moving it takes a fiftieth of the time.
struct MeshBase
{
    Cabinet cabinet;
    ShellMesh mesh;
    double element_size = 0; ///< [m] as the rule wanted it
};

/// @throws InputError, MeshError
[[nodiscard]] MeshBase mesh_base(CabinetPlan plan, double f_max, solver::Accuracy accuracy);

/// @param base  boards by themselves: its mesh is moved where that does it no harm; null: none
/// @throws InputError, MeshError, SolverError
[[nodiscard]] ComputedScheme compute_scheme(const CabinetPlan& plan, const WorkshopPlan& workshop,
                                            const SchemeTask& task, const MeshBase* base = nullptr);

/// A scheme whose shapes were drawn.
struct DrawnScheme
{
    ComputedScheme computed;
    bool has_pictures = false;
    std::string geometry; ///< for a page: as page_geometry() writes it, modes by their place among the figures' + 1
};

/// Where shapes go.
struct ShapesWanted
{
    std::filesystem::path folder;   ///< of pictures; empty: none
    std::size_t geometry_bytes = 0; ///< most for a page; 0: none
};

/// The same with its shapes; why there are no pictures is a warning.
[[nodiscard]] DrawnScheme compute_and_draw(const CabinetPlan& plan, const WorkshopPlan& workshop,
                                           const SchemeTask& task, const ShapesWanted& wanted);

/// Computes with the meshers and solvers of this program, in child processes.
/// @param at_most  of them at a time, 0: as many as cores
[[nodiscard]] solver::SchemeComputer scheme_computer(int at_most = 0);

} // namespace stillwall::app
