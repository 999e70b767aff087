#pragma once
// The driven cabinet at single frequencies: motion of everything and sound at the listeners.

#include "solver/drive/outside.h"

#include <memory>

namespace stillwall::solver {

/// All ways at work, per volt at the amplifier.
struct Played
{
    double f_Hz = 0;
    Eigen::VectorXcd walls, air, sources;        ///< as Motion, walls moving
    Eigen::VectorXcd air_still, sources_still;   ///< with walls that stand still
    Eigen::VectorXcd impedance, impedance_still; ///< [ohm] per way
    Eigen::MatrixXcd way_walls, way_air;         ///< as Motion: per volt at one way, the other ways short-circuited
    Eigen::MatrixXcd source_load;                ///< Z of walls and sources by the sources, shape (loaded, sources)
    Eigen::MatrixXcd transfer; ///< pressure at the points per shape, shape (points, ShapeColumns::size())
    double power = 0, power_walls = 0, power_sources = 0; ///< [W]
    double power_still = 0;                               ///< [W] of the sources with walls that stand still

    /// [Pa] at a point by amplitudes of the shapes from this column on.
    [[nodiscard]] std::complex<double> sound(Eigen::Index point, Eigen::Index column,
                                             const Eigen::VectorXcd& amplitudes) const
    {
        return (transfer.row(point).segment(column, amplitudes.size()) * amplitudes).value();
    }
    /// [Pa] at a point, per volt.
    [[nodiscard]] std::complex<double> direct(Eigen::Index point) const;
    [[nodiscard]] std::complex<double> from_walls(Eigen::Index point) const;
    [[nodiscard]] std::complex<double> from_source(Eigen::Index point, Eigen::Index source) const;
};

/// A cabinet, its outside and its crossover.
struct Player
{
    Coupled cabinet;
    ModalRadiation radiation;
    ShapeColumns columns;
    std::vector<WrittenWay> crossovers; ///< per way

    [[nodiscard]] Played play(double f_Hz) const;
    /// The same with walls that stand still, at a tenth of the cost: what moves walls is empty.
    [[nodiscard]] Played play_still(double f_Hz) const;
    /// And what air, cones and ports answer to further pushes, see StillAnswer.
    /// @param Z  load() at this frequency
    struct PlayedStill
    {
        Played played;
        Eigen::MatrixXcd answers;
    };
    [[nodiscard]] PlayedStill play_still(double f_Hz, const Eigen::MatrixXcd& Z, const Eigen::MatrixXcd& pushes) const;
    /// What the crossovers make of one volt, per way.
    [[nodiscard]] Eigen::VectorXcd gains(double f_Hz) const;
    /// Z of walls and sources.
    [[nodiscard]] Eigen::MatrixXcd load(double f_Hz) const { return radiation.impedance(f_Hz); }
};

/// v^H Re(Z) v [W] for r.m.s. amplitudes.
[[nodiscard]] double radiated_power(const Eigen::MatrixXcd& Z, const Eigen::VectorXcd& v);

/// Many frequencies, on all cores.
[[nodiscard]] std::vector<Played> play_all(const Player& player, const std::vector<double>& f_Hz);
[[nodiscard]] std::vector<Played> play_all_still(const Player& player, const std::vector<double>& f_Hz);

} // namespace stillwall::solver
