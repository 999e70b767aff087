#include "solver/structure/shell/family.h"

namespace stillwall::solver {

std::array<Assumed, 5> all_components(Assumed (*rule)(Component))
{
    using enum Component;
    return {rule(rr), rule(ss), rule(rs), rule(rt), rule(st)};
}

} // namespace stillwall::solver
