// Moduli and losses from frequencies and Qs of models whose secrets are known.

#include "mesh/cabinet/learned.h"
#include "solver/explain/comb.h"
#include "solver/explain/learn.h"
#include "solver/explain/track.h"
#include "tests/solver/cabinet_fixture.h"

#include <random>

using namespace stillwall;
using namespace cabinet_fixture;
using namespace stillwall::solver;
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
using Kind = UncertainFigure::Kind;

namespace {

/// f² = Σ w p: shares of two moduli in three modes, over a density; η = Σ v l.
struct Springs
{
    Eigen::Matrix<double, 4, 2> shares{{0.9, 0.1}, {0.2, 0.8}, {0.5, 0.5}, {0.7, 0.3}};

    [[nodiscard]] ModelAnswer at(const std::vector<double>& factors) const
    {
        const auto p = [&](std::size_t i) { return factors.empty() ? 1.0 : factors[i]; };
        ModelAnswer a;
        a.f_Hz.resize(4);
        a.Q.resize(4);
        Sensitivity& s = a.sensitivity;
        s.figures = {{Kind::InPlane, "front"},
                     {Kind::InPlane, "sides"},
                     {Kind::Density, "front"},
                     {Kind::Loss, "front"},
                     {Kind::Loss, "sides"}};
        s.ln_f = s.ln_loss = Eigen::MatrixXd::Zero(4, 5);
        for (Eigen::Index i = 0; i < 4; ++i) {
            const double k0 = shares(i, 0) * p(0), k1 = shares(i, 1) * p(1), k = k0 + k1;
            const double l0 = k0 * p(3) * 0.02, l1 = k1 * p(4) * 0.02;
            a.f_Hz[i] = 200 * (1 + static_cast<double>(i)) * std::sqrt(k / p(2));
            a.Q[i] = k / (l0 + l1);
            s.ln_f.row(i) << 0.5 * k0 / k, 0.5 * k1 / k, -0.5, 0, 0;
            s.ln_loss.row(i) << l0 / (l0 + l1) - k0 / k, l1 / (l0 + l1) - k1 / k, 0, l0 / (l0 + l1), l1 / (l0 + l1);
        }
        s.to_high = Eigen::MatrixXd::Constant(4, 5, 0.24);
        s.to_high.col(2).setConstant(0.02);
        s.to_high.rightCols(2).setConstant(0.8);
        s.to_low = -s.to_high;
        return a;
    }
};

std::vector<ModeMeasured> measured(const ModelAnswer& truth, int n, double error, std::mt19937_64& random)
{
    std::normal_distribution<double> normal;
    std::vector<ModeMeasured> readings;
    for (int i = 0; i < n; ++i)
        readings.push_back({i,
                            {truth.f_Hz[i] * std::exp(error * normal(random)), 1e-3 * truth.f_Hz[i]},
                            Known{truth.Q[i] * std::exp(0.1 * normal(random)), 0.02 * truth.Q[i]}});
    return readings;
}

const LearnSetting exact{.model_error = 0.005, .loss_model_error = 0.1};

} // namespace

TEST_CASE("learn: hidden moduli and losses come back within the stated errors", "[learn]")
{
    const Springs springs;
    const Model model = [&](const std::vector<double>& factors) { return springs.at(factors); };
    std::mt19937_64 random(1);
    std::normal_distribution<double> normal;
    double squares = 0, squares_loss = 0;
    int n = 0, n_loss = 0;
    for (int draw = 0; draw < 200; ++draw) {
        const std::vector<double> truth{std::exp(0.12 * normal(random)), std::exp(0.12 * normal(random)),
                                        std::exp(0.01 * normal(random)), std::exp(0.4 * normal(random)),
                                        std::exp(0.4 * normal(random))};
        const LearnResult r = learn(measured(springs.at(truth), 4, 0.005, random), model, exact);
        for (std::size_t k = 0; k < 2; ++k) {
            const LearnedFigure& f = r.stiffness.figures[k];
            if (f.is_learned) squares += std::pow((std::log(f.factor) - std::log(truth[k])) / f.error, 2), ++n;
            const LearnedFigure& l = r.loss.figures[k];
            if (l.is_learned)
                squares_loss += std::pow((std::log(l.factor) - std::log(truth[3 + k])) / l.error, 2), ++n_loss;
        }
        CHECK(r.stiffness.misfit_after < 0.03);
    }
    REQUIRE(n == 400); // four modes tell two moduli three times better than their ranges
    REQUIRE(n_loss > 300);
    // Reference: errors over stated errors have an r.m.s. of 1. Tolerance: 400 figures tell it to 4 %, of which three
    // and a little for the prior, which is not the draws' own; the loss's model is not linear over such ranges.
    CHECK_THAT(std::sqrt(squares / n), WithinAbs(1, 0.15));
    CHECK_THAT(std::sqrt(squares_loss / n_loss), WithinAbs(1, 0.25));
}

