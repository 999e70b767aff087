#include "app/input/internal/place.h"
#include "app/input/internal/plan_reader.h"
#include "app/input/internal/quantity.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace stillwall::app {
namespace {

constexpr Limits foot_stiffness_limits{1, 1e12};
constexpr Limits deflection_limits{1e-6, 0.1};

constexpr std::array axes{"x", "y", "z"};

/// Takes over one axis; the range of a foot is the widest of its axes'.
void set_axis(SupportPlan& support, int axis, const Quantity& stiffness)
{
    support.stiffness(axis) = stiffness.value;
    if (!(stiffness.value > 0)) return;
    const Quantity range = relative_range(stiffness);
    Quantity& widest = support.stiffness_range;
    widest.low = std::min(widest.low, range.low);
    widest.high = std::max(widest.high, range.high);
    widest.source = range.source;
    widest.confirmed = range.confirmed;
}

Quantity read_axis(const YamlNode& node, Limits limits)
{
    const Quantity stiffness = read_quantity(node, Dimension::Stiffness, limits);
    if (stiffness.low < stiffness.high && !(stiffness.low > 0)) node.fail("a range must begin above 0");
    return stiffness;
}

void read_stiffness(const YamlNode& node, SupportPlan& support)
{
    support.stiffness_range = {1, 1, 1, {}, {}}; // own figures, not the preset's
    if (!node.is_map()) {
        const Quantity stiffness = read_axis(node, foot_stiffness_limits);
        for (int axis = 0; axis < 3; ++axis) set_axis(support, axis, stiffness);
        return;
    }
    node.only_keys({"x", "y", "z"});
    for (int axis = 0; axis < 3; ++axis)
        set_axis(support, axis,
                 read_axis(node.at(axes[static_cast<std::size_t>(axis)]), {0, foot_stiffness_limits.high}));
    if (support.stiffness.maxCoeff() < foot_stiffness_limits.low)
        node.fail("at least one stiffness must be 1 N/m or more");
}

/// Feet that sink less are stiffer.
void read_deflection(const YamlNode& node, SupportPlan& support)
{
    const Quantity sink = read_quantity(node, Dimension::Length, deflection_limits);
    support.static_deflection = sink.value;
    support.stiffness_range = {1, sink.value / sink.high, sink.value / sink.low, sink.source, sink.confirmed};
}

void read_preset(const YamlNode& kind, const MaterialLibrary& library, SupportPlan& support)
{
    try {
        const Fixing& fixing = find_fixing(library, Fixing::Use::Support, kind.text());
        support.kind = fixing.name;
        for (int axis = 0; axis < 3; ++axis)
            set_axis(support, axis, fixing.figure(std::string("stiffness_") + axes[static_cast<std::size_t>(axis)]));
        support.loss = fixing.figure("loss");
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
    if (stiffness) read_stiffness(*stiffness, support);
    if (deflection) read_deflection(*deflection, support);
    if (!kind && !stiffness && !deflection) part.fail("feet need a kind, their stiffness or their static_deflection");
    if (const auto loss = part.find("loss")) support.loss = read_loss_quantity(*loss);
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
