#include "solver/drive/played.h"

#include "solver/drive/crossover.h"
#include "solver/linalg/parallel.h"

namespace stillwall::solver {
namespace {

using Complex = std::complex<double>;
using Eigen::Index;

/// What does not hang on the walls' motion.
Played with_still_walls(const Player& player, double f_Hz, const Eigen::MatrixXcd& Z, const Motion& still)
{
    const Index n_sources = player.columns.n_sources;
    const Eigen::VectorXcd gain = player.gains(f_Hz);
    Played played;
    played.f_Hz = f_Hz;
    played.walls = Eigen::VectorXcd::Zero(player.columns.n_walls);
    played.air_still = still.air * gain;
    played.sources_still = still.sources * gain;
    played.source_load = Z.rightCols(n_sources);
    played.transfer = player.radiation.transfer(f_Hz);
    played.power_still = radiated_power(Z.bottomRightCorner(n_sources, n_sources), played.sources_still);
    return played;
}

} // namespace

Complex Played::direct(Index point) const
{
    return sound(point, walls.size(), sources_still);
}

Complex Played::from_walls(Index point) const
{
    return sound(point, 0, walls);
}

Complex Played::from_source(Index point, Index source) const
{
    return sound(point, walls.size() + source, sources.segment(source, 1));
}

double radiated_power(const Eigen::MatrixXcd& Z, const Eigen::VectorXcd& v)
{
    return v.real().dot(Z.real() * v.real()) + v.imag().dot(Z.real() * v.imag());
}

Eigen::VectorXcd Player::gains(double f_Hz) const
{
    Eigen::VectorXcd gain(static_cast<Index>(crossovers.size()));
    for (std::size_t w = 0; w < crossovers.size(); ++w)
        gain[static_cast<Index>(w)] = crossover_gain(crossovers[w], f_Hz);
    return gain;
}

Played Player::play_still(double f_Hz) const
{
    const Index n_inner = cabinet.air.size() + columns.n_sources + cabinet.n_ports();
    return play_still(f_Hz, load(f_Hz), Eigen::MatrixXcd(n_inner, 0)).played;
}

Player::PlayedStill Player::play_still(double f_Hz, const Eigen::MatrixXcd& Z, const Eigen::MatrixXcd& pushes) const
{
    StillAnswer still = solve_still(cabinet, f_Hz, Z, pushes);
    return {with_still_walls(*this, f_Hz, Z, still.motion), std::move(still.pushed)};
}

Played Player::play(double f_Hz) const
{
    const Eigen::MatrixXcd Z = load(f_Hz);
    const auto [moving, still] = solve_coupled(cabinet, f_Hz, Z);
    const Eigen::VectorXcd gain = gains(f_Hz);
    Played played = with_still_walls(*this, f_Hz, Z, still);
    played.walls = moving.walls * gain;
    played.air = moving.air * gain;
    played.sources = moving.sources * gain;
    played.impedance = moving.current.cwiseInverse();
    played.impedance_still = still.current.cwiseInverse();
    played.way_walls = moving.walls;
    played.way_air = moving.air;

    const Index n_walls = columns.n_walls, n_sources = columns.n_sources;
    Eigen::VectorXcd v(n_walls + n_sources);
    v << played.walls, played.sources;
    played.power = radiated_power(Z, v);
    played.power_walls = radiated_power(Z.topLeftCorner(n_walls, n_walls), played.walls);
    played.power_sources = radiated_power(Z.bottomRightCorner(n_sources, n_sources), played.sources);
    return played;
}

std::vector<Played> play_all(const Player& player, const std::vector<double>& f_Hz)
{
    std::vector<Played> all(f_Hz.size());
    internal::for_each_item(f_Hz.size(), [&](std::size_t i) { all[i] = player.play(f_Hz[i]); });
    return all;
}

std::vector<Played> play_all_still(const Player& player, const std::vector<double>& f_Hz)
{
    std::vector<Played> all(f_Hz.size());
    internal::for_each_item(f_Hz.size(), [&](std::size_t i) { all[i] = player.play_still(f_Hz[i]); });
    return all;
}

} // namespace stillwall::solver
