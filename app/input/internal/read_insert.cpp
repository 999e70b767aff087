#include "app/input/internal/read_insert.h"

#include "app/input/internal/place.h"
#include "app/input/internal/quantity.h"

namespace stillwall::app {
namespace {

constexpr Limits mass_limits{0, 200};
constexpr Limits volume_limits{0, 1};
constexpr Limits inertia_limits{0, 100};
constexpr Limits offset_limits{-1, 1};
constexpr Limits rim_limits{0, 1e7};
constexpr Limits spring_limits{1e3, 1e11};
constexpr Limits depth_limits{1e-3, 1};

/// `mount`: a word of the fixings, or stiffness and loss.
void read_mount(const YamlNode& node, const MaterialLibrary& library, InsertPlan& insert)
{
    if (node.is_scalar()) {
        try {
            const Fixing& fixing = find_fixing(library, Fixing::Use::Mount, node.text());
            insert.mount_stiffness = fixing.figure("stiffness");
            insert.mount_loss = fixing.figure("loss");
        } catch (const MaterialError& error) {
            node.fail(error.what());
        }
        return;
    }
    node.only_keys({"stiffness", "loss"});
    insert.mount_stiffness = read_quantity(node.at("stiffness"), Dimension::Stiffness, spring_limits);
    if (const auto loss = node.find("loss")) insert.mount_loss = read_loss_quantity(*loss);
}

void read_rear(const YamlNode& node, const std::string& own_board, const std::vector<std::string>& boards,
               InsertPlan& insert)
{
    node.only_keys({"touches", "depth", "stiffness", "loss"});
    insert.rear_tie = read_reference(node.at("touches"), boards, "board");
    if (insert.rear_tie == own_board) node.at("touches").fail("must be another board than the driver's own");
    insert.rear_depth = node.at("depth").length(depth_limits);
    insert.rear_tie_stiffness = read_quantity(node.at("stiffness"), Dimension::Stiffness, spring_limits);
    if (const auto loss = node.find("loss")) insert.rear_tie_loss = read_loss_quantity(*loss);
}

void read_body(const YamlNode& node, InsertPlan& insert)
{
    node.only_keys({"mass", "volume", "offset", "rim_stiffness", "inertia_axial", "inertia_radial", "mount", "rear"});
    insert.mass = node.at("mass").measure(Dimension::Mass, mass_limits);
    if (const auto n = node.find("volume")) insert.volume = n->measure(Dimension::Volume, volume_limits);
    if (const auto n = node.find("offset")) insert.offset = n->length(offset_limits);
    if (const auto n = node.find("rim_stiffness")) insert.rim_EI = n->measure(Dimension::BendingStiffness, rim_limits);
    if (const auto n = node.find("inertia_axial"))
        insert.inertia_axial = n->measure(Dimension::Inertia, inertia_limits);
    if (const auto n = node.find("inertia_radial"))
        insert.inertia_radial = n->measure(Dimension::Inertia, inertia_limits);
}

} // namespace

InsertPlan read_insert(const YamlNode& part, const OpeningPlan& opening, const std::vector<std::string>& boards,
                       const MaterialLibrary& library)
{
    using Kind = InsertPlan::Kind;
    constexpr std::pair<std::string_view, Kind> kinds[] = {
        {"driver", Kind::Driver}, {"port", Kind::Port}, {"plate", Kind::Plate}};
    InsertPlan insert;
    for (const auto& [key, kind] : kinds) {
        const auto found = part.find(key);
        if (!found) continue;
        if (insert.kind != Kind::None) found->fail("one opening holds one of driver, port and plate");
        insert.kind = kind;
        insert.name = opening.name;
        read_body(*found, insert);
        const auto mount = found->find("mount"), rear = found->find("rear");
        for (const auto& node : {mount, rear})
            if (node && kind != Kind::Driver) node->fail("belongs to drivers only");
        if (mount) read_mount(*mount, library, insert);
        if (rear) read_rear(*rear, opening.board, boards, insert);
    }
    return insert;
}

} // namespace stillwall::app
