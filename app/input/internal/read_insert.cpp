#include "app/input/internal/read_insert.h"

#include "app/input/internal/place.h"
#include "app/input/internal/quantity.h"
#include "app/input/internal/read_basket.h"
#include "app/input/internal/read_driver_body.h"
#include "app/input/internal/read_figures.h"
#include "mesh/cabinet/opening.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace stillwall::app {
namespace {

constexpr Limits mass_limits{0, 200};
constexpr Limits volume_limits{0, 1};
constexpr Limits inertia_limits{0, 100};
constexpr Limits offset_limits{-1, 1};
constexpr Limits rim_limits{0, 1e7};
constexpr Limits spring_limits{1e3, 1e11};
constexpr Limits depth_limits{1e-3, 1};
constexpr Limits tube_limits{1e-3, 2};
constexpr Limits flare_limits{0, 0.2};
constexpr Limits tuning_limits{5, 1000};
constexpr double same_length = 1e-9; // [m]

LossySpring read_spring(const YamlNode& node)
{
    LossySpring spring{read_quantity(node.at("stiffness"), Dimension::Stiffness, spring_limits), {}};
    if (const auto loss = node.find("loss")) spring.loss = read_loss_quantity(*loss);
    return spring;
}

/// `mount`: a word of the fixings, or stiffness and loss.
void read_mount(const YamlNode& node, const MaterialLibrary& library, InsertPlan& insert)
{
    if (node.is_scalar()) {
        try {
            const Fixing& fixing = find_fixing(library, Fixing::Use::Mount, node.text());
            insert.mount = LossySpring{fixing.figure("stiffness"), fixing.figure("loss")};
        } catch (const MaterialError& error) {
            node.fail(error.what());
        }
        return;
    }
    node.only_keys({"stiffness", "loss"});
    insert.mount = read_spring(node);
}

RearTie read_rear(const YamlNode& node, const std::string& own_board, const std::vector<std::string>& boards)
{
    node.only_keys({"touches", "depth", "stiffness", "loss"});
    RearTie tie;
    tie.board = read_reference(node.at("touches"), boards, "board");
    if (tie.board == own_board) node.at("touches").fail("must be another board than the driver's own");
    tie.depth = node.at("depth").length(depth_limits);
    tie.spring = read_spring(node);
    return tie;
}

/// Nothing when not written; 0 leaves the estimate too.
std::optional<double> read_inertia(const YamlNode& node, std::string_view key)
{
    const auto found = node.find(key);
    const double inertia = found ? found->measure(Dimension::Inertia, inertia_limits) : 0;
    return inertia > 0 ? std::optional(inertia) : std::nullopt;
}

void read_body(const YamlNode& node, InsertPlan& insert)
{
    insert.mass = node.at("mass").measure(Dimension::Mass, mass_limits);
    if (const auto n = node.find("volume")) insert.volume = n->measure(Dimension::Volume, volume_limits);
    if (const auto n = node.find("offset")) insert.offset = n->length(offset_limits);
    if (const auto n = node.find("rim_stiffness")) insert.rim_EI = n->measure(Dimension::BendingStiffness, rim_limits);
    insert.inertia_axial = read_inertia(node, "inertia_axial");
    insert.inertia_radial = read_inertia(node, "inertia_radial");
}

double board_thickness(const CabinetPlan& plan, const std::string& board)
{
    for (const WallPlan& wall : plan.walls)
        if (wall.name == board) return wall.layup.thickness();
    for (const BracePlan& brace : plan.braces)
        if (brace.name == board) return brace.layup.thickness();
    return (board == plan.top.name ? plan.top : plan.bottom).layup.thickness();
}

double hole_area(const OpeningPlan& plan)
{
    return opening_area(Opening{plan});
}

/// `length` and `flare` of a port. The tube's air is not the cabinet's: without a volume its inside is taken.
void read_tube(const YamlNode& node, const OpeningPlan& opening, const CabinetPlan& plan, InsertPlan& insert)
{
    const double thickness = board_thickness(plan, opening.board);
    const auto told = [&node](double length) { return format_measure(length, Dimension::Length, node.length_unit()); };
    if (const auto tuning = node.find("tuning")) {
        constexpr std::array<std::pair<const char*, const char*>, 2> follows{
            {{"length", "give one of tuning and length"}, {"volume", "follows from the length that 'tuning' gives"}}};
        for (const auto& [key, problem] : follows)
            if (const auto other = node.find(key)) other->fail(problem);
        static_cast<void>(read_tuning(*tuning)); // used where the volume is known
    }
    if (const auto length = node.find("length")) {
        const double tube = length->length(tube_limits);
        insert.port_length = tube;
        if (tube < thickness - same_length)
            length->fail(fmt::format("must not be less than the thickness of '{}', {}, got {}", opening.board,
                                     told(thickness), length->text()));
        if (!node.has("volume")) insert.volume = hole_area(opening) * std::max(0.0, tube - thickness);
    }
    if (const auto flare = node.find("flare")) {
        insert.flare = flare->length(flare_limits);
        const double longest = insert.port_length.value_or(thickness) / 2;
        if (!node.has("tuning") && insert.flare > longest + same_length)
            flare->fail(
                fmt::format("must not exceed half the port's length, {}, got {}", told(longest), flare->text()));
    }
}

/// Refuses keys of one kind in another.
void check_keys(const YamlNode& node, InsertPlan::Kind kind)
{
    using Kind = InsertPlan::Kind;
    for (std::string_view key : {"basket", "mount", "rear", "closed_back", "depth", "magnet_diameter"})
        if (const auto found = node.find(key); found && kind != Kind::Driver) found->fail("belongs to drivers only");
    for (std::string_view key : {"flange_diameter", "recess", "screws"})
        if (const auto found = node.find(key); found && kind != Kind::Driver && kind != Kind::Passive)
            found->fail("belongs to drivers and passive radiators only");
    for (std::string_view key : {"length", "flare", "tuning"})
        if (const auto found = node.find(key); found && kind != Kind::Port) found->fail("belongs to ports only");
    switch (kind) {
    case Kind::Driver:
        return node.only_keys({"mass",
                               "volume",
                               "offset",
                               "rim_stiffness",
                               "inertia_axial",
                               "inertia_radial",
                               "basket",
                               "mount",
                               "rear",
                               "closed_back",
                               "depth",
                               "magnet_diameter",
                               "flange_diameter",
                               "recess",
                               "screws",
                               "Re",
                               "Le",
                               "Le_exponent",
                               "Bl",
                               "Mms",
                               "Cms",
                               "fs",
                               "Vas",
                               "Rms",
                               "Qms",
                               "Qes",
                               "Qts",
                               "Sd"});
    case Kind::Passive:
        for (std::string_view key : {"Re", "Le", "Le_exponent", "Bl", "Qes", "Qts"})
            if (const auto found = node.find(key))
                found->fail("belongs to drivers only, a passive radiator has no motor");
        return node.only_keys({"mass", "volume", "offset", "rim_stiffness", "inertia_axial", "inertia_radial",
                               "flange_diameter", "recess", "screws", "Mms", "Cms", "fs", "Vas", "Rms", "Qms", "Sd"});
    case Kind::Port:
        refuse_figures(node, "a port");
        return node.only_keys({"mass", "volume", "offset", "rim_stiffness", "inertia_axial", "inertia_radial", "length",
                               "flare", "tuning"});
    default:
        refuse_figures(node, "a plate");
        return node.only_keys({"mass", "volume", "offset", "rim_stiffness", "inertia_axial", "inertia_radial"});
    }
}

} // namespace

