#include "solver/drive/internal/curves.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver::internal {
namespace {

using Complex = std::complex<double>;
using Eigen::Index;
using Eigen::VectorXcd;

std::vector<VectorXcd> zeros(std::size_t n, Index length)
{
    return std::vector<VectorXcd>(n, VectorXcd::Zero(length));
}

HeardCurves empty_curves(const Listener& listener, Index n, std::size_t n_sources, int n_boards)
{
    HeardCurves curves;
    curves.name = listener.name;
    curves.at = listener.at;
    curves.direct = curves.total = curves.walls = VectorXcd::Zero(n);
    curves.reference = Eigen::VectorXd::Zero(n);
    curves.sources = zeros(n_sources, n);
    curves.boards = zeros(static_cast<std::size_t>(n_boards), n);
    return curves;
}

void fill_listener(const Player& player, const Played& played, Index point, double volts, Index i, HeardCurves& curves)
{
    curves.direct[i] = volts * played.direct(point);
    curves.walls[i] = volts * played.from_walls(point);
    curves.total[i] = curves.walls[i];
    for (std::size_t s = 0; s < curves.sources.size(); ++s) {
        curves.sources[s][i] = volts * played.from_source(point, static_cast<Index>(s));
        curves.total[i] += curves.sources[s][i];
    }
    for (std::size_t b = 0; b < player.columns.boards.size(); ++b)
        curves.boards[static_cast<std::size_t>(player.columns.boards[b])][i] =
            volts * played.sound(point, player.columns.of_board(b), played.walls);
}

} // namespace

Reference::Reference(const std::vector<Played>& played, const std::vector<Place>& places)
    : square_(static_cast<Index>(places.size()), static_cast<Index>(played.size()))
{
    for (std::size_t i = 0; i < played.size(); ++i) {
        f_.push_back(played[i].f_Hz);
        for (std::size_t p = 0; p < places.size(); ++p) {
            double sum = 0;
            for (const Index point : places[p].points) sum += std::norm(played[i].direct(point));
            square_(static_cast<Index>(p), static_cast<Index>(i)) =
                places[p].points.empty() ? played[i].power_still : sum / static_cast<double>(places[p].points.size());
        }
    }
}

void Reference::add(const std::function<double(std::size_t place, double f_Hz)>& square)
{
    for (std::size_t i = 0; i < f_.size(); ++i)
        for (Index p = 0; p < square_.rows(); ++p)
            square_(p, static_cast<Index>(i)) += square(static_cast<std::size_t>(p), f_[i]);
}

double Reference::at(std::size_t place, double f_Hz) const
{
    const double sixth = std::pow(2, 1.0 / 6);
    return over(place, f_Hz / sixth, f_Hz * sixth);
}

double Reference::over(std::size_t place, double f_from, double f_to) const
{
    const auto row = square_.row(static_cast<Index>(place));
    const double from = std::clamp(f_from, f_.front(), f_.back()), to = std::clamp(f_to, from, f_.back());
    // Between two points the square is a straight line over ln f; the parts of the ends count as far as they lie
    // inside.
    const auto next = std::upper_bound(f_.begin(), f_.end(), from);
    const auto first_step = static_cast<std::size_t>(next == f_.begin() ? 0 : next - f_.begin() - 1);
    double sum = 0;
    for (std::size_t i = first_step; i + 1 < f_.size() && f_[i] < to; ++i) {
        const double low = std::max(from, f_[i]), high = std::min(to, f_[i + 1]);
        const double width = std::log(f_[i + 1] / f_[i]), first = row(static_cast<Index>(i));
        const double rise = (row(static_cast<Index>(i) + 1) - first) / width;
        const double middle = std::log(low * high / (f_[i] * f_[i])) / 2;
        sum += std::log(high / low) * (first + rise * middle);
    }
    if (to > from) return std::sqrt(sum / std::log(to / from));
    return std::sqrt(row(static_cast<Index>(first_step)));
}

double Reference::best(std::size_t place) const
{
    double most = 0;
    for (const double f : f_) most = std::max(most, at(place, f));
    return most;
}

void fill_curves(const Player& player, const SoundSetting& setting, const Reference& reference,
                 const std::vector<Played>& played, int n_boards, SoundResult& result)
{
    const auto n = static_cast<Index>(played.size());
    const double volts = result.volts;
    for (const Listener& listener : setting.listeners)
        result.listeners.push_back(empty_curves(listener, n, result.sources.size(), n_boards));
    for (std::size_t w = 0; w < setting.ways.size(); ++w) {
        WayCurves way{setting.ways[w].name, {}, VectorXcd(n), VectorXcd(n), VectorXcd(n)};
        for (const auto& d : player.cabinet.circuits[w].drivers)
            way.drivers.push_back(result.sources[static_cast<std::size_t>(d.source)].name);
        result.ways.push_back(std::move(way));
    }
    result.motion.assign(result.sources.size(), {VectorXcd(n), VectorXcd(n)});
    result.power = result.power_walls = result.power_direct = Eigen::VectorXd(n);
    for (Index i = 0; i < n; ++i) {
        const Played& p = played[static_cast<std::size_t>(i)];
        for (std::size_t l = 0; l < result.listeners.size(); ++l) {
            fill_listener(player, p, static_cast<Index>(l), volts, i, result.listeners[l]);
            result.listeners[l].reference[i] = volts * reference.at(l, p.f_Hz);
        }
        const VectorXcd gains = player.gains(p.f_Hz);
        for (std::size_t w = 0; w < result.ways.size(); ++w) {
            result.ways[w].gain[i] = gains[static_cast<Index>(w)];
            result.ways[w].impedance[i] = p.impedance[static_cast<Index>(w)];
            result.ways[w].impedance_still[i] = p.impedance_still[static_cast<Index>(w)];
        }
        for (std::size_t s = 0; s < result.sources.size(); ++s) {
            const SourceModel& m = player.cabinet.sources[s];
            const Complex v = volts * p.sources[static_cast<Index>(s)] / (m.cone ? 1.0 : m.area);
            result.motion[s].velocity[i] = v;
            result.motion[s].displacement[i] = v / Complex(0, 2 * std::numbers::pi * p.f_Hz);
        }
        result.power[i] = volts * volts * p.power;
        result.power_walls[i] = volts * volts * p.power_walls;
        result.power_direct[i] = volts * volts * p.power_sources;
    }
}

} // namespace stillwall::solver::internal
