#include "solver/drive/played.h"

#include "solver/drive/crossover.h"
#include "solver/linalg/parallel.h"

namespace stillwall::solver {
namespace {

using Complex = std::complex<double>;
using Eigen::Index;

/// v^H Re(Z) v [W], r.m.s. amplitudes.
double power_of(const Eigen::MatrixXd& R, const Eigen::VectorXcd& v)
{
    return v.real().dot(R * v.real()) + v.imag().dot(R * v.imag());
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

Played Player::play(double f_Hz) const
{
    const Eigen::MatrixXcd Z = load(f_Hz);
    const auto [moving, still] = solve_coupled(cabinet, f_Hz, Z);
    Eigen::VectorXcd gain(static_cast<Index>(crossovers.size()));
    for (std::size_t w = 0; w < crossovers.size(); ++w)
        gain[static_cast<Index>(w)] = crossover_gain(crossovers[w], f_Hz);
    Played played;
    played.f_Hz = f_Hz;
    played.walls = moving.walls * gain;
    played.air = moving.air * gain;
    played.sources = moving.sources * gain;
    played.air_still = still.air * gain;
    played.sources_still = still.sources * gain;
    played.impedance = moving.current.cwiseInverse();
    played.impedance_still = still.current.cwiseInverse();
    played.way_walls = moving.walls;
    played.way_air = moving.air;
    played.source_load = Z.rightCols(columns.n_sources);
    played.transfer = radiation.transfer(f_Hz);

    const Index n_walls = columns.n_walls, n_sources = columns.n_sources;
    const Eigen::MatrixXd R = Z.real();
    Eigen::VectorXcd v(n_walls + n_sources);
    v << played.walls, played.sources;
    played.power = power_of(R, v);
    played.power_walls = power_of(R.topLeftCorner(n_walls, n_walls), played.walls);
    played.power_sources = power_of(R.bottomRightCorner(n_sources, n_sources), played.sources);
    return played;
}

std::vector<Played> play_all(const Player& player, const std::vector<double>& f_Hz)
{
    std::vector<Played> all(f_Hz.size());
    internal::for_each_item(f_Hz.size(), [&](std::size_t i) { all[i] = player.play(f_Hz[i]); });
    return all;
}

} // namespace stillwall::solver
