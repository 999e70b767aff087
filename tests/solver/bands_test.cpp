// Bands of frequency and Q against drawing the figures many times: 240 in every push, 2,000 in a long run.

#include "solver/structure/structure.h"
#include "tests/measured.h"
#include "tests/solver/cabinet_fixture.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <future>
#include <random>

using namespace cabinet_fixture;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

namespace {

constexpr double f_max = 700;

/// A box of two woods with a loose back; every figure's range runs from 1/r to r times the typical one.
CabinetPlan uncertain_box()
{
    Material wood = make({.low = 1 / 1.15, .high = 1.15, .loss_low = 1 / 1.4, .loss_high = 1.4});
    Material other = make({.name = "other",
                           .E = 5e9,
                           .rho = 680,
                           .loss = 0.012,
                           .low = 1 / 1.1,
                           .high = 1.1,
                           .loss_low = 1 / 1.5,
                           .loss_high = 1.5});
    wood.rho = figure(750, 750 / 1.05, 750 * 1.05);
    CabinetPlan plan = box(wood);
    plan.braces.clear();
    plan.materials.push_back(other);
    // Two thin walls a fifth apart in frequency and well below the rest: no draw turns their order round. Where two
    // modes lie closer than their bands they mix from draw to draw, and the loss spreads more than its first-order band
    // says.
    plan.walls[1] = wall("right", 0.008, 1);
    plan.walls[3] = wall("left", 0.0088);
    loosen_back(plan, 5e7, 2e7, 0.15);
    JointPlan& joint = plan.joints[0];
    joint.normal = figure(5e7, 5e7 / 1.5, 5e7 * 1.5);
    joint.shear = figure(2e7, 2e7 / 1.5, 2e7 * 1.5);
    joint.loss = figure(0.15, 0.15 / 1.4, 0.15 * 1.4);
    return plan;
}

/// A factor whose logarithm is normal, the range's ends two standard deviations out.
double draw(const Quantity& range, std::mt19937_64& random)
{
    // A distribution of no width is not one: figures without a range are drawn with the standard one too.
    return std::exp(std::log(range.high / range.value) / 2 * std::normal_distribution<double>()(random));
}

void scale(std::initializer_list<Quantity*> figures, double factor)
{
    for (Quantity* q : figures) q->value *= factor;
}

Cabinet drawn(Cabinet cabinet, std::mt19937_64& random)
{
    for (Material& m : cabinet.materials) {
        scale({&m.E1, &m.E2, &m.E3, &m.G12, &m.G13, &m.G23}, draw(m.E1, random));
        scale({&m.rho}, draw(m.rho, random));
        scale({&m.eta, &m.eta2}, draw(m.eta, random));
    }
    const LineSpring& spring = *std::find_if(cabinet.junctions.begin(), cabinet.junctions.end(), [](const Junction& j) {
                                    return j.spring.has_value();
                                })->spring;
    const double stiffer = draw(spring.normal, random), lossier = draw(spring.loss, random);
    for (Junction& j : cabinet.junctions) {
        if (!j.spring) continue;
        scale({&j.spring->normal, &j.spring->shear, &j.spring->turning}, stiffer);
        scale({&j.spring->loss}, lossier);
    }
    return cabinet;
}

struct Spread
{
    std::vector<double> ln_f, ln_loss; ///< of one mode, a value a draw
};

double deviation(const std::vector<double>& x)
{
    double mean = 0, square = 0;
    for (double v : x) mean += v / static_cast<double>(x.size());
    for (double v : x) square += (v - mean) * (v - mean) / static_cast<double>(x.size() - 1);
    return std::sqrt(square);
}

/// Logarithms of frequency and loss of the first modes of `n` drawn cabinets.
std::vector<Spread> spread_of(const Cabinet& cabinet, const ShellMesh& mesh, const solver::ModesOptions& options,
                              std::size_t n_modes, int n, std::uint64_t seed)
{
    std::mt19937_64 random(seed);
    std::vector<Spread> spread(n_modes);
    for (int i = 0; i < n; ++i) {
        const auto modes = solver::analyse_modes(drawn(cabinet, random), mesh, options).modes;
        if (modes.size() < n_modes) throw std::runtime_error("a drawn cabinet lost a mode");
        for (std::size_t m = 0; m < n_modes; ++m) {
            spread[m].ln_f.push_back(std::log(modes[m].f_Hz));
            spread[m].ln_loss.push_back(std::log(modes[m].loss));
        }
    }
    return spread;
}

} // namespace

TEST_CASE("bands of frequency and Q are those of drawing the figures", "[solver][modes][bands]")
{
    const CabinetPlan plan = uncertain_box();
    const Cabinet cabinet = build_cabinet(plan);
    const ShellMesh mesh = mesh::mesh_shell(cabinet, {.element_size = 0.12});
    solver::ModesOptions options;
    options.f_max = f_max;
    const auto typical = solver::analyse_modes(cabinet, mesh, options);
    const std::size_t n_modes = 2;
    REQUIRE(typical.modes.size() >= n_modes);

    const int n_draws = is_long_run() ? 2000 : 240;
    solver::ModesOptions wide;
    wide.f_max = 1.1 * typical.modes[n_modes - 1].f_Hz;
    const auto work = [&](std::uint64_t seed) { return spread_of(cabinet, mesh, wide, n_modes, n_draws / 2, seed); };
    auto second = std::async(std::launch::async, work, 2);
    std::vector<Spread> spread = work(1);
    const auto rest = second.get();
    for (std::size_t m = 0; m < n_modes; ++m) {
        spread[m].ln_f.insert(spread[m].ln_f.end(), rest[m].ln_f.begin(), rest[m].ln_f.end());
        spread[m].ln_loss.insert(spread[m].ln_loss.end(), rest[m].ln_loss.begin(), rest[m].ln_loss.end());
    }
    // Reference: the deviation of the draws, twice of which a band is to either side.
    // Tolerance: first order misses some per cent of the loss's spread, and the deviation of n draws is itself known to
    // 1/√(2n) only: 1.6 % of 2,000, where one in 10⁶ lies beyond 8 %; 4.6 % of 240, where three deviations and the 3 %
    // are 17 %. Either fails where a material's range is left out, which halves a band.
    const double within = is_long_run() ? 0.08 : 0.17;
    std::string off;
    for (std::size_t m = 0; m < n_modes; ++m) {
        const solver::Mode& mode = typical.modes[m];
        const double f_band = std::log(mode.f_high_Hz / mode.f_Hz), Q_band = std::log(mode.Q_high / mode.Q);
        CAPTURE(m, mode.f_Hz, mode.loss);
        CHECK_THAT(2 * deviation(spread[m].ln_f), WithinRel(f_band, within));
        off += fmt::format("{}{:+.1f} %", m > 0 ? ", " : "f ", 100 * (2 * deviation(spread[m].ln_f) / f_band - 1));
        // The loss of the second lies near the back's lossy modes and mixes with them: its own check is the
        // derivative's.
        if (m > 0) continue;
        CHECK_THAT(2 * deviation(spread[m].ln_loss), WithinRel(Q_band, within));
        off = fmt::format("Q {:+.1f} %; ", 100 * (2 * deviation(spread[m].ln_loss) / Q_band - 1)) + off;
    }
    print_measured(fmt::format("bands against {} draws, one box", n_draws), off + " of the band");
}
