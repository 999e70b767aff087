// The shell solver against values from outside. Each check carries its reference, source, confirmation, mesh, tolerance
// and the reason for it beside the numbers, in the file named in checks.h.

#include "tests/published/checks.h"

#include <catch2/catch.hpp>

#include <cmath>

using namespace stillwall::published;

namespace {

void run(const std::vector<Check>& checks)
{
    REQUIRE_FALSE(checks.empty());
    for (const Check& check : checks) {
        INFO(check.id << ": " << check.problem << "; " << check.mesh << "; tolerance " << check.tolerance << ": "
                      << check.why);
        REQUIRE(check.tolerance > 0);
        REQUIRE_FALSE(check.reference.empty());
        REQUIRE(check.ours.size() == check.reference.size());
        for (std::size_t i = 0; i < check.reference.size(); ++i) {
            CAPTURE(i);
            CHECK_THAT(check.ours[i], Catch::Matchers::WithinRel(check.reference[i], check.tolerance));
        }
    }
}

} // namespace

TEST_CASE("NAFEMS free vibration of plates", "[published][plate]")
{
    run(nafems_checks());
}
TEST_CASE("rectangular plates with all 21 sets of edges", "[published][plate]")
{
    run(edge_checks());
}
TEST_CASE("discs, point supports, point masses, static deflections", "[published][plate]")
{
    run(thin_plate_checks());
}
TEST_CASE("plates with round and square holes", "[published][plate]")
{
    run(cut_out_checks());
}
TEST_CASE("thick plates", "[published][plate]")
{
    run(thick_plate_checks());
}
TEST_CASE("orthotropic plates along and off the axes", "[published][plate]")
{
    run(orthotropic_checks());
}
TEST_CASE("laminated and sandwich plates", "[published][laminate]")
{
    run(laminate_checks());
}
TEST_CASE("laminate stiffness and shear factors", "[published][laminate]")
{
    run(section_checks());
}
TEST_CASE("damped beams: free and constrained layers", "[published][damping]")
{
    run(sandwich_checks());
}
TEST_CASE("obstacle course of curved shells", "[published][shell]")
{
    run(shell_checks());
}
TEST_CASE("boxes of folded plates", "[published][shell]")
{
    run(box_checks());
}
