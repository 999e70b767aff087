#include "solver/measured/internal/spread.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

namespace stillwall::solver {
namespace {

struct State
{
    StripData data;
    StripModel model;
};

/// One input and how it moves to the lower (−1) or upper (+1) end of its band.
struct Input
{
    std::string name;
    std::function<void(State&, int)> move;
};

void move_known(Known& known, int way)
{
    known.value += way * known.error;
}

void move_assumed(Assumed& assumed, int way)
{
    assumed.value = way < 0 ? assumed.low : assumed.high;
}

void add_sizes(const StripData& data, std::vector<Input>& inputs)
{
    if (data.length.error > 0)
        inputs.push_back({"length", [](State& s, int way) {
                              move_known(s.data.length, way);
                              s.data.free_length += way * s.data.length.error; // measured with the same ruler
                          }});
    if (data.width.error > 0) inputs.push_back({"width", [](State& s, int way) { move_known(s.data.width, way); }});
    if (data.thickness.error > 0)
        inputs.push_back({"thickness", [](State& s, int way) { move_known(s.data.thickness, way); }});
    if (data.mass.error > 0) inputs.push_back({"mass", [](State& s, int way) { move_known(s.data.mass, way); }});
}

/// All inputs that have a band.
std::vector<Input> inputs_of(const State& state)
{
    std::vector<Input> inputs;
    add_sizes(state.data, inputs);
    if (state.model.nu.low < state.model.nu.high)
        inputs.push_back({"Poisson's ratio", [](State& s, int way) {
                              move_assumed(s.model.nu, way);
                              if (s.model.source == RatioSource::Isotropic) move_assumed(s.model.ratio, way);
                          }});
    for (std::size_t i = 0; i < state.data.modes.size(); ++i) {
        const ModeReading& mode = state.data.modes[i];
        if (mode.f.error > 0)
            inputs.push_back({fmt::format("frequency of {} {}", mode.is_torsion ? "torsion" : "bending", mode.number),
                              [i](State& s, int way) { move_known(s.data.modes[i].f, way); }});
    }
    const bool has_own_ratio = state.model.source == RatioSource::Given || state.model.source == RatioSource::Usual;
    if (has_own_ratio && state.model.ratio.low < state.model.ratio.high)
        inputs.push_back({"E/G", [](State& s, int way) { move_assumed(s.model.ratio, way); }});
    if (!bending_indices(state.data).empty())
        inputs.push_back(
            {"theory of the short bar", [](State& s, int way) { s.model.theory = s.model.theory.moved(way); }});
    if (state.data.bending_test && bending_indices(state.data).empty()) {
        inputs.push_back({"force", [](State& s, int way) { move_known(s.data.bending_test->force, way); }});
        inputs.push_back({"deflection", [](State& s, int way) { move_known(s.data.bending_test->deflection, way); }});
        inputs.push_back({"dynamic over static modulus",
                          [](State& s, int way) { move_assumed(s.data.bending_test->dynamic_per_static, way); }});
    }
    return inputs;
}

std::optional<StripFigures> moved(const State& state, const Input& input, int way)
{
    State copy = state;
    input.move(copy, way);
    try {
        return strip_figures(copy.data, copy.model);
    } catch (const DomainError&) {
        return std::nullopt; // the band's end lies outside the theory
    }
}

} // namespace

Spread spread_of(const StripData& data, const StripModel& model, const StripFigures& figures)
{
    const State state{data, model};
    Spread spread;
    StripFigures& sums = spread.errors; // of squares, for now
    if (figures.G_in) sums.G_in = 0;
    if (figures.nu) sums.nu = 0;
    for (const Input& input : inputs_of(state)) {
        std::optional<StripFigures> low = moved(state, input, -1), high = moved(state, input, +1);
        if (!low && !high)
            throw StripError(StripPart::Whole,
                             fmt::format("the band of the {} reaches beyond beam theory on both sides, "
                                         "measure it closer",
                                         input.name));
        // One end missing: the other half stands for both.
        const double half = low && high ? 0.5 : 1.0;
        const StripFigures a = low.value_or(figures), b = high.value_or(figures);
        const auto square = [half](double x, double y) { return std::pow(half * (y - x), 2); };
        sums.rho += square(a.rho, b.rho);
        sums.E += square(a.E, b.E);
        sums.E_over_G += square(a.E_over_G, b.E_over_G);
        sums.G_t += square(a.G_t, b.G_t);
        sums.E_isotropic += square(a.E_isotropic, b.E_isotropic);
        if (sums.G_in) *sums.G_in += square(*a.G_in, *b.G_in);
        if (sums.nu) *sums.nu += square(*a.nu, *b.nu);
        if (const double share = square(a.E, b.E); share > 0) spread.E_shares.push_back({input.name, share});
    }
    for (ErrorShare& share : spread.E_shares) share.share /= sums.E;
    std::sort(spread.E_shares.begin(), spread.E_shares.end(),
              [](const ErrorShare& a, const ErrorShare& b) { return a.share > b.share; });
    for (double* sum : {&sums.rho, &sums.E, &sums.E_over_G, &sums.G_t, &sums.E_isotropic}) *sum = std::sqrt(*sum);
    if (sums.G_in) *sums.G_in = std::sqrt(*sums.G_in);
    if (sums.nu) *sums.nu = std::sqrt(*sums.nu);
    return spread;
}

} // namespace stillwall::solver
