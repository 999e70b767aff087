#include "app/input/internal/read_kerfs.h"

#include "mesh/cabinet/error.h"
#include "mesh/cabinet/kerfed.h"

#include <algorithm>

namespace stillwall::app {

void read_kerfs(const YamlNode& node, const std::string& board, CabinetPlan& plan)
{
    constexpr Limits pitch_limits{1e-3, 0.2}, depth_limits{1e-4, 0.2}, width_limits{1e-4, 0.02};
    node.only_keys({"pitch", "depth", "width", "filled"});
    const auto wall =
        std::find_if(plan.walls.begin(), plan.walls.end(), [&](const WallPlan& w) { return w.name == board; });
    if (wall == plan.walls.end() || wall->bulge == 0)
        node.fail(
            "only a curved wall is kerfed: give its corner in the outline a radius or a bulge, or leave them out");
    if (wall->grain_rule != GrainRule::Angle)
        node.fail("a kerfed board needs its grain: upright (along the kerfs) or across");
    Kerfs kerfs;
    kerfs.pitch = node.at("pitch").length(pitch_limits);
    kerfs.depth = node.at("depth").length(depth_limits);
    kerfs.width = node.at("width").length(width_limits);
    if (const auto filled = node.find("filled")) kerfs.is_filled = filled->choice({"no", "yes"}) == 1;
    try {
        wall->layup = kerfed(wall->layup, kerfs, wall->bulge > 0, wall->grain, plan.materials);
    } catch (const DomainError& error) {
        node.fail(error.what());
    }
    wall->kerfs = kerfs;
}

} // namespace stillwall::app
