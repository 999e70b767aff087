// The one place that says whether a plan is a cabinet.

#include "mesh/cabinet/build.h"
#include "mesh/cabinet/build_sound.h"
#include "mesh/cabinet/fit.h"
#include "mesh/cabinet/internal/build_steps.h"
#include "mesh/cabinet/internal/obstacles.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace stillwall {
namespace {

constexpr double step = 1e-3; // [m] of a hint

/// Whether a plate moved along its normal meets nothing, as far as this can be said without building it again.
bool is_free_at(const std::vector<Obstacle>& all, const Board& plate, double shift)
{
    return std::none_of(all.begin(), all.end(), [&](const Obstacle& o) { return meets_wood(o.body, plate, shift); });
}

/// Whether the plan with this plate there builds, with nothing in the plate's way.
bool fits_at(const CabinetPlan& plan, std::size_t brace, double at)
{
    CabinetPlan changed = plan;
    changed.braces[brace].at = at;
    try {
        const std::vector<Clash> found = clashes(build_cabinet(changed), 0);
        const std::string part = "braces." + plan.braces[brace].name;
        return std::none_of(found.begin(), found.end(), [&](const Clash& c) { return c.part == part; });
    } catch (const InputError&) {
        return false;
    }
}

/// The nearest places of a plate, in whole millimetres, to either side.
std::string plate_hint(const CabinetPlan& plan, const Cabinet& cabinet, const std::string& name)
{
    const std::string notch = "let it be cut out there by 'notched: yes'";
    const auto found = std::find_if(plan.braces.begin(), plan.braces.end(),
                                    [&](const BracePlan& brace) { return brace.name == name; });
    if (found == plan.braces.end() || found->plane == BracePlan::Plane::Slanted) return "move it, or " + notch;
    const auto index = static_cast<std::size_t>(found - plan.braces.begin());
    const Board& plate = cabinet.board(cabinet.board_index(name).value());
    const std::vector<Obstacle> all = obstacles(cabinet, 0);
    const Eigen::Index axis = found->plane == BracePlan::Plane::Horizontal    ? 2
                              : found->plane == BracePlan::Plane::FrontToBack ? 0
                                                                              : 1;
    const double to_normal = plate.frame.n[axis] > 0 ? 1 : -1;
    constexpr int farthest = 500; // steps
    std::vector<std::string> places;
    for (const int way : {1, -1}) {
        int n_built = 0;
        const double start = way > 0 ? std::floor(found->at / step + 1e-6) : std::ceil(found->at / step - 1e-6);
        for (int k = 1; k <= farthest && n_built < 3; ++k) {
            const double at = (start + way * k) * step;
            if (!is_free_at(all, plate, to_normal * (at - found->at))) continue;
            ++n_built;
            if (!fits_at(plan, index, at)) continue;
            places.push_back(in_mm(at));
            break;
        }
    }
    if (places.empty()) return "no place near is free; " + notch + ", or give it limits or a larger window";
    return "move it to " + places.front() + (places.size() > 1 ? " or " + places.back() : "") + ", or " + notch;
}

bool has_room(const CabinetPlan& changed, const Cabinet& drawn, double spare)
{
    const Cabinet cabinet = build_cabinet(changed);
    check_sound(changed, cabinet);
    const auto is_certain = [](const Clash& clash) { return clash.is_certain; };
    const std::vector<Clash> now = clashes(cabinet, 0);
    if (std::any_of(now.begin(), now.end(), is_certain)) return false;
    std::set<std::pair<std::string, std::string>> known;
    for (const Clash& clash : clashes(drawn, spare)) known.emplace(clash.part, clash.other);
    const std::vector<Clash> near = clashes(cabinet, spare);
    return std::all_of(near.begin(), near.end(), [&](const Clash& clash) {
        return known.count({clash.part, clash.other}) > 0;
    });
}

} // namespace

void check_whole(const CabinetPlan& plan)
{
    const Cabinet cabinet = build_cabinet(plan);
    check_sound(plan, cabinet); // its words on tubes say how long they may be
    for (const Clash& clash : clashes(cabinet, 0)) {
        if (!clash.is_certain) continue;
        const std::string braces = "braces.";
        const bool is_plate = clash.part.starts_with(braces);
        throw InputError(clash.where, clash.key,
                         clash.problem +
                             (is_plate ? "; " + plate_hint(plan, cabinet, clash.part.substr(braces.size())) : ""));
    }
}

bool fits_with_room(const CabinetPlan& changed, const Cabinet& drawn, double spare)
{
    try {
        return has_room(changed, drawn, spare);
    } catch (const InputError&) {
        return false;
    }
}

} // namespace stillwall
