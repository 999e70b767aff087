#include "app/write/shear_note.h"

#include "app/write/numbers.h"
#include "app/write/text_table.h"
#include "solver/modes/bands.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace stillwall::app {
namespace {

using Kind = solver::UncertainFigure::Kind;

/// Half the range, as a logarithm, that a short bar leaves: two standard deviations of 3 %, the beam theory's error
/// included (tests/solver/strip_test.cpp).
constexpr double measured_range = 0.06;
constexpr double worth_measuring = 0.03; // of the frequency, low to high

double width(const solver::Band& band)
{
    return band.down + band.up;
}

solver::Sensitivity measured(const solver::Sensitivity& sensitivity)
{
    solver::Sensitivity s = sensitivity;
    for (Eigen::Index i = 0; i < s.n_figures(); ++i)
        if (s.figures[static_cast<std::size_t>(i)].kind == Kind::TransverseShear) {
            s.to_low.col(i) = s.to_low.col(i).cwiseMax(-measured_range);
            s.to_high.col(i) = s.to_high.col(i).cwiseMin(measured_range);
        }
    return s;
}

/// The materials whose shear moves a mode, the most uncertain first; those that hardly count are left out.
std::vector<std::string> soft_materials(const solver::Sensitivity& s, std::size_t mode)
{
    std::vector<std::pair<double, std::string>> found;
    const auto m = static_cast<Eigen::Index>(mode);
    for (Eigen::Index i = 0; i < s.n_figures(); ++i) {
        const solver::UncertainFigure& figure = s.figures[static_cast<std::size_t>(i)];
        const double effect = std::abs(s.ln_f(m, i)) * (s.to_high(m, i) - s.to_low(m, i));
        if (figure.kind == Kind::TransverseShear) found.emplace_back(effect, figure.part);
    }
    std::sort(found.rbegin(), found.rend());
    std::vector<std::string> names;
    for (const auto& [effect, name] : found)
        if (effect > 0.3 * found.front().first) names.push_back(name);
    return names;
}

} // namespace

bool ShearBand::is_mostly_shear() const
{
    return shear * shear > 0.5 * whole * whole && whole > worth_measuring;
}

std::vector<ShearBand> shear_bands(const solver::Sensitivity& sensitivity)
{
    const std::vector<solver::Band> whole = solver::bands_of(sensitivity),
                                    shear = solver::bands_of(sensitivity, Kind::TransverseShear),
                                    left = solver::bands_of(measured(sensitivity));
    std::vector<ShearBand> bands;
    for (std::size_t m = 0; m < whole.size(); ++m) bands.push_back({width(whole[m]), width(shear[m]), width(left[m])});
    return bands;
}

std::string shear_note(const solver::Sensitivity& sensitivity, const std::vector<NotedMode>& rows)
{
    const std::vector<ShearBand> bands = shear_bands(sensitivity);
    const NotedMode* widest = nullptr;
    std::size_t n_shear = 0;
    for (const NotedMode& row : rows) {
        if (row.mode >= bands.size() || !bands[row.mode].is_mostly_shear()) continue;
        ++n_shear;
        if (!widest || bands[row.mode].whole > bands[widest->mode].whole) widest = &row;
    }
    if (!widest) return {};
    const ShearBand& band = bands[widest->mode];
    const std::string others =
        n_shear > 1 ? fmt::format(" So it is with all {} bands marked *.", n_shear) : std::string();
    return '\n' +
           wrapped(fmt::format("* Of the {} Hz from low to high of no {}, {} Hz come from the shear through the "
                               "thickness of {}; one short offcut measured (stillwall strip, "
                               "examples/strip-02-short-offcut) would leave {} Hz.{}",
                               in_hertz(band.whole * widest->f_Hz), widest->number, in_hertz(band.shear * widest->f_Hz),
                               fmt::join(soft_materials(sensitivity, widest->mode), " and "),
                               in_hertz(band.left * widest->f_Hz), others));
}

} // namespace stillwall::app
