// Folded plates.

#include "tests/published/checks.h"
#include "tests/published/shell_grid.h"

#include <fmt/format.h>

namespace stillwall::published {
namespace {

/// Two square cells one above the other, closed by a clamp at z = 0 and open at the other end.
ShellGrid double_cell(const ElementFamily& family, int n, const Section& section)
{
    constexpr double w = 1.27, length = 2.54;
    ShellGrid grid(family, section, Vector3d::UnitZ());
    for (double y : {0.0, w, 2 * w})
        grid.add_block(n, 2 * n, [=](double r, double s) { return Vector3d(w * r, y, length * s); });
    for (double x : {0.0, w})
        for (double y : {0.0, w})
            grid.add_block(n, 2 * n, [=](double r, double s) { return Vector3d(x, y + w * r, length * s); });
    return grid;
}

Check box_check(const ElementFamily& family, int n)
{
    const Section section = plain_section(isotropic(207e9, 0.3, 7850), 12.7e-3);
    const ShellGrid grid = double_cell(family, n, section);
    Holds holds(grid.model());
    holds.at(nodes_where(grid.model(), [](const Vector3d& x) { return x.z() < 1e-9; }), {ux, uy, uz, rx, ry, rz});
    Check check;
    check.id = "double-cell box";
    check.problem = "open box of two square cells 1.27 m wide, 2.54 m long, 12.7 mm steel, clamped at one end [Hz]";
    check.source = "Fan & Luah, J. Sound Vib. 179 (1995) 763";
    check.confirmed = printed + ", read in another library's example; not recomputed";
    check.reference = {20.28, 25.43, 28.79, 30.62};
    check.ours = frequencies(grid.model(), holds, 0, 4, check.reference.back());
    check.mesh = fmt::format("{} {}", grid.model().elements.size(), family.nodes.size() == 9 ? "Quad9" : "Quad4");
    check.tolerance = 0.01;
    check.why = "the reference is a finite-element result";
    return check;
}

} // namespace

std::vector<Check> box_checks()
{
    return {box_check(nine_nodes(), 6), box_check(four_nodes(), 16)};
}

} // namespace stillwall::published
