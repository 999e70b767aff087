// Virtual cabinets with hidden figures, measured by a finer model than the one that explains them: how often the true
// cause stands first, and whether stated odds are what they say. Twenty-four in every push, two hundred in a long run.

#include "tests/measured.h"
#include "tests/solver/blind_world.h"

#include <catch2/catch.hpp>

#include <fmt/format.h>

#include <cstdlib>
#include <fstream>

using namespace blind;
using solver::Cause;

namespace {

/// The true resonance that a reading is an estimate of: nearest in frequency (a quarter of its width), Q (a factor 1.5)
/// and height (1.65); null: none within three times that, a false wrinkle.
const Truth* truth_of(const World& world, const solver::ToExplain& reading)
{
    const Truth* best = nullptr;
    double least = 27;
    for (const Truth& t : world.truths) {
        const bool is_rough = t.cause == Cause::Port; // by a formula of the ends
        const double f_sd = std::hypot(0.25 / t.Q, reading.f_Hz.error / reading.f_Hz.value) + (is_rough ? 0.02 : 0.003);
        const double off_f = std::log(t.f_Hz / reading.f_Hz.value) / f_sd,
                     off_Q = std::log(t.Q / reading.Q.value) / 0.4,
                     off_h = std::log(t.ohm / reading.ohm->value) / (is_rough ? 1.0 : 0.5);
        if (std::abs(off_f) > 3) continue;
        const double distance = off_f * off_f + off_Q * off_Q + off_h * off_h;
        if (distance < least) least = distance, best = &t;
    }
    return best;
}

bool is_right(const Told& told, const Eigen::MatrixXd& alike, const solver::Explanation& e, const Truth* truth,
              const solver::CauseOdds& cause)
{
    if (truth == nullptr || truth->cause == Cause::Nothing)
        return cause.background.has_value() &&
               e.suspects.backgrounds[static_cast<std::size_t>(*cause.background)].cause == Cause::Nothing;
    if (truth->cause == Cause::Driver && cause.background)
        return e.suspects.backgrounds[static_cast<std::size_t>(*cause.background)].cause == Cause::Driver;
    if (!cause.candidate) return false;
    const solver::Candidate& c = e.suspects.candidates[static_cast<std::size_t>(*cause.candidate)];
    if (c.cause != truth->cause) return false;
    if (truth->cause == Cause::Air) return c.name == truth->name || std::abs(std::log(c.f_Hz / truth->f_Hz)) < 0.03;
    if (truth->cause != Cause::Wall) return true;
    // The told mode that is most like the built one, or as good as that: where two have mixed, either names the boards.
    const int wall = told.sound.modes[static_cast<std::size_t>(c.resonance.value())].wall.value();
    double most = 0;
    for (const solver::SoundMode& mode : told.sound.modes)
        if (mode.wall && std::abs(std::log(mode.f_Hz / truth->f_Hz)) < 0.3)
            most = std::max(most, alike(*truth->wall, *mode.wall));
    return alike(*truth->wall, wall) > std::min(0.8 * most, 0.5);
}

struct Bin
{
    double from = 0;
    int n = 0, n_right = 0;
    double stated = 0;
};

struct Tally
{
    std::vector<Bin> bins{{0, 0, 0, 0}, {0.5, 0, 0, 0}, {0.7, 0, 0, 0}, {0.85, 0, 0, 0}, {0.95, 0, 0, 0}};
    int n = 0, n_first = 0, n_failed = 0;

