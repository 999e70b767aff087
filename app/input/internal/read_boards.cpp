#include "app/input/internal/nearest.h"
#include "app/input/internal/place.h"
#include "app/input/internal/plan_reader.h"
#include "app/input/internal/read_kerfs.h"

#include <fmt/format.h>

#include <algorithm>

namespace stillwall::app {

StockChoice read_boards(const YamlNode& boards, StockReader& stock, CabinetPlan& plan)
{
    std::vector<std::string> known = wall_names(plan);
    known.insert(known.begin(), "all");
    for (const YamlNode::Entry& entry : boards.entries()) {
        if (std::find(known.begin(), known.end(), entry.key) == known.end())
            throw InputError(entry.key_where, entry.value.path(), "no such board" + hint_from(entry.key, known));
        entry.value.only_keys({"material", "thickness", "layers", "grain", "welded", "kerfs"});
    }

    const auto own_all = boards.find("all");
    const StockChoice all = own_all ? choice_of(*own_all) : StockChoice{};
    const auto fill = [&](WallPlan& wall) {
        const auto own = boards.find(wall.name);
        if (!own && !own_all) boards.fail(fmt::format("needs '{}', or 'all' for every board", wall.name));
        const YamlNode part = own ? *own : *own_all;
        const StockChoice choice = own ? choice_of(*own).or_else(all) : all;
        wall.layup = stock.layup(choice, part);
        wall.grain = choice.grain_angle();
        wall.grain_rule = choice.grain_rule();
        wall.where = part.where();
    };
    for (WallPlan& wall : plan.walls) fill(wall);
    fill(plan.top);
    fill(plan.bottom);
    for (const YamlNode::Entry& entry : boards.entries())
        if (const auto kerfs = entry.value.find("kerfs")) read_kerfs(*kerfs, entry.key, plan);
    return all;
}

} // namespace stillwall::app
