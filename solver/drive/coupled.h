#pragma once
// Wood, air inside, cones, ports and the air outside at one frequency, all together.
//
// Unknowns, e^{+jωt}: velocities s of the wall basis, pressures a of the air basis, per source r (a cone's velocity
// against its motor, a port's flow out of its outer mouth), per port U (flow into its inner mouth). With Z the
// outside's impedance on walls and sources:
//
//     ⎡ D/jω + Z_ww*    −Cᵀ   Z_ws + jω m τᵀ + z_s σᵀ   0   ⎤ ⎡s⎤   ⎡ 0        ⎤
//     ⎢      −C       −A/jω         −S w              −w_p ⎥ ⎢a⎥ = ⎢ 0        ⎥
//     ⎢  symmetric                Z_ss + z            −Z₁₂ ⎥ ⎢r⎥   ⎢ ±Bl E/Ze ⎥
//     ⎣                                                Z₁₁ ⎦ ⎣U⎦   ⎣ 0        ⎦
//
//     Z_ww* = Z_ww + jω carried_mass() + Σ z_s σᵀσ,   z_s = Rms + 1/(jω Cms)
//     cone   z = jω m + z_s + Bl²/Ze      port   z = Z₂₂
// The motor (motion τ s) already carries the cone's mass too; the cone's mass m moves with τ s + r. The coil's force
// acts between cone and motor, so both feel it in opposite directions. The suspension acts between cone and flange;
// where the motor hangs on its basket and moves against the flange by σ s, it is drawn by r + σ s. In a rigid driver σ
// = 0, and what is left of all forces on it is −jω m r.

#include "solver/air/port.h"
#include "solver/drive/air_basis.h"
#include "solver/drive/sound.h"
#include "solver/drive/wall_basis.h"

#include <optional>

namespace stillwall::solver {

/// A cone or a port.
struct SourceModel
{
    Source source;
    std::optional<SmallSignal> cone; ///< cones and passive radiators
    double moving_mass = 0;          ///< [kg] m, without air
    std::optional<Port> port;        ///< ports and bare holes
    Eigen::RowVectorXd frame;        ///< τ: outward motion of what carries it (a cone's motor), per wall coordinate
    Eigen::RowVectorXd stretch; ///< σ: outward motion of the motor against the flange, per wall coordinate; empty: 0
    double area = 0;            ///< [m²] of cone or throat
    double inner_area = 0;      ///< [m²] with which a cone pushes the air inside: its area, or 0 behind a closed back
};

/// A cone that no motor drives.
[[nodiscard]] bool is_passive(const SourceModel& model);

/// Moving mass without the air that moves with a cone in free air: Mms − (8/3) ρ a³ with a = √(Sd/π), a thin disc
/// moving broadside (H. Lamb, Hydrodynamics, section 102), half of that with a closed back, and at least half of Mms.
[[nodiscard]] double mass_in_vacuo(const SmallSignal& cone, bool closed_back, const Air& air);

/// Impedance of the voice coil at rest [ohm]: Re and its lossy inductance, see lossy_coil.
[[nodiscard]] std::complex<double> coil_impedance(const SmallSignal& cone, double f_Hz);

/// The whole cabinet, ready for any frequency.
struct Coupled
{
    WallBasis walls;
    AirBasis air;
    Eigen::MatrixXd C;       ///< Ψᵀ C V [m²], see coupling/skin.h
    Eigen::MatrixXd carried; ///< [kg per wall coordinate squared] see carried_mass; no entries: none
    std::vector<SourceModel> sources;
    struct Terminal
    {
        int source = 0;
        double sign = 1;
    };
    struct Circuit
    {
        std::vector<Terminal> drivers;
        bool is_series = false;
    };
    std::vector<Circuit> circuits; ///< one per way
    double face_admittance = 0;    ///< [m²·s/kg] per area: absorption and leaks

    [[nodiscard]] Eigen::Index n_ports() const;
};

/// Per volt at one way's terminals with the other ways' short-circuited; one column per way.
struct Motion
{
    Eigen::MatrixXcd walls;   ///< [m/s per wall coordinate]; 0 when they stand still
    Eigen::MatrixXcd air;     ///< [Pa per air coordinate]
    Eigen::MatrixXcd sources; ///< cones [m/s] against the motor, ports [m³/s] outward
    Eigen::VectorXcd current; ///< [A] of the way itself
};

/// The same drive with walls that move and with walls that stand still.
struct MovingAndStill
{
    Motion moving, still;
};

/// @param Z  radiation impedance, walls then sources, shape (n, n)
[[nodiscard]] MovingAndStill solve_coupled(const Coupled& cabinet, double f_Hz, const Eigen::MatrixXcd& Z);

/// The drive with walls that stand still, and what the air, cones and ports answer to further pushes: columns as
/// wall_columns() times shapes, one system for both.
struct StillAnswer
{
    Motion motion;
    Eigen::MatrixXcd pushed; ///< shape (n_air + n_sources + n_ports, columns of `pushes`)
};
[[nodiscard]] StillAnswer solve_still(const Coupled& cabinet, double f_Hz, const Eigen::MatrixXcd& Z,
                                      const Eigen::MatrixXcd& pushes);

/// Cones, ports and inner mouths among themselves: Z_ss + z, −Z₁₂, Z₁₁; shape (n_sources + n_ports) squared.
/// @param Z_ss  radiation impedance of the sources, shape (n_sources, n_sources)
[[nodiscard]] Eigen::MatrixXcd source_system(const Coupled& cabinet, double f_Hz, const Eigen::MatrixXcd& Z_ss);

/// How they meet the air: the columns −S w, 0 for a port's outer mouth, −w_p; shape (n_air, n_sources + n_ports).
[[nodiscard]] Eigen::MatrixXd source_columns(const Coupled& cabinet);

/// The system without walls: air, sources, mouths; shape (n_air + n_sources + n_ports) squared.
[[nodiscard]] Eigen::MatrixXcd inner_system(const Coupled& cabinet, double f_Hz, const Eigen::MatrixXcd& Z_ss);

/// What acts on the walls besides their own stiffness and mass: Z_ww, the carried mass, suspensions; shape (n_walls,
/// n_walls).
[[nodiscard]] Eigen::MatrixXcd wall_load(const Coupled& cabinet, double f_Hz, const Eigen::MatrixXcd& Z);

/// How the walls meet it: the columns −C, Z_sw + jω m τ + z_s σ, 0; shape (n_air + n_sources + n_ports, n_walls).
[[nodiscard]] Eigen::MatrixXcd wall_columns(const Coupled& cabinet, double f_Hz, const Eigen::MatrixXcd& Z);

/// box_tuning() [Hz] of all the air and all sources, or of one chamber; nothing where nothing tunes it.
/// @param chamber  place of its uniform pressure among AirBasis::mode_Hz
[[nodiscard]] std::optional<double> tuning_estimate(const Coupled& cabinet,
                                                    std::optional<Eigen::Index> chamber = std::nullopt);

/// Conductance per face area [m²·s/kg] of evenly spread leaks: Q_L = ω₀ C_a/G with C_a = V/(ρc²), at ω₀ of
/// tuning_estimate(), or the first cone's resonance on the volume.
/// @throws DomainError  Q_L not above 0
[[nodiscard]] double leak_admittance(const Coupled& cabinet, double leakage_Q);

} // namespace stillwall::solver
