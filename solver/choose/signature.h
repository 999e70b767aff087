#pragma once
// Mode shapes in a form that can be held against those of another cabinet: sampled over the boards by name.

#include "mesh/core/shell_mesh.h"

#include <Eigen/Core>

#include <string>
#include <vector>

namespace stillwall::solver {

/// Motion along each board's normal on a grid of 9 × 9 places in the proportions of its outline's bounding rectangle
/// (the nearest place of the board where the grid falls on a hole), weighted by the root of the board's mass per place,
/// so that sums of squares are shares of kinetic energy.
struct Signature
{
    std::vector<std::string> boards;
    Eigen::MatrixXf samples; ///< shape (81 n_boards, n_modes)

    static constexpr int grid = 9, per_board = grid * grid;
};

/// @param shapes  translations on `mesh`, shape (3 n_nodes, n_modes)
/// @throws MeshError  a board without elements
[[nodiscard]] Signature signature_of(const Cabinet& cabinet, const ShellMesh& mesh, const Eigen::MatrixXd& shapes);

/// A mode of one cabinet met again in another.
struct Met
{
    int mode = -1; ///< its place there; −1: no mode there is alike by a half
    double likeness =
        0; ///< [0, 1] modal assurance criterion over the boards both have, weighed by their share of the motion
};

/// For each mode of `from` the one of `to` that is most alike, each taken once, the surest pairs first. With B the
/// boards that both have, a and b the samples there:
///     MAC = (aᵀb)² / (aᵀa bᵀb) · (share of a's motion on B) · (share of b's motion on B)
/// so that a mode of a brace that is not in the other scheme has no counterpart there.
/// @param f_from, f_to  [Hz] decides between pairs equally alike to 0.02
/// @source R. J. Allemang, D. L. Brown, Proc. IMAC 1 (1982) 110, for the criterion; the shares are ours
[[nodiscard]] std::vector<Met> met_again(const Signature& from, const std::vector<double>& f_from, const Signature& to,
                                         const std::vector<double>& f_to);

} // namespace stillwall::solver
