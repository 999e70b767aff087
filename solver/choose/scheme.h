#pragma once
// A cabinet to be weighed against others: what is asked of it, what was found, and who computes it.

#include "mesh/sawing/workshop.h"
#include "solver/choose/figures.h"
#include "solver/modes/accuracy.h"

#include <functional>

namespace stillwall::solver {

struct SchemeTask
{
    bool plays = false; ///< drives it; else boards by themselves
    Accuracy accuracy = Accuracy::Draft;
    double f_max = 1500; ///< [Hz]
    bool wants_curves = false;
    bool wants_worth = false; ///< derivatives by what a builder can change; boards by themselves only
};

/// A scheme, computed.
struct ComputedScheme
{
    SchemeFigures figures;
    std::vector<double> frequency; ///< [Hz] of the curves, empty without
    std::vector<double> walls_dB,
        impedance;               ///< all walls against the direct sound at the worst listener; [ohm] first way
    std::optional<double> price; ///< of the boards by area, when all have one
    int n_cuts = 0;              ///< straight saw cuts that free the parts, and cut-outs
    double seconds = 0;
    std::vector<std::string> warnings;
    std::optional<Worth> worth; ///< stays in the process that computed it
};

/// All but its worth as bytes, and back.
[[nodiscard]] std::string packed(const ComputedScheme& scheme);
/// @throws Error  bytes that are too few
[[nodiscard]] ComputedScheme unpacked(const std::string& bytes);

/// Whether some driver has the figures to be driven.
[[nodiscard]] bool can_play(const CabinetPlan& plan);

/// What became of one computation that was done apart.
struct Outcome
{
    std::string bytes;     ///< what the job returned
    std::string problem;   ///< one line when it failed; empty: it did not
    bool is_input = false; ///< the input is at fault
};

/// Who computes schemes for a choice.
struct SchemeComputer
{
    /// Meshes and solves.
    /// @throws InputError, MeshError, SolverError
    std::function<ComputedScheme(const CabinetPlan&, const WorkshopPlan&, const SchemeTask&)> compute;
    /// Calls job(0) … job(n − 1), side by side if it can, and done(i, outcome) one at a time, in any order. Jobs see
    /// memory as it was at the call, what they change may be lost; a job that throws has a problem.
    std::function<void(std::size_t n, const std::function<std::string(std::size_t)>& job,
                       const std::function<void(std::size_t, const Outcome&)>& done)>
        apart;
};

/// How far a run is: the step, and the fraction of the whole, 0 to 1.
using ShowProgress = std::function<void(const std::string& step, double fraction)>;

} // namespace stillwall::solver
