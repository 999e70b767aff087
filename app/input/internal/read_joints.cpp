#include "app/input/internal/place.h"
#include "app/input/internal/plan_reader.h"
#include "app/input/internal/quantity.h"
#include "mesh/cabinet/fastener.h"

#include <fmt/format.h>

#include <cmath>

namespace stillwall::app {
namespace {

constexpr Limits spacing_limits{5e-3, 2};
constexpr Limits diameter_limits{1e-3, 0.02};
constexpr Limits screw_limits{1e3, 1e10};
constexpr Limits line_limits{1e3, 1e13};
constexpr Limits strip_thickness_limits{1e-4, 0.05};
constexpr Limits strip_width_limits{1e-3, 0.2};
constexpr Limits strip_E_limits{1e3, 1e12};
constexpr Limits rebate_limits{0, 0.2};

const Fixing& fixing(const MaterialLibrary& library, Fixing::Use use, const std::string& name, const YamlNode& where)
{
    try {
        return find_fixing(library, use, name);
    } catch (const MaterialError& error) {
        where.fail(error.what());
    }
}

/// Mean density of a board over its thickness [kg/m³].
double density_of(const CabinetPlan& plan, const std::string& board)
{
    const auto mean = [&plan](const Layup& layup) {
        double mass = 0;
        for (const Ply& ply : layup.plies)
            mass += ply.thickness * plan.materials[static_cast<std::size_t>(ply.material)].rho.value;
        return mass / layup.thickness();
    };
    for (const WallPlan& wall : plan.walls)
        if (wall.name == board) return mean(wall.layup);
    for (const BracePlan& brace : plan.braces)
        if (brace.name == board) return mean(brace.layup);
    return mean(board == plan.top.name ? plan.top.layup : plan.bottom.layup);
}

Quantity scaled(const Quantity& factor, double value)
{
    return {factor.value * value, factor.low * value, factor.high * value, factor.source, factor.confirmed};
}

void read_screws(const YamlNode& part, const MaterialLibrary& library, const CabinetPlan& plan, JointPlan& joint)
{
    const Fixing& screw = fixing(library, Fixing::Use::Screw, "screw", part);
    const auto spacing = part.find("spacing"), diameter = part.find("screw_diameter");
    joint.spacing = spacing ? spacing->length(spacing_limits) : screw.figure("spacing").value;
    const double d = diameter ? diameter->length(diameter_limits) : screw.figure("diameter").value;
    const double rho = density_of(plan, joint.board);
    const double rho_2 = joint.neighbour.empty() ? rho : density_of(plan, joint.neighbour);
    const double by_formula = screw_shear_stiffness(std::sqrt(rho * rho_2), d);
    const auto shear = part.find("screw_shear"), axial = part.find("screw_axial");
    joint.screw_shear =
        shear ? read_quantity(*shear, Dimension::Stiffness, screw_limits) : scaled(screw.figure("shear"), by_formula);
    joint.screw_axial =
        axial ? read_quantity(*axial, Dimension::Stiffness, screw_limits) : scaled(screw.figure("axial"), by_formula);
    joint.screw_loss = screw.figure("loss");
    joint.loss = screw.figure("loss");
}

void read_strip(const YamlNode& strip, const MaterialLibrary& library, JointPlan& joint)
{
    strip.only_keys({"thickness", "width", "E", "material"});
    joint.strip_thickness = strip.at("thickness").length(strip_thickness_limits);
    joint.strip_width = strip.at("width").length(strip_width_limits);
    if (const auto material = strip.find("material")) {
        if (const auto E = strip.find("E")) E->fail("give either E or a material");
        const Fixing& stuff = fixing(library, Fixing::Use::Strip, material->text(), *material);
        joint.strip_E = stuff.figure("E");
        joint.loss = stuff.figure("loss");
        return;
    }
    if (!strip.has("E")) strip.fail("needs E, or a material: foam, rubber or cork");
    joint.strip_E = read_quantity(strip.at("E"), Dimension::Modulus, strip_E_limits);
    joint.loss = {};
}

void refuse(const YamlNode& part, std::initializer_list<std::string_view> keys, std::string_view kind)
{
    for (std::string_view key : keys)
        if (const auto found = part.find(key)) found->fail(fmt::format("does not belong to the kind '{}'", kind));
}

void read_kind(const YamlNode& part, const MaterialLibrary& library, const CabinetPlan& plan, JointPlan& joint)
{
    using Kind = JointPlan::Kind;
    constexpr Kind kinds[] = {Kind::Glued, Kind::Screwed, Kind::Gasket, Kind::Springs};
    const YamlNode kind = part.at("kind");
    joint.kind = kinds[kind.choice({"glued", "screwed", "gasket", "springs"})];
    const std::string word = kind.text();
    const bool has_screws = joint.kind == Kind::Screwed || joint.kind == Kind::Gasket;
    if (!has_screws) refuse(part, {"spacing", "screw_diameter", "screw_axial", "screw_shear"}, word);
    if (joint.kind != Kind::Gasket) refuse(part, {"strip"}, word);
    if (joint.kind != Kind::Springs) refuse(part, {"normal", "shear"}, word);
    if (joint.kind == Kind::Glued) return refuse(part, {"loss", "rebate"}, word);

    if (has_screws) read_screws(part, library, plan, joint);
    if (joint.kind == Kind::Gasket) {
        const auto strip = part.find("strip");
        if (!strip) part.fail("a gasket needs its strip, such as strip: {thickness: 3, width: 12, material: foam}");
        read_strip(*strip, library, joint);
        if (strip->has("E") && !part.has("loss")) part.fail("a strip given by its E needs a loss");
    }
    if (joint.kind == Kind::Springs) {
        joint.normal = read_quantity(part.at("normal"), Dimension::LineStiffness, line_limits);
        joint.shear = read_quantity(part.at("shear"), Dimension::LineStiffness, line_limits);
    }
    if (const auto loss = part.find("loss")) joint.loss = read_loss_quantity(*loss);
    if (const auto rebate = part.find("rebate")) joint.lip = rebate->length(rebate_limits);
}

} // namespace

void read_joints(const YamlNode& joints, const MaterialLibrary& library, CabinetPlan& plan)
{
    const std::vector<std::string> boards = board_names(plan);
    std::set<std::string> taken;
    for (const YamlNode& part : read_parts(joints)) {
        part.only_keys({"name", "board", "neighbour", "kind", "spacing", "screw_diameter", "screw_axial", "screw_shear",
                        "loss", "rebate", "strip", "normal", "shear"});
        JointPlan joint;
        joint.where = part.where();
        joint.name = read_name(part, taken);
        joint.board = read_reference(part.at("board"), boards, "board");
        if (const auto neighbour = part.find("neighbour")) {
            joint.neighbour = read_reference(*neighbour, boards, "board");
            if (joint.neighbour == joint.board) neighbour->fail("must be another board");
        }
        read_kind(part, library, plan, joint);
        plan.joints.push_back(joint);
    }
}

} // namespace stillwall::app
