// Any bytes at all: a cabinet file is read and built, or refused with an InputError of one line. Anything
// else (another exception, a crash, a total that is not a number) stops the program.
// The entry point is libFuzzer's; fuzz_driver.cpp calls it where there is none.

#include "app/input/cabinet_file.h"
#include "app/input/material_file.h"
#include "mesh/core/build.h"
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

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    try {
        check_totals(build_cabinet(app::parse_cabinet(text, "fuzz.yaml", library())));
    } catch (const InputError& error) {
        check_message(error.what());
    }
    return 0;
}
