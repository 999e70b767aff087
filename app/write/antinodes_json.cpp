#include "app/write/antinodes_json.h"

#include "app/write/finite.h"
#include "mesh/cabinet/units.h"
#include "solver/modes/antinode.h"

#include <nlohmann/json.hpp>

namespace stillwall::app {

using Json = nlohmann::ordered_json;

Json antinodes_json(const Cabinet& cabinet, const ShellMesh& mesh, const Eigen::Matrix3Xd& displacement)
{
    Json list = Json::array();
    for (const solver::Antinode& one : solver::antinodes(cabinet, mesh, displacement)) {
        Json from = Json::array();
        for (const auto& [edge, distance] : one.from)
            from.push_back({{"edge", edge}, {"distance_mm", finite(distance, "a distance") / units::mm}});
        list.push_back({{"board", cabinet.board(one.board).name},
                        {"motion", finite(one.motion, "an antinode's motion")},
                        {"from", std::move(from)},
                        {"at_mm", {one.at.x() / units::mm, one.at.y() / units::mm, one.at.z() / units::mm}}});
    }
    return list;
}

Json antinodes_json(const Cabinet& cabinet, const ShellMesh& mesh, const Eigen::MatrixXd& shapes, std::size_t index)
{
    const auto column = static_cast<Eigen::Index>(index);
    if (column >= shapes.cols() || shapes.rows() != 3 * mesh.n_nodes()) return Json::array();
    return antinodes_json(cabinet, mesh, Eigen::Matrix3Xd(shapes.col(column).reshaped(3, mesh.n_nodes())));
}

} // namespace stillwall::app
