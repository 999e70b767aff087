#pragma once
// Boxes with drivers for the tests of build_sound(). The box is 240 × 380 × 300 mm outside, 18 mm thick.

#include "tests/mesh/build_fixture.h"

#include "mesh/cabinet/build_sound.h"

namespace sound_fixture {

using namespace build_fixture;

inline SmallSignal figures(double Sd)
{
    SmallSignal s;
    s.Re = 5.6, s.Bl = 6.5, s.Mms = 14e-3, s.Cms = 1e-3, s.Rms = 1.2, s.Sd = Sd;
    return s;
}

inline OpeningPlan driver(OpeningPlan opening, double Sd)
{
    opening.insert.kind = InsertPlan::Kind::Driver;
    opening.insert.small_signal = figures(Sd);
    return opening;
}

inline OpeningPlan port(OpeningPlan opening, double length_mm)
{
    opening.insert.kind = InsertPlan::Kind::Port;
    opening.insert.port_length = length_mm * mm;
    return opening;
}

/// Woofer of 140 mm at (120, 110), tweeter of 60 mm at (120, 280) in the front.
inline CabinetPlan two_way(CabinetPlan plan = box_plan())
{
    plan.openings = {driver(hole_xz("woofer", "front", 140, 120, 110), 130e-4),
                     driver(hole_xz("tweeter", "front", 60, 120, 280), 8e-4)};
    return plan;
}

inline SoundSetting setting(const CabinetPlan& plan)
{
    return build_sound(plan, build_cabinet(plan));
}

inline std::string refusal(const CabinetPlan& plan)
{
    const Cabinet cabinet = build_cabinet(plan);
    try {
        static_cast<void>(build_sound(plan, cabinet));
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

inline ListenerPlan listener(double across_deg, double up_deg, double distance = 2)
{
    ListenerPlan plan;
    plan.name = "seat";
    plan.distance = distance;
    plan.across = across_deg * std::numbers::pi / 180;
    plan.up = up_deg * std::numbers::pi / 180;
    plan.where = at_line(80);
    return plan;
}

inline WayPlan way(const char* name, std::vector<std::string> drivers)
{
    WayPlan plan;
    plan.name = name;
    plan.drivers = std::move(drivers);
    plan.where = at_line(90);
    return plan;
}

inline FillingPlan filling(const char* board, double thickness_mm)
{
    FillingPlan plan;
    plan.name = "wool";
    plan.flow_resistivity = {4000, 4000, 4000, "", ""};
    plan.board = board;
    plan.thickness = thickness_mm * mm;
    plan.where = at_line(95);
    return plan;
}

inline void check_near(const Vector3d& p, double x, double y, double z)
{
    CAPTURE(p.transpose());
    CHECK((p - Vector3d(x, y, z)).norm() < round_off);
}

} // namespace sound_fixture
