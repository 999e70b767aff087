#include "mesh/cabinet/internal/build_steps.h"

#include <algorithm>
#include <cmath>

namespace stillwall {
namespace {

using Kind = JointPlan::Kind;

Quantity times(const Quantity& q, double factor)
{
    return {q.value * factor, q.low * factor, q.high * factor, q.source, q.confirmed};
}

Quantity sum(const Quantity& a, const Quantity& b)
{
    return {a.value + b.value, a.low + b.low, a.high + b.high, a.source, a.confirmed};
}

// Loss of two springs side by side, each weighted by its stiffness; the range over all ends of their ranges.
Quantity shared_loss(const Quantity& k_a, const Quantity& eta_a, const Quantity& k_b, const Quantity& eta_b)
{
    const auto loss = [](double ka, double ea, double kb, double eb) { return (ka * ea + kb * eb) / (ka + kb); };
    Quantity result = eta_a;
    result.value = result.low = result.high = loss(k_a.value, eta_a.value, k_b.value, eta_b.value);
    for (const double ka : {k_a.low, k_a.high}) {
        for (const double kb : {k_b.low, k_b.high}) {
            result.low = std::min(result.low, loss(ka, eta_a.low, kb, eta_b.low));
            result.high = std::max(result.high, loss(ka, eta_a.high, kb, eta_b.high));
        }
    }
    return result;
}

std::string key_of(const JointPlan& plan)
{
    return "joints." + plan.name;
}

// Width of the wood in contact: the ending board's thickness as the passing board cuts it, less the lip.
double contact_width(const Cabinet& cabinet, const Junction& junction, const JointPlan& plan)
{
    const double wood = cabinet.board(junction.ending).thickness() / std::sin(junction.angle);
    const double width = wood - plan.lip;
    if (!(width >= least_land))
        throw InputError(plan.where, key_of(plan) + ".rebate",
                         "a lip of " + in_mm(plan.lip) + " leaves nothing of the " + in_mm(wood) + " on which '" +
                             cabinet.board(junction.passing).name + "' and '" + cabinet.board(junction.ending).name +
                             "' touch");
    return width;
}

void add_screws(const JointPlan& plan, LineSpring& spring)
{
    if (!(plan.spacing > 0) || !(plan.screw_axial.low > 0) || !(plan.screw_shear.low > 0))
        throw InputError(plan.where, key_of(plan), "screws need a spacing and stiffnesses greater than 0");
    const double w = spring.width;
    spring.normal = times(plan.screw_axial, 1 / plan.spacing);
    spring.shear = times(plan.screw_shear, 1 / plan.spacing);
    spring.turning = times(spring.normal, w * w / 4);
}

LineSpring line_spring(const Cabinet& cabinet, const Junction& junction, const JointPlan& plan)
{
    LineSpring spring;
    spring.name = plan.name;
    spring.where = plan.where;
    spring.removable = cabinet.board_index(plan.board).value();
    spring.width = contact_width(cabinet, junction, plan);
    spring.loss = plan.loss;
    if (plan.kind == Kind::Springs) {
        if (!(plan.normal.low > 0) || !(plan.shear.low > 0))
            throw InputError(plan.where, key_of(plan), "springs need stiffnesses greater than 0");
        spring.normal = plan.normal;
        spring.shear = plan.shear;
        // Spread evenly over the contact.
        spring.turning = times(plan.normal, spring.width * spring.width / 12);
        return spring;
    }
    if (plan.kind == Kind::Gasket) {
        if (!(plan.strip_thickness > 0) || !(plan.strip_width > 0) || !(plan.strip_E.low > 0))
            throw InputError(plan.where, key_of(plan), "a gasket needs a strip with thickness, width and E");
        spring.width = std::min(spring.width, plan.strip_width);
    }
    add_screws(plan, spring);
    if (plan.kind == Kind::Screwed) return spring;

    const double w = spring.width;
    const Quantity strip = times(plan.strip_E, w / plan.strip_thickness);
    // By their shares in the normal stiffness: the strip opens and closes as the board bends.
    spring.loss = shared_loss(strip, plan.loss, spring.normal, plan.screw_loss);
    spring.normal = sum(strip, spring.normal);
    spring.shear = sum(times(strip, 1.0 / 3), spring.shear);
    spring.turning = sum(times(strip, w * w / 12), spring.turning);
    return spring;
}

// What a junction has been told so far.
struct Told
{
    const JointPlan* by_pair = nullptr;
    const JointPlan* by_board = nullptr;
};

// By name: a curved wall's facets share one, and between them the wood runs through.
bool joins(const Cabinet& cabinet, const Junction& junction, const std::string& a, const std::string& b)
{
    const std::string &passing = cabinet.board(junction.passing).name, &ending = cabinet.board(junction.ending).name;
    if (passing == ending) return false;
    return (passing == a && (b.empty() || ending == b)) || (ending == a && (b.empty() || passing == b));
}

void take(const Cabinet& cabinet, const Junction& junction, const JointPlan& plan, const JointPlan*& told)
{
    if (told != nullptr && told != &plan)
        throw InputError(plan.where, key_of(plan),
                         "the joint of '" + cabinet.board(junction.passing).name + "' and '" +
                             cabinet.board(junction.ending).name + "' is named twice, here and as '" + told->name +
                             "' in line " + std::to_string(told->where.line) +
                             (plan.neighbour.empty() ? "; name it by its pair of boards" : ""));
    told = &plan;
}

void tell(const Cabinet& cabinet, const JointPlan& plan, std::vector<Told>& told)
{
    static_cast<void>(find_board(cabinet, plan.board, plan.where, key_of(plan) + ".board"));
    const bool is_pair = !plan.neighbour.empty();
    if (is_pair) static_cast<void>(find_board(cabinet, plan.neighbour, plan.where, key_of(plan) + ".neighbour"));
    bool is_found = false, is_crossing = false;
    for (std::size_t i = 0; i < cabinet.junctions.size(); ++i) {
        const Junction& junction = cabinet.junctions[i];
        if (!joins(cabinet, junction, plan.board, plan.neighbour)) continue;
        if (junction.kind == Junction::Kind::Cross) {
            is_crossing = true;
            continue;
        }
        is_found = true;
        take(cabinet, junction, plan, is_pair ? told[i].by_pair : told[i].by_board);
    }
    if (is_found) return;
    const std::string crossing = is_crossing ? "; plates that cross are halved into each other and stay glued" : "";
    if (is_pair)
        throw InputError(plan.where, key_of(plan),
                         "'" + plan.board + "' and '" + plan.neighbour + "' do not meet at an edge" + crossing);
    throw InputError(plan.where, key_of(plan), "'" + plan.board + "' meets no board at an edge" + crossing);
}

} // namespace

void add_line_springs(const CabinetPlan& plan, Cabinet& cabinet)
{
    std::vector<Told> told(cabinet.junctions.size());
    for (const JointPlan& item : plan.joints) tell(cabinet, item, told);
    for (std::size_t i = 0; i < told.size(); ++i) {
        const JointPlan* item = told[i].by_pair != nullptr ? told[i].by_pair : told[i].by_board;
        if (item == nullptr || item->kind == Kind::Glued) continue;
        cabinet.junctions[i].spring = line_spring(cabinet, cabinet.junctions[i], *item);
    }
}

} // namespace stillwall
