#include "app/output/modes_report.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace stillwall::app {

std::vector<NamedShare> main_boards(const solver::Mode& mode, const Cabinet& cabinet)
{
    assert(mode.boards.size() == cabinet.boards.size());
    std::vector<NamedShare> shares;
    for (std::size_t i = 0; i < mode.boards.size(); ++i)
        shares.push_back({cabinet.boards[i].name, mode.boards[i].kinetic});
    std::stable_sort(shares.begin(), shares.end(),
                     [](const NamedShare& a, const NamedShare& b) { return a.kinetic > b.kinetic; });

    const auto is_main = [](const NamedShare& share) { return share.kinetic >= 0.10; };
    const auto n_main = std::count_if(shares.begin(), shares.end(), is_main);
    const auto n_kept = std::clamp<std::ptrdiff_t>(n_main, 1, 3);
    if (static_cast<std::ptrdiff_t>(shares.size()) > n_kept) shares.erase(shares.begin() + n_kept, shares.end());
    return shares;
}

Drive strongest_drive(const solver::Mode& mode, double cabinet_mass)
{
    const auto harder = [](const solver::DriveCoupling& a, const solver::DriveCoupling& b) {
        return std::abs(a.phi) < std::abs(b.phi);
    };
    const auto best = std::max_element(mode.drives.begin(), mode.drives.end(), harder);
    if (best == mode.drives.end()) return {};
    const double compliance = best->phi * best->phi; // [1/kg]
    if (compliance * 100 * cabinet_mass < 1) return {};
    return {best->driver, 1 / compliance};
}

std::string flag_word(solver::Flag flag)
{
    switch (flag) {
    case solver::Flag::Rings:
        return "rings";
    case solver::Flag::Faint:
        return "faint";
    case solver::Flag::Outside:
        return "outside";
    }
    assert(false);
    return {};
}

} // namespace stillwall::app
