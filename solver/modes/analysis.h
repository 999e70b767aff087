#pragma once
// The main computation: mesh + cabinet → modes with their boards, losses and bands.

#include "mesh/core/shell_mesh.h"
#include "solver/linalg/verify.h"
#include "solver/modes/sensitivity.h"
#include "solver/modes/worth.h"
#include "solver/structure/structure.h"

#include <Eigen/Core>

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace stillwall::solver {

struct ModesOptions
{
    double f_max = 1500; ///< [Hz]
    /// The plan the cabinet was built from: also find what each part is worth.
    const CabinetPlan* worth_of = nullptr;
    /// For weighing many cabinets: no proof that no mode is missed, no bands, and losses to first order in the real
    /// shapes
    ///     λ = ω² + i φᵀ K_loss φ + Σ_j s_j(f) φᵀ K_j φ
    /// (modal strain energy, C. D. Johnson & D. A. Kienholz, AIAA J. 20 (1982) 1284), good for losses up to some 0.1.
    bool quick = false;
    /// The lowest elastic modes, at most 20, once more by a second solver: of the real matrices at f_max, as the count.
    bool verify = false;
    /// Called with a short text and a fraction 0..1 as the work goes on; may be empty.
    std::function<void(const std::string&, double)> progress;
};

/// How one driver's axial force meets a mode.
struct DriveCoupling
{
    std::string driver;
    int board = 0;
    double phi = 0;   ///< [kg^-1/2] mass-normalised displacement of the driver along its axis, outward positive
    double width = 0; ///< [m] of its hole
};

/// One board's share in a mode.
struct BoardShare
{
    double kinetic = 0; ///< [-] of the kinetic energy, all boards and inserts sum to 1
    double strain = 0;  ///< [-] of the strain energy
};

/// A part's share in what a mode loses.
struct LossShare
{
    enum class Kind
    {
        Board,
        Layer,
        Joint,
        Support,
        Driver,
        Bar,
        Basket
    };
    Kind kind = Kind::Board;
    std::string part;
    double share = 0; ///< [-] of the loss, all parts sum to 1
};

struct Mode
{
    double f_Hz = 0;
    double f_low_Hz = 0,
           f_high_Hz =
               0; ///< band from the ranges of materials, joints, mounts and feet (first-order, root of sum of squares)
    double loss = 0;                ///< loss factor [-], see complex_modes.h
    double Q = 0;                   ///< 1/loss
    double Q_low = 0, Q_high = 0;   ///< band, as of the frequency
    double T60_s = 0;               ///< ring time 2.2 Q/f
    std::vector<BoardShare> boards; ///< by board index
    std::vector<LossShare> losses;  ///< largest first
    std::vector<DriveCoupling> drives;
    double volume = 0;        ///< [m²/kg^1/2] net outward volume the walls displace per modal amplitude
    bool moves_whole = false; ///< the cabinet moves as one on its supports: they hold over 70 % of the strain energy
    std::string
        on_mount; ///< the driver that moves on its soft mount, which holds over half of the strain energy; else empty
    std::string on_basket;  ///< likewise the driver whose motor moves on its basket
    std::string shape_name; ///< e.g. "left, right: sides breathe 1×1"
    double residual = 0;
};

struct ModesResult
{
    std::vector<Mode> modes;    ///< elastic modes below f_max, ascending
    int n_rigid = 0;            ///< modes below 1 Hz
    double rigid_max_Hz = 0;    ///< largest of them: round-off
    std::optional<int> n_below; ///< Sturm count below f_max, rigid modes included; nothing when not asked
    bool is_proved = false;
    double residual_max = 0;
    std::optional<Verified> verified; ///< when asked for
    double mass_model = 0;            ///< [kg] of the finite-element model, inserts included
    int n_nodes = 0, n_unknowns = 0, n_elements = 0;
    double seconds_assemble = 0, seconds_solve = 0;
    double seconds_worth = 0;
    int n_loss_rounds =
        0; ///< rounds in which the real shapes were turned into the lossy ones; 0: one loss factor everywhere
    Sensitivity sensitivity;    ///< of every mode by what is uncertain
    std::optional<Worth> worth; ///< when asked for
    ShellMesh drawn;            ///< the mesh, with nodes of their own along the joints of boards that can be taken off
    Eigen::MatrixXd shapes; ///< translations on it, shape (3 n_nodes, n_modes), mass-normalised [kg^-1/2], real parts
};

/// What was computed on the way, for those who go on from it.
struct ModesWork
{
    Structure structure;
    StructureMatrices matrices;
    EigenResult real;        ///< modes of (K, M), rigid ones and those just above f_max included
    Eigen::MatrixXcd phi;    ///< lossy modes in the order of ModesResult::modes, φᵀMφ = 1, shape (n_dofs, n_modes)
    Eigen::VectorXcd lambda; ///< [rad²/s²]
    bool is_real = true;     ///< phi has no imaginary part
};

/// @param work  filled when not null
/// @throws DomainError, SolverError
[[nodiscard]] ModesResult analyse_modes(const Cabinet& cabinet, const ShellMesh& mesh, const ModesOptions& options,
                                        ModesWork* work = nullptr);

/// Element size of the default mesh rule for this cabinet [m]: a fraction of the shortest bending wavelength of any
/// board at f_max. points_per_wave counts node spacings (half a nine-node element each).
[[nodiscard]] double element_size_for(const Cabinet& cabinet, double f_max, double points_per_wave);

} // namespace stillwall::solver
