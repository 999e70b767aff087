// Any bytes at all: a cabinet file is read and built, its sound set up, or refused with an InputError of one line.
// Anything else (another exception, a crash, a total that is not a number) stops the program. The entry point is
// libFuzzer's; fuzz_driver.cpp calls it where there is none.

#include "app/input/cabinet_source.h"
#include "app/input/material_file.h"
#include "mesh/cabinet/build.h"
#include "mesh/cabinet/build_sound.h"
#include "mesh/cabinet/volume_lines.h"
#include "mesh/sawing/sheet_layout.h"
#include "mesh/sawing/stability.h"
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
    require(std::isfinite(totals.gross_volume_m3) && totals.gross_volume_m3 > 0, "inner volume is positive");
    require(totals.net_volume_m3 <= totals.gross_volume_m3, "net volume is not above gross");
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
    require(!setting.ways.empty() && !setting.listeners.empty() && setting.level_at.allFinite(),
            "somebody plays and listens");
    require(setting.volts.has_value() != setting.level_dB.has_value(), "volts or level");
    for (const Way& way : setting.ways) require(!way.drivers.empty(), "way has a driver");
    for (const Listener& listener : setting.listeners) require(listener.at.allFinite(), "listener has a place");
    for (const Filling& filling : setting.fillings) {
        require(std::isfinite(filling.flow_resistivity) && filling.flow_resistivity > 0, "filling resists");
        require(filling.board >= 0 ? filling.thickness > 0 : (filling.high - filling.low).minCoeff() > 0,
                "filling has room");
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

/// Each part on one board at most, inside it; the lines of the volume sum to the whole; the balance is finite.
void check_workshop(const CabinetPlan& plan, const Cabinet& cabinet, const WorkshopPlan& workshop)
{
    const Bookkeeping totals = bookkeeping(cabinet);
    const std::vector<SawnPart> parts = sawn_parts(plan, cabinet, totals);
    for (const SawnPart& part : parts)
        require(part.length > 0 && part.width > 0 && std::isfinite(part.length * part.width), "parts have a size");
    const SheetLayout layout = lay_out(parts, workshop);
    std::size_t n = layout.without_stock.size() + layout.too_large.size();
    for (const UsedSheet& sheet : layout.sheets) {
        n += sheet.parts.size();
        const SheetStock& stock = workshop.sheets[sheet.stock];
        for (const PlacedPart& p : sheet.parts)
            require(p.x >= 0 && p.y >= 0 && p.x + p.along <= stock.length + 1e-6 &&
                        p.y + p.across <= stock.width + 1e-6,
                    "parts lie on their board");
    }
    require(n == parts.size(), "every part is somewhere once");
    double sum = 0;
    for (const VolumeLine& line : volume_lines(cabinet)) sum += line.volume;
    require(std::abs(sum - totals.net_volume_m3) <= 1e-9 * totals.gross_volume_m3,
            "volume lines sum to the net volume");
    const Stability stability = stability_of(cabinet);
    require(stability.centre.allFinite() && stability.tipping_angle >= 0, "balance is finite");
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    try {
        const app::CabinetSource source(std::string(text), "fuzz.yaml", library());
        const CabinetPlan plan = source.plan();
        for (std::size_t v = 0; v < source.variants().size(); ++v) static_cast<void>(source.variant(v));
        const Cabinet cabinet = build_cabinet(plan);
        check_totals(cabinet);
        check_figures(cabinet);
        check_workshop(plan, cabinet, source.workshop());
        check_sound(build_sound(plan, cabinet));
    } catch (const InputError& error) {
        check_message(error.what());
    }
    return 0;
}
