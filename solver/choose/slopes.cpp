#include "solver/choose/slopes.h"

#include <algorithm>

namespace stillwall::solver {
namespace {

using Kind = Knob::Kind;

/// The length in the plan that a knob turns; nothing for other knobs.
std::optional<double> length_of(const CabinetPlan& plan, const Knob& knob)
{
    for (const BracePlan& brace : plan.braces)
        if (brace.name == knob.part) {
            if (knob.kind == Kind::Thickness) return brace.layup.thickness();
            if (knob.kind == Kind::BracePosition && brace.plane != BracePlan::Plane::Slanted) return brace.at;
        }
    if (knob.kind != Kind::Thickness) return std::nullopt;
    for (const WallPlan& wall : plan.walls)
        if (wall.name == knob.part) return wall.layup.thickness();
    for (const WallPlan* wall : {&plan.top, &plan.bottom})
        if (wall->name == knob.part) return wall->layup.thickness();
    return std::nullopt;
}

} // namespace

bool has_slope(const ChangeAxis& axis)
{
    return std::all_of(axis.paths.begin(), axis.paths.end(), [](const std::string& path) {
        const bool is_brace = path.starts_with("braces."), is_board = path.starts_with("boards.");
        return (is_brace && path.ends_with(".at") && path.find(".windows.") == std::string::npos) ||
               ((is_brace || is_board) && path.ends_with(".thickness"));
    });
}

Lowest lowest_with_slopes(const CabinetPlan& plan, const ComputedScheme& scheme, const std::vector<CabinetPlan>& beside,
                          const std::vector<double>& step, double f_max)
{
    constexpr std::size_t most = 4;
    Lowest lowest;
    const Worth& worth = scheme.worth.value();
    for (std::size_t m = 0; m < scheme.figures.modes.size() && lowest.values.size() < most; ++m) {
        const SchemeMode& mode = scheme.figures.modes[m];
        if (!mode.is_board) continue;
        std::vector<double> gradient(beside.size(), 0.0);
        for (std::size_t k = 0; k < beside.size(); ++k)
            for (std::size_t j = 0; j < worth.knobs.size(); ++j) {
                const auto here = length_of(plan, worth.knobs[j]), there = length_of(beside[k], worth.knobs[j]);
                if (here && there) gradient[k] += mode.f_Hz * worth.slopes[j][m].ln_f * (*there - *here) / step[k];
            }
        lowest.values.push_back(mode.f_Hz);
        lowest.gradients.push_back(std::move(gradient));
    }
    lowest.values.resize(most, f_max);
    lowest.gradients.resize(most, std::vector<double>(beside.size(), 0.0));
    return lowest;
}

} // namespace stillwall::solver
