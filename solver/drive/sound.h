#pragma once
// What a cabinet does when it plays: sound of cones, ports and walls at the listeners, impedance, motion, and a verdict
// on each mode.
//
// Time factor e^{+jωt}; complex amplitudes are r.m.s. (|p| is the r.m.s. pressure); levels re 20 µPa, powers re 1 pW.

#include "mesh/core/air_mesh.h"
#include "mesh/core/outer_mesh.h"
#include "solver/modes/analysis.h"
#include "solver/verdict/resonance.h"

#include <complex>
#include <functional>
#include <optional>

namespace stillwall::solver {

/// What makes sound outside.
struct Source
{
    enum class Kind
    {
        Cone,
        Passive,
        Port,
        Hole
    };
    Kind kind = Kind::Cone;
    std::string name;
    int board = 0, opening = 0;
};

/// Everything at one listener.
struct HeardCurves
{
    std::string name;
    Vector3d at = Vector3d::Zero();
    Eigen::VectorXcd direct;   ///< [Pa] cones and ports with walls that stand still: the reference of all levels
    Eigen::VectorXd reference; ///< [Pa] |direct|, power mean over a third of an octave: what a mode is held against
    Eigen::VectorXcd total;    ///< [Pa]
    Eigen::VectorXcd walls;    ///< [Pa] what the boards (with plates and baskets in them) radiate
    std::vector<Eigen::VectorXcd> sources; ///< [Pa] per SoundResult::sources, in the cabinet with moving walls
    std::vector<Eigen::VectorXcd> boards;  ///< [Pa] per board of the cabinet; sums to walls
};

/// One voltage and what hangs on it.
struct WayCurves
{
    std::string name;
    std::vector<std::string> drivers;
    Eigen::VectorXcd gain;            ///< [-] of its crossover
    Eigen::VectorXcd impedance;       ///< [ohm] in the cabinet
    Eigen::VectorXcd impedance_still; ///< [ohm] the same with walls that stand still
};

/// Motion of one source.
struct SourceMotion
{
    Eigen::VectorXcd displacement; ///< [m] of the cone, r.m.s.; of the air in the port's outer mouth
    Eigen::VectorXcd velocity;     ///< [m/s]; of a port the mean over its throat
};

/// The wrinkle of a mode in the impedance of a way: what the mode alone adds at its own frequency. With its shape g
/// held still the admittance would be Y − ΔY,
///     ΔY = −(gᵀx)² / (gᵀA⁻¹g),   ΔZ = Z − 1/(Y − ΔY),
/// x the answer to one volt, gᵀA⁻¹g = ±jω/(λ − ω²) the mode's own, λ under load (+ of velocities, − of pressures).
struct Wrinkle
{
    std::string way;
    double ohm = 0;   ///< |ΔZ|
    double phase = 0; ///< [rad] of ΔZ; 0: it adds resistance, as a wall before which the cone is heavy
    double share = 0; ///< |ΔZ| / |Z with walls at rest|
    double f_Hz = 0;  ///< where
};

/// A resonance of the cabinet at work, with what drives it.
struct SoundMode : Resonance
{
    std::optional<int> wall; ///< index into SoundResult::wall_modes, walls only
    double T60_s = 0;
    double force_share = 0,
           pressure_share = 0; ///< of the drive at its peak, sum 1: cones' reaction against sound pressure inside and
                               ///< out; may be negative or above 1 when the two work against each other
    std::string driver;        ///< the driver that pushes most by force, empty when none
    std::vector<ModeAtListener> heard; ///< per listener, then in all directions; empty: not judged
    std::vector<Wrinkle> wrinkles;     ///< per way
    std::string reason;                ///< one sentence
};

struct SoundResult
{
    std::vector<double> frequency;       ///< [Hz] ascending: the curves' grid
    double volts = 0;                    ///< [V] r.m.s. at every way's input
    double level_dB = 0;                 ///< direct sound at 1 m, power mean over the level band
    double level_from = 0, level_to = 0; ///< [Hz]
    std::vector<Source> sources;
    std::vector<SourceMotion> motion; ///< per source
    std::vector<HeardCurves> listeners;
    std::vector<WayCurves> ways;
    Eigen::VectorXd power, power_walls,
        power_direct; ///< [W] all; boards alone; sources alone (the walls' and sources' waves also interfere)
    std::vector<SoundMode> modes; ///< ascending in frequency
    std::vector<Mode> wall_modes; ///< as modes/analysis.h has them, in vacuo
    Sensitivity sensitivity;      ///< of wall_modes
    Eigen::MatrixXd shapes;       ///< of wall_modes on `drawn`
    ShellMesh drawn;
    double net_volume = 0; ///< [m³] of the air
    int n_chambers = 1;    ///< parts of the air that no opening joins
    int n_shell = 0, n_air = 0, n_panels = 0, n_wall_modes = 0, n_air_modes = 0, n_frequencies = 0; ///< sizes
    double radiation_error = 0; ///< relative error of the interpolation over frequency
    double seconds_walls = 0, seconds_air = 0, seconds_radiation = 0, seconds_response = 0;
    std::vector<std::string> warnings; ///< one line each, for the user
};

struct SoundOptions
{
    std::function<void(const std::string&, double)> progress; ///< may be empty
};

/// The three meshes of one cabinet.
struct SoundMeshes
{
    const ShellMesh& shell;
    const AirMesh& air;
    std::vector<OuterMesh> outer;  ///< from coarse to fine
    std::vector<double> outer_top; ///< [Hz] each is good up to here, ascending; the last reaches the highest frequency
};

/// Walls whose modes are known, on the mesh of shells that is played.
struct AnalysedWalls
{
    const ModesResult& result;
    const ModesWork& work;
};

/// Plays walls that were analysed before; the result's wall_modes, sensitivity, shapes and drawn stay empty, and
/// SoundMode::wall counts those of `walls`.
/// @param setting  its frequencies end where the walls' modes do
/// @throws DomainError, SolverError, MeshError
[[nodiscard]] SoundResult play_sound(const Cabinet& cabinet, const SoundSetting& setting, const SoundMeshes& meshes,
                                     const AnalysedWalls& walls, const SoundOptions& options);

/// @throws DomainError, SolverError, MeshError
[[nodiscard]] SoundResult analyse_sound(const Cabinet& cabinet, const SoundSetting& setting, const SoundMeshes& meshes,
                                        const SoundOptions& options);

} // namespace stillwall::solver