    void add(double odds, bool right)
    {
        ++n;
        n_first += right ? 1 : 0;
        Bin* at = &bins.front();
        for (Bin& b : bins)
            if (odds >= b.from) at = &b;
        ++at->n;
        at->n_right += right ? 1 : 0;
        at->stated += odds;
    }
};

void explain_one(unsigned seed, Tally& tally, std::ofstream& csv)
{
    const World world = made(seed);
    const solver::FeaturesResult found = solver::find_features(world.in_box);
    if (found.features.empty()) return;
    std::optional<solver::FeaturesResult> alone;
    if (world.free_air) alone = solver::find_features(*world.free_air);
    const Told t = told(world, found.features.back().f_Hz.value);
    solver::Measured measured;
    measured.sweep = &world.in_box;
    measured.impedance = &found;
    if (alone) measured.free_air_sweep = &*world.free_air, measured.free_air = &*alone;
    const solver::Explanation e = solver::explain(t.cabinet, t.sound, world.is_filled, measured);
    const Eigen::MatrixXd alike = likeness(world, t);
    for (const solver::ExplainedReading& r : e.readings) {
        const Truth* truth = truth_of(world, r.reading);
        const bool right = is_right(t, alike, e, truth, r.causes[0]);
        tally.add(r.causes[0].odds, right);
        const std::string said = r.causes[0].candidate
                                     ? e.suspects.candidates[static_cast<std::size_t>(*r.causes[0].candidate)].name
                                     : e.suspects.backgrounds[static_cast<std::size_t>(*r.causes[0].background)].name;
        csv << seed << ',' << r.reading.f_Hz.value << ',' << r.reading.Q.value << ',' << r.reading.ohm->value << ','
            << (truth ? static_cast<int>(truth->cause) : -1) << ',' << (truth ? truth->f_Hz : 0) << ','
            << r.causes[0].odds << ',' << (right ? 1 : 0) << ",\"" << said << "\",\"" << (truth ? truth->name : "")
            << "\"," << (truth ? truth->ohm : 0) << '\n';
    }
}

/// A number from the environment, for trials by hand.
int from_environment(const char* name, int otherwise)
{
    const char* text = std::getenv(name); // NOLINT(concurrency-mt-unsafe): nobody sets it
    return text != nullptr ? std::atoi(text) : otherwise;
}

void print(const Tally& tally, int n_cabinets)
{
    std::string bins;
    for (const Bin& b : tally.bins)
        if (b.n > 0)
            bins += fmt::format("{}{:.3f}/{:.3f} of {}", bins.empty() ? "" : ", ", b.stated / b.n,
                                static_cast<double>(b.n_right) / b.n, b.n);
    print_measured(
        fmt::format("virtual cabinets with hidden figures, {}: {} readings", n_cabinets, tally.n),
        fmt::format("true cause first {:.1f} %; odds stated/right by bins: {}", 100.0 * tally.n_first / tally.n, bins));
}

} // namespace

TEST_CASE("blind: the true cause stands first, and odds are what they say", "[explain][blind]")
{
    const int n = from_environment("STILLWALL_BLIND_CABINETS", is_long_run() ? 200 : 24);
    const int from = from_environment("STILLWALL_BLIND_FIRST", 1);
    std::ofstream csv(STILLWALL_BLIND_TABLE);
    csv << "cabinet,frequency_hz,q,change_ohm,true_cause,true_hz,odds,right,said,true_name,true_ohm\n";
    Tally tally;
    for (int seed = from; seed < from + n; ++seed) {
        INFO("cabinet " << seed);
        explain_one(static_cast<unsigned>(seed), tally, csv);
    }
    REQUIRE(tally.n > 2 * n); // there is something to explain
    print(tally, n);
    CAPTURE(tally.n, tally.n_first);
    // Reference: what was built into the virtual cabinets. Tolerance: 0.9 is what explaining promises; 200 cabinets
    // (some 900 readings) gave 0.958, and of the small set's 110 readings the share is known to 0.019, so that 0.9 is
    // three standard deviations below, and a method right in 8 of 10 fails in 99 of 100 such sets.
    CHECK(tally.n_first >= 0.9 * tally.n);
    for (const Bin& b : tally.bins) {
        if (b.n < 10) continue;
        const double right = static_cast<double>(b.n_right) / b.n, stated = b.stated / b.n;
        const double counting = std::sqrt(stated * (1 - stated) / b.n);
        CAPTURE(b.from, b.n, stated, right);
        // Tolerance: ten points, which is as well as odds are told, and what counting so few is good for: a standard
        // deviation of the full set, two of the small one's bins of ten to twenty readings. Its bin from 0.95, with
        // half of all readings, has a deviation below 0.02.
        CHECK(std::abs(right - stated) < 0.1 + (n >= 200 ? 1 : 2) * counting);
    }
}
