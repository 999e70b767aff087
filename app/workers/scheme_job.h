#pragma once
// One scheme from its plan to its figures, as the verbs that weigh many of them do it, each in a process of its own.

#include "app/workers/accuracy.h"
#include "app/workers/scheme_report.h"

#include <filesystem>
#include <optional>

namespace stillwall::app {

/// A meshed cabinet whose mesh serves for others that differ by lengths only: moving it takes a fiftieth of the time.
struct MeshBase
{
    Cabinet cabinet;
    ShellMesh mesh;
    double element_size = 0; ///< [m] as the rule wanted it
};

/// @throws InputError, MeshError
[[nodiscard]] MeshBase mesh_base(CabinetPlan plan, double f_max, Accuracy accuracy);

struct SchemeTask
{
    bool plays = false; ///< drives it; else boards by themselves
    Accuracy accuracy = Accuracy::Draft;
    double f_max = 1500; ///< [Hz]
    bool wants_curves = false;
    bool wants_worth = false;       ///< derivatives by what a builder can change; boards by themselves only
    const MeshBase* base = nullptr; ///< boards by themselves: its mesh is moved where that does it no harm
    std::filesystem::path pictures; ///< folder for pictures of the shapes; empty: none
};

/// Whether some driver has the figures to be driven.
[[nodiscard]] bool can_play(const CabinetPlan& plan);

/// @throws InputError, MeshError, SolverError
[[nodiscard]] ComputedScheme compute_scheme(CabinetPlan plan, const WorkshopPlan& workshop, const SchemeTask& task);

[[nodiscard]] std::string packed(const ComputedScheme& scheme);
[[nodiscard]] ComputedScheme unpacked(const std::string& bytes);

} // namespace stillwall::app
