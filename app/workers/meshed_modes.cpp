#include "app/workers/meshed_modes.h"

#include "app/write/stopwatch.h"
#include "mesh/cabinet/error.h"
#include "mesh/gmsh/mesher.h"
#include "solver/modes/mesh_error.h"

#include <algorithm>

namespace stillwall::app {
namespace {

/// @return the estimates by board
Eigen::MatrixXd solve(const Cabinet& cabinet, const solver::ModesOptions& options, MeshedModes& meshed)
{
    meshed.result = solver::analyse_modes(cabinet, meshed.mesh, options, &meshed.work);
    const solver::ModesWork& work = meshed.work;
    Eigen::MatrixXd errors =
        solver::mesh_errors(cabinet, meshed.mesh, work.structure, work.phi.real(), work.lambda.real());
    const Eigen::RowVectorXd sums = errors.colwise().sum();
    meshed.mesh_error.assign(sums.begin(), sums.end());
    return errors;
}

/// The mesh with these factors; nothing when there is none.
std::optional<ShellMesh> finer_mesh(const Cabinet& cabinet, double element_size, const std::vector<double>& factor)
{
    try {
        return mesh::mesh_shell(cabinet, {.element_size = element_size, .factor = factor});
    } catch (const MeshError&) {
        return std::nullopt;
    }
}

} // namespace

MeshedModes mesh_and_solve(const Cabinet& cabinet, solver::Accuracy accuracy, const solver::ModesOptions& options)
{
    MeshedModes meshed;
    meshed.element_size = solver::element_size_for(cabinet, options.f_max, points_per_wave(accuracy));
    Stopwatch watch;
    meshed.mesh = mesh::mesh_shell(cabinet, {.element_size = meshed.element_size});
    meshed.seconds_mesh = watch.lap();
    const Eigen::MatrixXd errors = solve(cabinet, options, meshed);
    if (accuracy == solver::Accuracy::Draft) return meshed;
    const std::vector<double> factor = solver::finer_where_needed(errors, promised_error(accuracy));
    if (factor.empty()) return meshed;

    if (options.progress) options.progress("meshing again, finer", 0);
    watch.lap();
    std::optional<ShellMesh> finer = finer_mesh(cabinet, meshed.element_size, factor);
    meshed.seconds_mesh += watch.lap();
    if (!finer) return meshed;
    MeshedAgain again{.finer = {},
                      .error_before = *std::max_element(meshed.mesh_error.begin(), meshed.mesh_error.end())};
    for (std::size_t b = 0; b < factor.size(); ++b)
        if (factor[b] < 1) again.finer.push_back(cabinet.boards[b].name);
    meshed.mesh = std::move(*finer);
    solve(cabinet, options, meshed);
    meshed.meshed_again = std::move(again);
    return meshed;
}

} // namespace stillwall::app
