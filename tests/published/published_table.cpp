// Prints tests/published/README.md: published_table > tests/published/README.md

#include "tests/published/checks.h"

#include <fmt/format.h>

#include <cmath>

using namespace stillwall::published;

namespace {

std::string list(const std::vector<double>& values)
{
    if (values.size() > 14)
        return fmt::format("{} values, {:.5g} to {:.5g}", values.size(), values.front(), values.back());
    std::string text;
    for (double value : values) text += (text.empty() ? "" : " ") + fmt::format("{:.5g}", value);
    return text;
}

void print(const char* title, const std::vector<Check>& checks)
{
    fmt::print("\n## {}\n\n", title);
    fmt::print(
        "| case | problem | source | how confirmed | mesh | reference | ours | worst error | tolerance | why |\n");
    fmt::print("|---|---|---|---|---|---|---|---|---|---|\n");
    for (const Check& c : checks) {
        // Below the digits of a reference an error is round-off and differs between machines.
        const double error = 100 * worst_error(c);
        const std::string shown = std::abs(error) < 5e-4 ? "< 0.0005 %" : fmt::format("{:+.3f} %", error);
        fmt::print("| {} | {} | {} | {} | {} | {} | {} | {} | {:g} % | {} |\n", c.id, c.problem, c.source, c.confirmed,
                   c.mesh, list(c.reference), list(c.ours), shown, 100 * c.tolerance, c.why);
    }
}

} // namespace

int main()
{
    fmt::print(R"(# The shell solver against values from outside

Printed by `published_table` of the build (`published_table > tests/published/README.md`); `published_test` checks the same
numbers. "Worst error" is the largest relative error of a row with its sign.

How confirmed: *published*: read in a public text or in another library's published example; *recomputed*: evaluated again by
closed form or series, apart from this program; *from memory*: not seen in print. Where a printed number is off, the converged limit
stands in its place and the row says so.

Meshes: plates with "mesh rule" have nine-node elements with 10 node spacings to the shortest bending wave of the highest mode
compared, the program's ordinary rule; plates with holes 16, its fine rule. Thin plates are computed at t/a = 1/1000, so that shear takes less
than 0.03 % off; with round outlines or holes at 1/200: nine-node elements that are no parallelograms grow stiff when their side
is many times the thickness (`solver_shell_test` measures it). With t/a = 1/1000 and the ordinary rule the plates with round holes
come out 0.7 to 12 % high; boards, at 2 to 5 thicknesses to an element, are far from that.
)");
    print("NAFEMS plates", nafems_checks());
    print("Rectangles, all edges", edge_checks());
    print("Discs, point supports, point masses, statics", thin_plate_checks());
    print("Holes", cut_out_checks());
    print("Thick plates", thick_plate_checks());
    print("Orthotropic plates", orthotropic_checks());
    print("Laminated plates", laminate_checks());
    print("Laminate stiffness", section_checks());
    print("Damped beams", sandwich_checks());
    print("Curved shells, static", shell_checks());
    print("Boxes of folded plates", box_checks());
}