TEST_CASE("learn: fewer readings than figures, the prior stands", "[learn]")
{
    const Springs springs;
    const Model model = [&](const std::vector<double>& factors) { return springs.at(factors); };
    std::mt19937_64 random(2);
    const auto readings = measured(springs.at({0.8, 1.2, 1, 1, 1}), 1, 0, random);
    const LearnResult r = learn(readings, model, exact);
    CHECK(r.stiffness.n_readings == 1);
    REQUIRE(r.stiffness.figures.size() == 1); // of the first mode the sides hold under a twentieth
    CHECK_FALSE(r.stiffness.stands);
    const LearnResult both = learn({{2, {600, 1}, {}}}, model, exact);
    REQUIRE(both.stiffness.figures.size() == 2);
    CHECK(both.stiffness.stands);
    for (const LearnedFigure& f : both.stiffness.figures) {
        CHECK(f.factor == 1);
        CHECK_FALSE(f.is_learned);
    }
    CHECK(both.loss.n_readings == 0);
}

TEST_CASE("learn: a reading that fits nothing is told, not followed", "[learn]")
{
    const Springs springs;
    const Model model = [&](const std::vector<double>& factors) { return springs.at(factors); };
    std::mt19937_64 random(3);
    auto readings = measured(springs.at({0.95, 1.05, 1, 1, 1}), 4, 0.002, random);
    readings[3].f_Hz.value *= 1.4;
    const LearnResult r = learn(readings, model, exact);
    REQUIRE_FALSE(r.outliers.empty());
    CHECK(r.outliers.back() == 3);
    CHECK_THROWS_AS(learn({{9, {100, 1}, {}}}, model, exact), DomainError);
}

