#include "app/input/internal/place.h"
#include "app/input/internal/plan_reader.h"

#include <fmt/format.h>

namespace stillwall::app {
namespace {

constexpr Limits cover_limits{0.01, 1};

void read_region(const YamlNode& part, const CabinetPlan& plan, LayerPlan& layer)
{
    if (const auto cover = part.find("cover")) {
        for (std::string_view key : {"from", "to"})
            if (const auto corner = part.find(key)) corner->fail("give either cover, or from and to");
        layer.cover = cover->ratio(cover_limits);
        return;
    }
    if (!part.has("from") && !part.has("to")) return;
    const BoardPlace from = read_place(part.at("from"), plan, layer.board);
    const BoardPlace to = read_place(part.at("to"), plan, layer.board);
    layer.x1 = from.x, layer.y1 = from.y, layer.z1 = from.z, layer.along1 = from.along;
    layer.x2 = to.x, layer.y2 = to.y, layer.z2 = to.z, layer.along2 = to.along;
}

} // namespace

void read_damping(const YamlNode& damping, StockReader& stock, CabinetPlan& plan)
{
    const std::vector<std::string> boards = board_names(plan);
    std::set<std::string> taken;
    for (const YamlNode& part : read_parts(damping)) {
        part.only_keys({"name", "board", "face", "material", "thickness", "layers", "cover", "from", "to"});
        LayerPlan layer;
        layer.where = part.where();
        const std::string name = read_name(part, taken);
        const YamlNode board = part.at("board");
        const std::vector<std::string> names = read_board_list(board, boards);
        if (const auto face = part.find("face")) layer.inside = face->choice({"inside", "outside"}) == 0;
        layer.layup = stock.face_layup(part);
        for (const std::string& one : names) {
            layer.board = one;
            layer.name = board.is_sequence() ? fmt::format("{} ({})", name, one) : name;
            read_region(part, plan, layer);
            plan.layers.push_back(layer);
        }
        if (plan.layers.size() > max_parts)
            damping.fail(fmt::format("makes {} layers, at most {} are read", plan.layers.size(), max_parts));
    }
}

} // namespace stillwall::app
