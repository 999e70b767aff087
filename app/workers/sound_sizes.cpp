#include "app/workers/sound_sizes.h"

#include "solver/modes/analysis.h"

namespace stillwall::app {

LargestEdges largest_edges(const Cabinet& cabinet, double f_high)
{
    Vector3d low = Vector3d::Constant(1e9), high = -low;
    for (const Board& board : cabinet.boards)
        for (const Vector2d& corner : board.outline) {
            low = low.cwiseMin(board.frame.to_space(corner));
            high = high.cwiseMax(board.frame.to_space(corner));
        }
    const double least_side = (high - low).minCoeff();
    constexpr double per_bending_wave = 4;
    const double by_wave = solver::element_size_for(cabinet, f_high, 2 * per_bending_wave);
    LargestEdges edges;
    edges.shell = std::max(edges.shell, least_side / 10);
    edges.air = std::max(edges.air, least_side / 3);
    edges.panel = std::max(edges.panel, std::min(least_side / 10, by_wave));
    return edges;
}

double shell_element_size(const Cabinet& cabinet, double f_high, Accuracy accuracy)
{
    return std::min(solver::element_size_for(cabinet, f_high, sound_points_per_wave(accuracy)),
                    largest_edges(cabinet, f_high).shell);
}

} // namespace stillwall::app
