#include "solver/drive/internal/resonance.h"

#include "solver/linalg/dense_lu.h"
#include "solver/linalg/hertz.h"
#include "solver/linalg/parallel.h"

#include <cmath>
#include <numbers>
#include <optional>

namespace stillwall::solver::internal {
namespace {

using Complex = std::complex<double>;

/// Under everything that moves with it at a frequency.
Complex load_at(const Player& player, const Eigen::VectorXcd& y, double f_Hz)
{
    const Eigen::MatrixXcd Z = player.load(f_Hz);
    const Eigen::MatrixXcd Z_ss = Z.bottomRightCorner(player.columns.n_sources, player.columns.n_sources);
    const Eigen::VectorXcd inner = wall_columns(player.cabinet, f_Hz, Z) * y;
    return load_on(player.cabinet, f_Hz, Z, y, inner, DenseLu(inner_system(player.cabinet, f_Hz, Z_ss)).solve(inner));
}

/// Frequency and Q with the load; nothing if first order cannot hold.
std::optional<Complex> loaded(const Player& player, const Eigen::VectorXcd& y, Complex lambda, double f_from,
                              double f_to)
{
    constexpr double most = 0.1; // of the frequency: beyond, the mode is another one
    const double f = hertz(lambda);
    if (f < f_from || f > f_to) return lambda;
    Complex with_load = lambda;
    for (int round = 0; round < 2; ++round) {
        const double at = std::clamp(hertz(with_load), f_from, f_to);
        with_load = lambda + load_at(player, y, at);
        if (!(std::abs(hertz(with_load) / f - 1) < most)) return std::nullopt;
    }
    return with_load;
}

} // namespace

Complex load_on(const Coupled& cabinet, double f_Hz, const Eigen::MatrixXcd& Z, const Eigen::VectorXcd& y,
                const Eigen::VectorXcd& pushes, const Eigen::VectorXcd& answer)
{
    const Complex outside = (y.transpose() * (wall_load(cabinet, f_Hz, Z) * y))(0);
    return Complex(0, 2 * std::numbers::pi * f_Hz) * (outside - (pushes.transpose() * answer)(0));
}

std::vector<LoadedMode> wall_resonances(const Player& player, const Eigen::VectorXcd& lambda,
                                        const std::vector<Mode>& modes, double f_from, double f_to)
{
    std::vector<LoadedMode> all(modes.size());
    for_each_item(modes.size(), [&](std::size_t i) {
        const Mode& wall = modes[i];
        LoadedMode& r = all[i];
        r.y = player.cabinet.walls.modes.col(static_cast<Eigen::Index>(i));
        r.y /= std::sqrt((r.y.transpose() * r.y)(0));
        const Complex bare = lambda[static_cast<Eigen::Index>(i)];
        const Complex used = loaded(player, r.y, bare, f_from, f_to).value_or(bare);
        r.lambda = used;
        r.wood_loss = wall.loss;
        r.mode.kind = SoundMode::Kind::Wall;
        r.mode.name = wall.shape_name;
        r.mode.wall = static_cast<int>(i);
        r.mode.f_Hz = hertz(used);
        if (wall.f_high_Hz > 0)
            r.mode.band =
                FrequencyBand{r.mode.f_Hz * wall.f_low_Hz / wall.f_Hz, r.mode.f_Hz * wall.f_high_Hz / wall.f_Hz};
        r.mode.Q = used.imag() > 0 ? used.real() / used.imag() : wall.Q;
        r.mode.T60_s = 2.2 * r.mode.Q / r.mode.f_Hz;
    });
    std::erase_if(all, [&](const LoadedMode& r) { return !(r.mode.f_Hz >= f_from && r.mode.f_Hz <= f_to); });
    return all;
}

} // namespace stillwall::solver::internal
