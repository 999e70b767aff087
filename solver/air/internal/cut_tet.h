#pragma once
// A ten-node tetrahedron shared out in 64 equal parts of its local coordinates.

#include "solver/air/acoustic.h"

#include <array>
#include <vector>

namespace stillwall::solver::internal {

inline constexpr int n_parts = 64;
using PartShares = Eigen::Matrix<double, n_parts, 1>; ///< 0 … 1

/// Halved twice: corners of all parts lie on the lattice of quarters.
class CutTet
{
public:
    [[nodiscard]] static const CutTet& get();

    static constexpr int n_points = 35; ///< of the lattice
    /// The lattice's points in space, shape (3, 35).
    [[nodiscard]] Eigen::Matrix<double, 3, n_points> points(const Eigen::Matrix<double, 3, 10>& X) const;
    /// Lattice points at the corners of each part.
    [[nodiscard]] const std::array<std::array<int, 4>, n_parts>& corners() const { return corners_; }

    /// Σ over the parts of share × their integral; H [m] and Q = ∫ N Nᵀ dV [m³]. Exact for straight sides; with curved
    /// ones the Jacobian is that of each part's middle.
    /// @throws MeshError when the element folds over
    [[nodiscard]] AirElement integrate(const Eigen::Matrix<double, 3, 10>& X, const PartShares& share) const;

private:
    CutTet();
    Eigen::Matrix<double, 10, n_points> lattice_; ///< shape functions
    std::array<std::array<int, 4>, n_parts> corners_{};
    std::array<Tet10Gradients, n_parts> middle_; ///< gradients at the middles
    Eigen::MatrixXd mass_;                       ///< (100, 64): ∫ N Nᵀ over a part
    Eigen::MatrixXd stiffness_; ///< (100, 6·64): ∫ ∂ₖN ∂ₗNᵀ over a part, kl = 00 11 22 01 12 02, the last three with
                                ///< their transpose
};

} // namespace stillwall::solver::internal