TEST_CASE("learn: two woods of a real box, by its own finite elements", "[learn]")
{
    CabinetPlan plan = box(make({.name = "walls", .E = 3.2e9, .low = 0.8, .high = 1.25, .nu = 0.25}));
    plan.materials.push_back(make({.name = "side wood", .E = 8e9, .rho = 650, .low = 0.8, .high = 1.25, .nu = 0.25}));
    for (const std::size_t i : {1U, 3U}) plan.walls[i].layup.plies[0].material = 1; // the sides
    const ShellMesh mesh = mesh::mesh_shell(build_cabinet(plan), {.element_size = 0.06});
    std::optional<ModesResult> first;
    const auto computed = [&](double walls, double sides) {
        CabinetPlan changed = plan;
        apply_learned({"walls", LearnedMaterial::Factor{walls, 0.1}, {}, {}, {}}, changed.materials[0]);
        apply_learned({"side wood", LearnedMaterial::Factor{sides, 0.1}, {}, {}, {}}, changed.materials[1]);
        ModesOptions options;
        options.f_max = 2200;
        return analyse_modes(build_cabinet(changed), mesh, options);
    };
    first = computed(1, 1);
    const auto f_of = [](const ModesResult& r) {
        Eigen::VectorXd f(static_cast<Eigen::Index>(r.modes.size()));
        for (std::size_t i = 0; i < r.modes.size(); ++i) f[static_cast<Eigen::Index>(i)] = r.modes[i].f_Hz;
        return f;
    };
    const Model model = [&](const std::vector<double>& factors) {
        double walls = 1, sides = 1;
        for (std::size_t k = 0; k < factors.size(); ++k) {
            const UncertainFigure& figure = first->sensitivity.figures[k];
            if (figure.kind == Kind::InPlane) (figure.part == "walls" ? walls : sides) = factors[k];
        }
        const ModesResult r = computed(walls, sides);
        const auto to = tracked(first->shapes, f_of(*first), r.shapes, f_of(r));
        ModelAnswer a{Eigen::VectorXd::Constant(static_cast<Eigen::Index>(to.size()), NAN), {}, first->sensitivity};
        a.Q = a.f_Hz;
        for (std::size_t i = 0; i < to.size(); ++i) {
            if (!to[i]) continue;
            const auto at = static_cast<Eigen::Index>(i);
            a.f_Hz[at] = r.modes[static_cast<std::size_t>(*to[i])].f_Hz;
            a.Q[at] = r.modes[static_cast<std::size_t>(*to[i])].Q;
            a.sensitivity.ln_f.row(at) = r.sensitivity.ln_f.row(*to[i]);
        }
        return a;
    };
    const ModesResult built = computed(0.9, 1.12);
    const auto to = tracked(first->shapes, f_of(*first), built.shapes, f_of(built));
    std::vector<ModeMeasured> readings;
    for (int i = 0; i < static_cast<int>(to.size()) && readings.size() < 8; ++i)
        if (const auto met = to[static_cast<std::size_t>(i)]) {
            const double f = built.modes[static_cast<std::size_t>(*met)].f_Hz;
            readings.push_back({i, {f, 1e-3 * f}, {}});
        }
    REQUIRE(readings.size() == 8);
    const LearnResult r = learn(readings, model, {.model_error = 0.005});
    for (const LearnedFigure& f : r.stiffness.figures) {
        CAPTURE(f.figure.part, f.factor, f.error, r.n_rounds);
        CHECK(f.is_learned);
        // Reference: the factors built in. Tolerance: no noise was put in: the prior pulls back (error/prior)² of the
        // change, 1 % for what the two share.
        const double truth = f.figure.part == "walls" ? 0.9 : 1.12;
        const double pull = std::pow(f.error / f.prior_error, 2) * std::abs(std::log(truth));
        CHECK(std::abs(std::log(f.factor / truth)) < pull + 0.01);
    }
    CHECK(r.stiffness.figures.size() == 2);
    CHECK(r.stiffness.misfit_after < 0.2 * r.stiffness.misfit_before);
}

TEST_CASE("learn: a motor's ring tells its basket's frequency", "[learn]")
{
    CabinetPlan plan = box(make({.name = "walls", .E = 3.2e12, .low = 0.9, .high = 1.1, .nu = 0.25})); // all but rigid
    add_driver(plan, 1.5);
    plan.openings[0].insert.offset = 0.03;
    const Basket drawn{Basket::Kind::Untold,  exactly(0.15), exactly(2),
                       figure(600, 450, 900), exactly(2000), exactly(0.01)};
    plan.openings[0].insert.basket = drawn;
    const ShellMesh mesh = mesh::mesh_shell(build_cabinet(plan), {.element_size = 0.06});
    const auto computed = [&](double factor) {
        CabinetPlan changed = plan;
        apply_learned(LearnedBasket{"woofer", {factor, 0.1}}, *changed.openings[0].insert.basket);
        ModesOptions options;
        options.f_max = 1000;
        return analyse_modes(build_cabinet(changed), mesh, options);
    };
    const auto motor_of = [](const ModesResult& result) {
        for (std::size_t m = 0; m < result.modes.size(); ++m)
            if (result.modes[m].on_basket == "woofer") return static_cast<int>(m);
        FAIL("no mode of the motor");
        return -1;
    };
    const ModesResult first = [&] {
        ModesOptions options;
        options.f_max = 1000;
        return analyse_modes(build_cabinet(plan), mesh, options);
    }();
    const int motor = motor_of(first);
    const Model model = [&](const std::vector<double>& factors) {
        double factor = 1;
        for (std::size_t k = 0; k < factors.size(); ++k)
            if (first.sensitivity.figures[k].kind == Kind::MotorStiffness) factor = std::sqrt(factors[k]);
        const ModesResult now = factor == 1 ? first : computed(factor);
        const auto m = static_cast<std::size_t>(motor_of(now));
        ModelAnswer answer{Eigen::VectorXd::Zero(static_cast<Eigen::Index>(first.modes.size())), {}, first.sensitivity};
        answer.Q = answer.f_Hz;
        answer.f_Hz[motor] = now.modes[m].f_Hz;
        answer.sensitivity.ln_f.row(motor) = now.sensitivity.ln_f.row(static_cast<Eigen::Index>(m));
        return answer;
    };
    const ModesResult truth = computed(0.85);
    const double measured_Hz = truth.modes[static_cast<std::size_t>(motor_of(truth))].f_Hz;
    const LearnResult result = learn({{motor, {measured_Hz, 0.1}, {}}}, model);
    const auto found = std::find_if(result.stiffness.figures.begin(), result.stiffness.figures.end(),
                                    [](const LearnedFigure& f) { return f.figure.kind == Kind::MotorStiffness; });
    REQUIRE(found != result.stiffness.figures.end());
    CHECK(found->is_learned);
    // Reference: the cabinet that was read. Tolerance: the prior of ± 35 % in stiffness draws by (4 %/35 %)² of the
    // way, 1.3 % of 15 %: 0.2 %, and the walls' own range takes a part of what the basket is given.
    const double factor = std::sqrt(found->factor);
    CHECK_THAT(factor, WithinRel(0.85, 0.01));
    const ModesResult learned = computed(factor);
    CHECK_THAT(learned.modes[static_cast<std::size_t>(motor_of(learned))].f_Hz, WithinRel(measured_Hz, 0.01));
}

