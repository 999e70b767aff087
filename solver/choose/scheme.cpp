#include "solver/choose/scheme.h"

#include "solver/choose/internal/pass.h"

#include <algorithm>

namespace stillwall::solver {

std::string packed(const ComputedScheme& scheme)
{
    Packer packer;
    packer(scheme);
    return packer.take();
}

ComputedScheme unpacked(const std::string& bytes)
{
    ComputedScheme scheme;
    Unpacker unpacker(bytes);
    unpacker(scheme);
    return scheme;
}

bool can_play(const CabinetPlan& plan)
{
    const auto is_in_brace = [&plan](const OpeningPlan& opening) {
        return std::any_of(plan.braces.begin(), plan.braces.end(),
                           [&](const BracePlan& brace) { return brace.name == opening.board; });
    };
    return std::any_of(plan.openings.begin(), plan.openings.end(), [&](const OpeningPlan& opening) {
        return opening.insert.kind == InsertPlan::Kind::Driver && opening.insert.small_signal && !is_in_brace(opening);
    });
}

} // namespace stillwall::solver
