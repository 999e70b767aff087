#include "solver/structure/shell/family.h"

namespace stillwall::solver {

std::array<AssumedStrain, 5> all_components(AssumedStrain (*rule)(Component))
{
    using enum Component;
    return {rule(rr), rule(ss), rule(rs), rule(rt), rule(st)};
}

} // namespace stillwall::solver
