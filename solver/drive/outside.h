#pragma once
// The outside of the cabinet as the radiation sees it.

#include "solver/drive/coupled.h"
#include "solver/radiation/modal_radiation.h"

namespace stillwall::solver {

/// Where each kind of shape stands among the columns.
struct ShapeColumns
{
    Eigen::Index n_walls = 0, n_sources = 0;
    std::vector<int>
        boards; ///< walls of the cabinet, each with n_walls columns more: the part of the wall shapes on it

    [[nodiscard]] Eigen::Index n_loaded() const { return n_walls + n_sources; }
    [[nodiscard]] Eigen::Index of_board(std::size_t i) const
    {
        return n_loaded() + static_cast<Eigen::Index>(i) * n_walls;
    }
    [[nodiscard]] Eigen::Index size() const { return of_board(boards.size()); }
};

[[nodiscard]] ShapeColumns shape_columns(const Cabinet& cabinet, Eigen::Index n_walls, std::size_t n_sources);

/// Panels and shapes of the outer meshes. A cone's column is its whole Sd moving with 1 m/s, spread over its facets; a
/// port's 1 m³/s. Facets that lie on the plane are left out.
/// @param V  wall basis over the structure's unknowns
[[nodiscard]] std::vector<RadiatingLevel> radiating_levels(const Cabinet& cabinet, const SoundMeshes& meshes,
                                                           const Structure& structure, const Eigen::MatrixXd& V,
                                                           const std::vector<SourceModel>& sources,
                                                           const std::optional<OuterPlane>& plane);

} // namespace stillwall::solver
