// Virtual cabinets with hidden figures, measured by a finer model than the one that explains them, and by one of other
// joints, boards, baskets and coils: how often the true cause stands first, and whether stated odds are what they say.
// A dozen or two in every push, two hundred and eighty in a long run.

#include "mesh/cabinet/build.h"
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
    int n = 0, n_first = 0;
    int n_sure_walls = 0, n_sure_walls_right = 0; ///< called a wall with odds over 90 %

    void add(double odds, bool right, bool is_wall)
    {
        if (is_wall && odds >= 0.9) ++n_sure_walls, n_sure_walls_right += right ? 1 : 0;
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

void explain_one(unsigned seed, Kind kind, Tally& tally, std::ofstream& csv)
{
    const World world = made(seed, kind);
    solver::FeaturesSetting in_box, in_air;
    in_box.kind = solver::box_kind_of(build_cabinet(world.drawn));
    in_air.kind = solver::BoxKind::OneHump;
    const solver::FeaturesResult found = solver::find_features(world.in_box, in_box);
    if (found.features.empty()) return;
    std::optional<solver::FeaturesResult> alone;
    if (world.free_air) alone = solver::find_features(*world.free_air, in_air);
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
        const bool is_wall =
            r.causes[0].candidate &&
            e.suspects.candidates[static_cast<std::size_t>(*r.causes[0].candidate)].cause == Cause::Wall;
        tally.add(r.causes[0].odds, right, is_wall);
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

void print(const Tally& tally, const std::string& what)
{
    std::string bins;
    for (const Bin& b : tally.bins)
        if (b.n > 0)
            bins += fmt::format("{}{:.3f}/{:.3f} of {}", bins.empty() ? "" : ", ", b.stated / b.n,
                                static_cast<double>(b.n_right) / b.n, b.n);
    print_measured(
        fmt::format("{}: {} readings", what, tally.n),
        fmt::format("true cause first {:.1f} %; odds stated/right by bins: {}; walls stated over 90 %: {} of "
                    "{} right",
                    100.0 * tally.n_first / tally.n, bins, tally.n_sure_walls_right, tally.n_sure_walls));
}

Tally explained(int n, Kind kind, const std::string& table)
{
    const int from = from_environment("STILLWALL_BLIND_FIRST", 1);
    std::ofstream csv(table);
    csv << "cabinet,frequency_hz,q,change_ohm,true_cause,true_hz,odds,right,said,true_name,true_ohm\n";
    Tally tally;
    for (int seed = from; seed < from + n; ++seed) {
        INFO("cabinet " << seed);
        explain_one(static_cast<unsigned>(seed), kind, tally, csv);
    }
    REQUIRE(tally.n > 2 * n); // there is something to explain
    return tally;
}

/// What is right against what was stated, bin by bin.
/// @param modest  how much more may be right than was stated
void check_bins(const Tally& tally, int n, double modest)
{
    for (const Bin& b : tally.bins) {
        if (b.n < 10) continue;
        const double right = static_cast<double>(b.n_right) / b.n, stated = b.stated / b.n;
        const double counting = (n >= 80 ? 1 : 2) * std::sqrt(stated * (1 - stated) / b.n);
        CAPTURE(b.from, b.n, stated, right);
        // Reference: what was built in. Tolerance: ten points, which is as well as odds are told, and what counting so
        // few is good for: a standard deviation of a full set, two of a small one's bins of ten to twenty readings.
        CHECK(right > stated - 0.1 - counting);
        CHECK(right < stated + modest + counting);
    }
}

} // namespace

TEST_CASE("blind: the true cause stands first, and odds are what they say", "[explain][blind]")
{
    const int n = from_environment("STILLWALL_BLIND_CABINETS", is_long_run() ? 200 : 12);
    const Tally tally = explained(n, Kind::Own, STILLWALL_BLIND_TABLE);
    print(tally, fmt::format("virtual cabinets with hidden figures, {}", n));
    CAPTURE(tally.n, tally.n_first);
    // Reference: what was built into the virtual cabinets. Tolerance: 0.9 is what explaining promises; full sets gave
    // 0.96, and of the small set's 55 readings the share is known to 0.026, so that 0.9 is two standard deviations
    // below, and a method right in 8 of 10 fails in 19 of 20 such sets.
    CHECK(tally.n_first >= 0.9 * tally.n);
    // Doubts that hold in a foreign world are wider than this one needs: of 0.6 stated 0.78 were right in 200 cabinets.
    check_bins(tally, n, 0.2);
}

TEST_CASE("blind: in a world of other joints, boards, baskets and coils the odds hold", "[explain][blind]")
{
    const int n = from_environment("STILLWALL_BLIND_CABINETS", is_long_run() ? 80 : 12);
    const Tally tally = explained(n, Kind::Foreign, STILLWALL_BLIND_TABLE ".foreign.csv");
    print(tally, fmt::format("virtual cabinets of a foreign world, {}", n));
    CAPTURE(tally.n, tally.n_first, tally.n_sure_walls, tally.n_sure_walls_right);
    check_bins(tally, n, 0.1);
    // Reference: what was built in. Tolerance: 85 of 100 is what being so sure promises at least (80 cabinets gave 94);
    // one of the small set's dozen may be wrong besides.
    CHECK(tally.n_sure_walls_right >= 0.85 * tally.n_sure_walls - (n >= 80 ? 0 : 1));
}
