#pragma once
// A slice through a joint: plane-strain and antiplane elasticity of an L, T or cross piece.
//
//            up
//             │ t_column          The row runs along x with thickness t_row, the column along y with
//   left ─────┼───── right        thickness t_column; each has up to two legs. The block where they cross is
//             │ t_row             filled by one of them.
//           down

#include <Eigen/Core>

#include <array>
#include <vector>

namespace stillwall::solver {

/// Plane-strain properties of a board in the slice: along its own length n and thickness 3; s is along the edge.
struct SliceMaterial
{
    double E_n = 0;   ///< [Pa] modulus along n at ε_s = 0, σ_3 = 0: bending stiffness over t³/12
    double E_3 = 0;   ///< [Pa] through the thickness at ε_s = 0, σ_n = 0
    double nu_n3 = 0; ///< strain in 3 per strain in n at ε_s = 0
    double G_n3 = 0;  ///< [Pa]
    double G_ns = 0;  ///< [Pa] in-plane shear
    double G_s3 = 0;  ///< [Pa]
};

struct JointPiece
{
    double t_row = 0, t_column = 0; ///< [m]
    SliceMaterial row, column;
    bool has_left = false, has_right = true, has_up = true, has_down = false;
    bool is_block_row = true; ///< the block is of the row's wood
};

/// Legs in the order left, right, up, down; only those present.
enum class Leg
{
    left,
    right,
    up,
    down
};

[[nodiscard]] std::vector<Leg> legs_of(const JointPiece& piece);

/// Compliance of the block: what the joint yields beyond beams that reach to the block's faces.
///
/// Forces (N along the leg outwards, Q towards the leg's positive side, M, and S along the edge) act at each leg's cut
/// at the block's face, per unit of edge length. Load cases are the columns of `loads`, self-equilibrated.
struct BlockCompliance
{
    Eigen::MatrixXd loads;       ///< shape (3 n_legs, n_cases): (N, Q, M) per leg [N/m, N/m, N]
    Eigen::MatrixXd C;           ///< shape (n_cases, n_cases), energy = ½ aᵀ C a for load loads·a
    Eigen::MatrixXd shear_loads; ///< shape (n_legs, n_legs − 1): S per leg [N/m]
    Eigen::MatrixXd C_shear;     ///< same for the shear along the edge
    /// [N·m²] torsion stiffness about the edge: the slice's own (warping solved) less t³/3 G per length of leg outside
    /// the block.
    double torsion = 0;
};

/// Solves the slice by quadratic finite elements, graded towards the re-entrant corners, with legs long enough for
/// Saint-Venant's principle, and takes the legs' own beam energy off.
/// @throws DomainError when a thickness or modulus is not > 0
[[nodiscard]] BlockCompliance block_compliance(const JointPiece& piece);

} // namespace stillwall::solver
