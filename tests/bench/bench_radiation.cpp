// Time, number of solves and error of modal radiation, 20 Hz to 3 kHz, three levels, 122 shapes, two listeners.

#include "solver/radiation/modal_radiation.h"
#include "tests/bench/clock.h"
#include "tests/solver/modal_radiation_fixture.h"

#include <fmt/format.h>

using namespace stillwall;

namespace {

std::string passed(const bench::Clock& clock)
{
    return fmt::format("{:6.2f} s, {:6.2f} s of processor", clock.wall(), clock.cpu());
}

} // namespace

int main()
{
    const std::vector<solver::RadiatingLevel> levels{test::cabinet_level({4, 7, 6}, 4, 5, 1100),
                                                     test::cabinet_level({6, 11, 9}, 4, 5, 1670),
                                                     test::cabinet_level({9, 16, 13}, 4, 5, 3000)};
    solver::Points listeners(3, 2);
    listeners << 2.5, 0.8, 0.19, 1.9, 0.15, -1.2;
    for (const double tolerance : {2e-2, 1e-2, 1e-3}) {
        const bench::Clock clock;
        const solver::ModalRadiation all(levels, {}, listeners, {.tolerance = tolerance});
        fmt::print("tolerance {:g}: {}, {} solves, estimate {:.4f}\n", tolerance, passed(clock),
                   all.frequencies().size(), all.error_estimate());
    }
    double f_low = 20;
    for (const solver::RadiatingLevel& level : levels) {
        const bench::Clock clock;
        const solver::ModalRadiation one({level}, {}, listeners, {.f_low = f_low, .f_high = level.f_top});
        fmt::print("{:5} panels, {:4.0f} to {:4.0f} Hz: {}, {} solves\n", level.surface.size(), f_low, level.f_top,
                   passed(clock), one.frequencies().size());
        f_low = level.f_top;
    }
}
