// One consistent set from what a data sheet says. Expected numbers are worked out by hand from the relations in
// small_signal.h.

#include "mesh/cabinet/small_signal.h"

#include <catch2/catch.hpp>

#include <string>

using namespace stillwall;
using Catch::Matchers::WithinRel;

namespace {

/// A 17 cm woofer: fs 42.536 Hz, ωs 267.261 rad/s.
///     √(0.014 · 0.001) = 3.741657e-3 s,  1/that = 267.2612 /s,  over 2π 42.53595 Hz
///     ωs Mms = 3.741657 kg/s,  Qms = that / 1.2 = 3.118048,  Qes = that · 5.6 / 6.5² = 0.4959356
///     ρc² = 1.204 · 343.2² = 141 814.6 Pa,  Vas = that · 0.0132² · 0.001 = 24.7098 l
///     1/Qts = 0.3207135 + 2.0163908,  Qts = 0.4278800
SmallSignalPlan woofer()
{
    SmallSignalPlan plan;
    plan.Re = 5.6;
    plan.Le = 0.4e-3;
    plan.Bl = 6.5;
    plan.Mms = 14e-3;
    plan.Cms = 1e-3;
    plan.Rms = 1.2;
    plan.Sd = 132e-4;
    return plan;
}

constexpr double by_hand = 2e-6; // the references above have six or seven figures

std::string refusal(const SmallSignalPlan& plan)
{
    try {
        static_cast<void>(resolve_small_signal(plan, {"d.yaml", 3, 5}, "driver"));
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

void check_same(const SmallSignal& s)
{
    // Reference: woofer(). Tolerance: the sheets below repeat its figures to six or seven digits (half a unit of the
    // last: up to 2e-6), which Qms from Qts and Qes, a small difference, multiplies by Qms/Qts = 7.
    constexpr double digits = 1.5e-5;
    CHECK_THAT(s.Mms, WithinRel(14e-3, digits));
    CHECK_THAT(s.Cms, WithinRel(1e-3, digits));
    CHECK_THAT(s.Rms, WithinRel(1.2, digits));
    CHECK_THAT(s.Bl, WithinRel(6.5, digits));
    CHECK_THAT(s.Sd, WithinRel(132e-4, digits));
    CHECK(s.Re == 5.6);
}

} // namespace

TEST_CASE("figures that follow from mass, compliance, friction and motor", "[mesh][small_signal]")
{
    const SmallSignal s = resolve_small_signal(woofer(), {}, "");
    CHECK_THAT(s.fs(), WithinRel(42.53595, by_hand));
    CHECK_THAT(s.Qms(), WithinRel(3.118048, by_hand));
    CHECK_THAT(s.Qes(), WithinRel(0.4959356, by_hand));
    CHECK_THAT(s.Vas(), WithinRel(24.7098e-3, by_hand));
    CHECK(s.Le == 0.4e-3);
    CHECK(s.Le_exponent == 1);
}

TEST_CASE("every usual sheet leads to the same driver", "[mesh][small_signal]")
{
    SmallSignalPlan plan = woofer();
    SECTION("resonance instead of the compliance")
    {
        plan.Cms.reset();
        plan.fs = 42.53595;
    }
    SECTION("resonance instead of the mass")
    {
        plan.Mms.reset();
        plan.fs = 42.53595;
    }
    SECTION("volume instead of the compliance")
    {
        plan.Cms.reset();
        plan.Vas = 24.7098e-3;
    }
    SECTION("the shortest sheet: fs, Vas, Qms, Qes, Re, Sd")
    {
        plan = {};
        plan.Re = 5.6, plan.Sd = 132e-4, plan.fs = 42.53595, plan.Vas = 24.7098e-3, plan.Qms = 3.118048,
        plan.Qes = 0.4959356;
    }
    SECTION("total and friction give the motor")
    {
        plan.Bl.reset();
        plan.Rms.reset();
        plan.Qts = 0.4278800, plan.Qms = 3.118048;
    }
    SECTION("total and motor give the friction")
    {
        plan.Rms.reset();
        plan.Qts = 0.4278800;
    }
    SECTION("all of them")
    {
        plan.fs = 42.5, plan.Vas = 24.7e-3, plan.Qms = 3.12, plan.Qes = 0.5, plan.Qts = 0.43;
    }
    check_same(resolve_small_signal(plan, {}, ""));
}

TEST_CASE("of resonance and volume the resonance goes first", "[mesh][small_signal]")
{
    SmallSignalPlan plan = woofer();
    plan.Cms.reset();
    plan.fs = 42.53595;
    plan.Vas = 25.6e-3; // 3.6 % above what follows
    CHECK_THAT(resolve_small_signal(plan, {}, "").Cms, WithinRel(1e-3, by_hand));
}

TEST_CASE("a passive radiator has no motor", "[mesh][small_signal]")
{
    SmallSignalPlan plan = woofer();
    plan.has_motor = false;
    CHECK(refusal(plan) == "d.yaml:3:5: driver.Re: a passive radiator has no motor, leave it out");
    plan.Re.reset();
    plan.Bl.reset();
    CHECK(refusal(plan) == "d.yaml:3:5: driver.Le: a passive radiator has no motor, leave it out");
    plan.Le.reset();
    const SmallSignal s = resolve_small_signal(plan, {}, "");
    CHECK(s.Re == 0);
    CHECK(s.Bl == 0);
    CHECK_THAT(s.fs(), WithinRel(42.53595, by_hand));
    plan.Rms.reset();
    CHECK(refusal(plan) == "d.yaml:3:5: driver: too few figures, still needed: Qms or Rms");
}

TEST_CASE("figures that contradict each other by more than 5 % are refused by name", "[mesh][small_signal]")
{
    SmallSignalPlan plan = woofer();
    SECTION("resonance")
    {
        plan.fs = 44.5; // +4.6 %
        CHECK(refusal(plan) == "accepted");
        plan.fs = 45; // +5.8 %
        CHECK(refusal(plan) == "d.yaml:3:5: driver.fs: 45 Hz is written, but 42.54 Hz follows from Mms and Cms; "
                               "correct one of them or leave fs out");
    }
    SECTION("volume")
    {
        plan.Vas = 30e-3;
        CHECK(refusal(plan) == "d.yaml:3:5: driver.Vas: 30 l is written, but 24.71 l follows from Cms and Sd; correct "
                               "one of them or leave Vas out");
    }
    SECTION("friction")
    {
        plan.Qms = 5;
        CHECK(refusal(plan) == "d.yaml:3:5: driver.Qms: 5 is written, but 3.118 follows from Rms with Mms and Cms; "
                               "correct one of them or leave Qms out");
    }
    SECTION("motor")
    {
        plan.Qes = 0.4;
        CHECK(refusal(plan) == "d.yaml:3:5: driver.Qes: 0.4 is written, but 0.4959 follows from Bl and Re with Mms and "
                               "Cms; correct one of "
                               "them or leave Qes out");
    }
    SECTION("total")
    {
        plan.Qts = 0.5;
        CHECK(
            refusal(plan) ==
            "d.yaml:3:5: driver.Qts: 0.5 is written, but 0.4279 follows from Rms and Bl with Mms and Cms; correct one "
            "of them or leave Qts out");
    }
    SECTION("total above its part")
    {
        plan.Rms.reset();
        plan.Qts = 0.5;
        CHECK(refusal(plan) == "d.yaml:3:5: driver.Qts: must be below Qes, which is 0.4959, got 0.5");
    }
    SECTION("a total that is rounded up to its part is none")
    {
        plan.Rms = 0.05; // Qms 74.8: Qts 0.4927, 0.7 % below Qes
        plan.Qts = 0.496;
        CHECK(refusal(plan) == "accepted");
    }
}

TEST_CASE("what is lacking is named", "[mesh][small_signal]")
{
    SmallSignalPlan plan = woofer();
    SECTION("area")
    {
        plan.Sd.reset();
        CHECK(refusal(plan) == "d.yaml:3:5: driver: too few figures, still needed: Sd");
    }
    SECTION("mass")
    {
        plan.Mms.reset();
        CHECK(refusal(plan) ==
              "d.yaml:3:5: driver: too few figures, still needed: one more of Mms, Cms, fs and Vas beside Cms");
    }
    SECTION("volume says the same as the compliance")
    {
        plan.Mms.reset();
        plan.Vas = 24.71e-3;
        CHECK(refusal(plan) == "d.yaml:3:5: driver: too few figures, still needed: Mms or fs");
    }
    SECTION("motor and friction")
    {
        plan.Bl.reset();
        CHECK(refusal(plan) == "d.yaml:3:5: driver: too few figures, still needed: Bl, Qes or Qts");
        plan.Rms.reset();
        plan.Re.reset();
        CHECK(refusal(plan) ==
              "d.yaml:3:5: driver: too few figures, still needed: Re; two of Qms (or Rms), Qes (or Bl) and Qts");
    }
    SECTION("everything")
    {
        plan = {};
        plan.Sd = 0.01;
        CHECK(refusal(plan) == "d.yaml:3:5: driver: too few figures, still needed: two of Mms, Cms, fs and Vas; Re; "
                               "two of Qms (or Rms), Qes (or Bl) and Qts");
    }
}

TEST_CASE("a slip in a unit shows in what follows", "[mesh][small_signal]")
{
    SmallSignalPlan plan = woofer();
    plan.Cms.reset();
    plan.Mms.reset();
    plan.fs = 42.5;
    plan.Vas = 24.7; // m³ instead of litres: Cms a metre per newton, mass 14 mg
    CHECK(refusal(plan) ==
          "d.yaml:3:5: driver: Mms comes out as 0.01403 g, possible are 0.02 to 1e+04 g; check figures and units");
    // A disk of 132 cm² (radius 64.82 mm) moves 8/3 · 1.204 · 0.06482³ kg = 0.874 g of air along.
    plan.Vas = 1.0; // Cms 40.5 mm/N, mass 0.35 g
    CHECK(refusal(plan) == "d.yaml:3:5: driver: Mms comes out as 0.3465 g, but the air that moves along with such a "
                           "cone alone weighs 0.8744 g; "
                           "check figures and units");
    plan = woofer();
    plan.Rms = 0.0;
    CHECK(refusal(plan) == "d.yaml:3:5: driver.Rms: must be above zero");
    plan = woofer();
    plan.Le_exponent = 0.3;
    CHECK(refusal(plan) == "d.yaml:3:5: driver.Le_exponent: must lie between 0.4 and 1, got 0.3");
}
