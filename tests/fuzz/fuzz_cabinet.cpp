// Any bytes at all: a cabinet file is read and built, its sound set up, or refused with an InputError of one line. Anything
// else (another exception, a crash, a total that is not a number) stops the program.
// The entry point is libFuzzer's; fuzz_driver.cpp calls it where there is none.

#include "app/input/cabinet_file.h"
#include "app/input/material_file.h"
#include "mesh/core/build.h"
#include "mesh/core/build_sound.h"
#include "tests/app/test_library.h"
#include "tests/fuzz/fuzz_check.h"

#include <cmath>
#include <cstdint>

using namespace stillwall;
using fuzz::check_message;
using fuzz::require;

namespace {

void check_totals(const Cabinet& cabinet)
{
    const Bookkeeping totals = bookkeeping(cabinet);
    require(std::isfinite(totals.mass) && totals.board_mass > 0, "mass is positive");
    require(std::isfinite(totals.gross_litres) && totals.gross_litres > 0, "inner volume is positive");
    require(totals.net_litres <= totals.gross_litres, "net volume is not above gross");
    for (const FaceLayer& layer : cabinet.layers)
        require(std::isfinite(layer.area) && layer.area > 0 && layer.region.size() >= 3, "layer covers something");
    for (const Junction& junction : cabinet.junctions) {
        if (!junction.spring) continue;
        const LineSpring& spring = *junction.spring;
        for (const Quantity* q : {&spring.normal, &spring.shear, &spring.turning})
            require(q->low > 0 && q->low <= q->value && q->value <= q->high && std::isfinite(q->high),
                    "spring is stiff");
        require(spring.loss.low >= 0 && spring.loss.low <= spring.loss.high, "joint's loss is no gain");
    }
    for (const Support& support : cabinet.supports) {
        const Quantity& range = support.stiffness_range;
        require(support.stiffness.allFinite() && support.stiffness.minCoeff() >= 0, "feet are springs");
        require(range.low > 0 && range.low <= 1 && range.high >= 1 && std::isfinite(range.high), "feet's range");
    }
}

void check_sound(const SoundSetting& setting)
{
    constexpr std::size_t most = 1001;
    require(!setting.frequencies.empty() && setting.frequencies.size() <= most, "grid has a sensible size");
    for (std::size_t i = 0; i < setting.frequencies.size(); ++i) {
        const double before = i > 0 ? setting.frequencies[i - 1] : 0;
        require(std::isfinite(setting.frequencies[i]) && setting.frequencies[i] > before, "grid rises");
    }
    require(!setting.ways.empty() && !setting.listeners.empty() && setting.level_at.allFinite(), "somebody plays and listens");
    require(setting.volts.has_value() != setting.level_dB.has_value(), "volts or level");
    for (const Way& way : setting.ways) require(!way.drivers.empty(), "way has a driver");
    for (const Listener& listener : setting.listeners) require(listener.at.allFinite(), "listener has a place");
    for (const Filling& filling : setting.fillings) {
        require(std::isfinite(filling.flow_resistivity) && filling.flow_resistivity > 0, "filling resists");
        require(filling.board >= 0 ? filling.thickness > 0 : (filling.high - filling.low).minCoeff() > 0, "filling has room");
    }
}

void check_figures(const Cabinet& cabinet)
{
    for (const Board& board : cabinet.boards) {
        for (const Opening& opening : board.openings) {
            if (!opening.insert.small_signal) continue;
            const SmallSignal& s = *opening.insert.small_signal;
            const bool has_motor = opening.insert.kind == InsertPlan::Kind::Driver;
            require(s.Mms > 0 && s.Cms > 0 && s.Rms > 0 && s.Sd > 0, "cone has mass, spring, friction and area");
            require(std::isfinite(s.Mms * s.Cms * s.Rms * s.Sd), "cone is finite");
            require(!has_motor || (s.Re > 0 && s.Bl > 0 && std::isfinite(s.Re * s.Bl)), "driver has a motor");
        }
    }
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    try {
        const CabinetPlan plan = app::parse_cabinet(text, "fuzz.yaml", library());
        const Cabinet cabinet = build_cabinet(plan);
        check_totals(cabinet);
        check_figures(cabinet);
        check_sound(build_sound(plan, cabinet));
    } catch (const InputError& error) {
        check_message(error.what());
    }
    return 0;
}
