// A driver's basket: words, own figures, what is estimated.

#include "app/input/cabinet_file.h"

#include "tests/app/test_library.h"

#include <catch2/catch.hpp>
#include <fmt/format.h>

using namespace stillwall;
using namespace stillwall::app;
using Catch::Matchers::WithinRel;

namespace {

// Reference: the figures as written, in SI, and the table of basket_estimate.h. Tolerance: roundings.
void check_range(const Quantity& q, double low, double value, double high)
{
    constexpr double eps = 1e-14;
    CHECK_THAT(q.low, WithinRel(low, eps));
    CHECK_THAT(q.value, WithinRel(value, eps));
    CHECK_THAT(q.high, WithinRel(high, eps));
}

/// The basket of one driver in a hole [mm] in the front of a plain box.
std::optional<Basket> basket_of(const std::string& driver, int diameter = 150)
{
    const std::string file = fmt::format(
        "name: t\ncabinet: {{shape: box, width: 240, height: 340, depth: 260}}\n"
        "boards: {{all: {{material: mdf, thickness: 18}}}}\nopenings:\n"
        "  - {{name: w, board: front, shape: circle, diameter: {}, at: {{x: 120, z: 120}}, driver: {{{}}}}}\n",
        diameter, driver);
    return parse_cabinet(file, "t", library()).openings.at(0).insert.basket;
}

} // namespace

TEST_CASE("baskets by word, by own figures and by size", "[app][input][basket]")
{
    const CabinetPlan every = read_cabinet("tests/app/input_every_key.yaml", library());
    const Basket own = every.openings.at(2).insert.basket.value();
    CHECK(own.kind == Basket::Kind::Cast);
    check_range(own.rim_share, 0.15, 0.15, 0.15);
    check_range(own.rim_EI, 50, 50, 50); // the driver's rim_stiffness
    check_range(own.axial_Hz, 800, 900, 1000);
    check_range(own.rocking_Hz, 500, 500, 500);
    check_range(own.loss, 0.01, 0.02, 0.03);

    CHECK(basket_of("mass: 2 kg, basket: pressed_steel").value().kind == Basket::Kind::PressedSteel);
    check_range(basket_of("mass: 2 kg, basket: pressed_steel").value().axial_Hz, 450, 550, 650);
    check_range(basket_of("mass: 2 kg, basket: {motor_frequency: 610 Hz}").value().axial_Hz, 610, 610, 610);
    check_range(basket_of("mass: 2 kg, basket: polymer, rim_stiffness: 3 N.m2").value().rim_EI, 3, 3, 3);
    check_range(basket_of("mass: 2 kg").value().axial_Hz, 450, 730, 1200); // not said
}

TEST_CASE("drivers that are taken as rigid", "[app][input][basket]")
{
    CHECK_FALSE(basket_of("mass: 2 kg, basket: rigid").has_value());
    CHECK_FALSE(basket_of("mass: 0.4 kg, closed_back: yes").has_value());
    CHECK_FALSE(basket_of("mass: 0.4 kg", 72).has_value());
    CHECK_FALSE(basket_of("mass: 0").has_value());
    CHECK(basket_of("mass: 0.4 kg, closed_back: yes, basket: cast", 72).has_value()); // said is said
}
