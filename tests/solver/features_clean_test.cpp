// Sweeps without any wrinkle: how many are said to have one. 144 in every push, a thousand in a long run.

#include "solver/measured/features.h"
#include "tests/measured.h"
#include "tests/solver/sweep_circuits.h"

#include <catch2/catch.hpp>

#include <atomic>
#include <thread>

using namespace sweep_circuits;
using namespace stillwall::solver;

namespace {

/// Drivers of 50 to 500 cm² in free air, closed and vented boxes.
Circuit drawn_circuit(int kind, std::mt19937_64& random)
{
    std::uniform_real_distribution<double> uniform(0, 1);
    const auto u = [&](double from, double to) { return from + (to - from) * uniform(random); };
    Circuit c;
    c.Re = u(3, 8);
    c.Le = u(0.05e-3, 1.5e-3);
    c.n = u(0.55, 1);
    c.Sd = 50e-4 * std::pow(10, u(0, 1));
    c.Mms = 0.9 * std::pow(c.Sd, 1.1) * u(0.7, 1.3);
    const double fs = u(25, 85), w = 2 * pi * fs;
    c.Cms = 1 / (c.Mms * w * w);
    c.Rms = w * c.Mms / u(2, 8);
    c.Bl = std::sqrt(w * c.Mms * c.Re / u(0.25, 0.75));
    if (kind == 0) return c;
    c.volume = rho * sweep_circuits::c * sweep_circuits::c * c.Sd * c.Sd * c.Cms * u(0.3, 1.5);
    c.Q_leak = u(5, 25);
    if (kind == 1) c.Q_fill = u(8, 38);
    if (kind == 2) {
        c.f_box = fs * u(0.7, 1.4);
        c.Q_port = u(20, 100);
    }
    return c;
}

bool has_false_wrinkle(int k)
{
    std::mt19937_64 random(1000 + static_cast<unsigned>(k));
    std::uniform_real_distribution<double> uniform(0, 1);
    const Circuit circuit = drawn_circuit(k % 3, random);
    constexpr int per_octave[] = {12, 24, 48, 96};
    Sweep sweep = swept(circuit, log_grid(10, 20000, per_octave[(k / 3) % 4]));
    const Disturbance disturbance{.share = 5e-4 * std::pow(10, uniform(random)),
                                  .floor = 1e-3 + 4e-3 * uniform(random),
                                  .warming = 5e-3 * uniform(random),
                                  .n_pickups = 1 + static_cast<int>(3 * uniform(random)),
                                  .pickup = 0.02};
    disturb(sweep, disturbance, circuit.Re, random);
    if ((k / 12) % 3 == 2) drop_phase(sweep);
    return !find_features(sweep).features.empty();
}

} // namespace

TEST_CASE("clean sweeps: at most one in a hundred shows a wrinkle", "[measured][features]")
{
    // Reference: the threshold is derived for 1 %. Tolerance: of a thousand, ten are promised (2 were found). Of the
    // small set's 144 (each kind of box, grid and phase in turn, four times) two: at the 0.2 % measured more come in 4
    // of 1,000 such sets, and a search that is wrong in one of twenty passes in 3 of 100.
    const int n_sweeps = is_long_run() ? 1000 : 144, n_allowed = is_long_run() ? 10 : 2;
    std::atomic<int> next = 0, n_false = 0;
    const auto work = [&] {
        for (int k = next++; k < n_sweeps; k = next++) n_false += has_false_wrinkle(k) ? 1 : 0;
    };
    std::thread other(work);
    work();
    other.join();
    print_measured("clean sweeps said to have a wrinkle", std::to_string(n_false) + " of " + std::to_string(n_sweeps));
    CAPTURE(n_false.load());
    CHECK(n_false.load() <= n_allowed);
}