TEST_CASE("learn: a fit that leaves too much changes nothing", "[learn]")
{
    const Springs springs;
    const Model model = [&](const std::vector<double>& factors) { return springs.at(factors); };
    std::mt19937_64 random(4);
    auto readings = measured(springs.at({0.95, 1.05, 1, 1, 1}), 4, 0.002, random);
    CHECK_FALSE(learn(readings, model, exact).stiffness.is_poor);
    for (std::size_t i = 0; i < readings.size(); ++i) readings[i].f_Hz.value *= i % 2 == 0 ? 1.06 : 0.94;
    const LearnResult r = learn(readings, model, exact);
    CHECK(r.stiffness.is_poor);
    for (const LearnedFigure& f : r.stiffness.figures) {
        CHECK(f.factor == 1);
        CHECK_FALSE(f.is_learned);
    }
}

TEST_CASE("learn: a comb that may slip is told", "[learn]")
{
    // Frequencies of a simply supported plate, a × b with a/b = 1.4: f ∝ (m/a)² + (n/b)² (Leissa, NASA SP-160, 1969,
    // eq. 4.20), as ½ of ln modulus. Read without error, with moduli a fifth lower, all are found where they are; of an
    // even comb with a gap of 10 % the place below fits as well but for the prior.
    std::vector<Tooth> plate;
    for (int m = 1; m <= 4; ++m)
        for (int n = 1; n <= 3; ++n) plate.push_back({100 * (m * m / 1.96 + n * n), 0.5, 0.8});
    std::vector<Known> readings;
    for (const Tooth& tooth : plate) readings.push_back({tooth.f_Hz * std::sqrt(0.8), 0.5});
    const std::vector<CombFit> sure = comb_fits(readings, plate);
    // Reference: the factor put in. Tolerance: the grid's step, and what the prior pulls at 12 readings good to 1.5 %.
    CHECK_THAT(sure[0].factor, WithinAbs(0.8, 0.01));
    CHECK(sure[0].odds > 0.99);

    std::vector<Tooth> even;
    for (int i = 0; i < 8; ++i) even.push_back({300 * std::pow(1.1, i), 0.5, 0.8});
    readings.clear();
    for (int i = 2; i < 6; ++i) readings.push_back({even[static_cast<std::size_t>(i)].f_Hz * std::sqrt(0.91), 0.5});
    const std::vector<CombFit> slips = comb_fits(readings, even);
    // Reference: the prior alone tells the five places apart at which four readings meet eight teeth: x = ln 0.91 + k
    // ln 1.21, exp(−x²/2σ²). Tolerance: places where fewer meet, 2 % each.
    const auto prior = [](int k) { return std::exp(-0.5 * std::pow((std::log(0.91) + k * std::log(1.21)) / 0.2, 2)); };
    double all = 0;
    for (int k = -2; k <= 2; ++k) all += prior(k);
    REQUIRE(slips.size() >= 2);
    CHECK_THAT(slips[0].odds + slips[1].odds, WithinAbs((prior(0) + prior(1)) / all, 0.04));
    CHECK(slips[1].odds > 0.2);
    CHECK_THAT(comb_fits({}, even)[0].factor, WithinAbs(1, 0.005));
}