double read_tuning(const YamlNode& node)
{
    return node.measure(Dimension::Frequency, tuning_limits);
}

InsertPlan read_insert(const YamlNode& part, const OpeningPlan& opening, const CabinetPlan& plan,
                       const MaterialLibrary& library)
{
    using Kind = InsertPlan::Kind;
    constexpr std::pair<std::string_view, Kind> kinds[] = {
        {"driver", Kind::Driver}, {"passive_radiator", Kind::Passive}, {"port", Kind::Port}, {"plate", Kind::Plate}};
    InsertPlan insert;
    for (const auto& [key, kind] : kinds) {
        const auto found = part.find(key);
        if (!found) continue;
        if (insert.kind != Kind::None) found->fail("one opening holds one of driver, passive_radiator, port and plate");
        insert.kind = kind;
        insert.name = opening.name;
        check_keys(*found, kind);
        read_body(*found, insert);
        if (kind == Kind::Port) read_tube(*found, opening, plan, insert);
        if (const auto closed = found->find("closed_back")) insert.closed_back = closed->choice({"no", "yes"}) == 1;
        if (kind == Kind::Passive || has_figures(*found))
            insert.small_signal = read_figures(*found, kind == Kind::Driver);
        if (const auto mount = found->find("mount")) read_mount(*mount, library, insert);
        if (kind == Kind::Driver || kind == Kind::Passive)
            insert.body = read_driver_body(*found, opening, board_thickness(plan, opening.board));
        if (kind == Kind::Driver) insert.basket = read_basket(*found, opening, insert);
        if (const auto rear = found->find("rear")) insert.rear_tie = read_rear(*rear, opening.board, board_names(plan));
    }
    return insert;
}

} // namespace stillwall::app
