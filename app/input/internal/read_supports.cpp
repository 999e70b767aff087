#include "app/input/internal/place.h"
#include "app/input/internal/plan_reader.h"
#include "app/input/internal/quantity.h"

#include <fmt/format.h>

namespace stillwall::app {
namespace {

constexpr Limits foot_stiffness_limits{1, 1e12};
constexpr Limits deflection_limits{1e-6, 0.1};

Vector3d read_stiffness(const YamlNode& node)
{
    const auto read = [](const YamlNode& n) {
        return n.measure(Dimension::Stiffness, {0, foot_stiffness_limits.high});
    };
    if (!node.is_map()) return Vector3d::Constant(node.measure(Dimension::Stiffness, foot_stiffness_limits));
    node.only_keys({"x", "y", "z"});
    const Vector3d stiffness(read(node.at("x")), read(node.at("y")), read(node.at("z")));
    if (stiffness.maxCoeff() < foot_stiffness_limits.low) node.fail("at least one stiffness must be 1 N/m or more");
    return stiffness;
}

void read_preset(const YamlNode& kind, const MaterialLibrary& library, SupportPlan& support)
{
    try {
        const Fixing& fixing = find_fixing(library, Fixing::Use::Support, kind.text());
        support.kind = fixing.name;
        for (const auto& [axis, key] : {std::pair{0, "stiffness_x"}, {1, "stiffness_y"}, {2, "stiffness_z"}})
            support.stiffness(axis) = fixing.figure(key).value;
        support.loss = fixing.figure("loss").value;
    } catch (const MaterialError& error) {
        kind.fail(error.what());
    }
}

void read_feet(const YamlNode& part, const MaterialLibrary& library, SupportPlan& support)
{
    for (const YamlNode& point : read_parts(part.at("points"))) support.points.push_back(read_point2(point));
    const auto kind = part.find("kind"), stiffness = part.find("stiffness"),
               deflection = part.find("static_deflection");
    if (kind) read_preset(*kind, library, support);
    if (stiffness && deflection) deflection->fail("give either stiffness or static_deflection");
    if (stiffness) support.stiffness = read_stiffness(*stiffness);
    if (deflection) support.static_deflection = deflection->length(deflection_limits);
    if (!kind && !stiffness && !deflection) part.fail("feet need a kind, their stiffness or their static_deflection");
    if (const auto loss = part.find("loss")) support.loss = read_loss(*loss);
}

} // namespace

void read_supports(const YamlNode& supports, const MaterialLibrary& library, CabinetPlan& plan)
{
    const std::vector<std::string> boards = board_names(plan);
    std::set<std::string> taken;
    for (const YamlNode& part : read_parts(supports)) {
        part.only_keys({"name", "board", "edge", "points", "kind", "stiffness", "static_deflection", "loss"});
        SupportPlan support;
        support.where = part.where();
        support.name = read_name(part, taken);
        support.board = read_reference(part.at("board"), boards, "board");
        if (const auto edge = part.find("edge")) {
            for (std::string_view key : {"points", "kind", "stiffness", "static_deflection", "loss"})
                if (const auto found = part.find(key)) found->fail("does not belong to a clamped edge");
            support.is_clamped_edge = true;
            support.neighbour = read_reference(*edge, boards, "board");
            if (support.neighbour == support.board) edge->fail("must be another board, whose shared edge is clamped");
        } else {
            if (!part.has("points")) part.fail("needs 'points' with 'kind' or 'stiffness' (feet), or 'edge' (clamped)");
            read_feet(part, library, support);
        }
        plan.supports.push_back(support);
    }
}

} // namespace stillwall::app
