#pragma once
// What `sound` is asked: drive, listeners, surroundings, air and what fills it. As written, SI units.

#include "mesh/cabinet/material.h"

#include <Eigen/Core>

#include <optional>
#include <string>
#include <vector>

namespace stillwall {

// Structs named Written…: what the resolved ones in cabinet.h share, see plan.h.

struct WrittenFilling
{
    std::string name;
    std::string material; ///< name in the library, for listings
    double thickness = 0; ///< [m] of a lining, > 0
    SourcePos where;
};

/// Porous stuff on an inner face, in a region or in the whole box.
struct FillingPlan : WrittenFilling
{
    Quantity flow_resistivity; ///< [Pa·s/m²] at its listed density, > 0
    Quantity density;          ///< [kg/m³] listed
    std::string board;         ///< lining on the inner face of a wall, both faces of a brace; empty: a region
    /// Region in cabinet coordinates [m]; without any the whole inside.
    std::optional<double> x_from, x_to, y_from, y_to, z_from, z_to;
    /// Packing: share of the listed density, 0 < amount ≤ 1. The flow resistivity follows as amount^1.53 (Bies &
    /// Hansen, Appl. Acoust. 13 (1980) 357, from memory).
    double amount = 1;
};

/// One step of an ideal crossover: what it does to the voltage.
struct CrossoverPoint
{
    double frequency = 0; ///< [Hz]
    double level = 0;     ///< [dB]
    double phase = 0;     ///< [rad], e^{+jωt}: a delay is negative
};

/// A filter by its name: what it does to the voltage as an ideal analogue one.
struct CrossoverFilter
{
    enum class Kind
    {
        Butterworth,  ///< −3 dB at its frequency
        LinkwitzRiley ///< two Butterworths of half the order in a row, −6 dB; even orders
    };
    Kind kind = Kind::Butterworth;
    bool is_low_pass = true;
    double frequency = 0; ///< [Hz] > 0
    int order = 2;        ///< 1 … 4 (8 for LinkwitzRiley)
};

struct WrittenWay
{
    std::string name;
    bool is_series = false; ///< else parallel
    std::vector<CrossoverPoint>
        crossover; ///< ascending; empty: full voltage. Between points dB and phase are linear in log f;
                   ///< beyond the ends the slope in dB per octave goes on, the phase stays
    std::vector<CrossoverFilter> filters; ///< instead of points, one after another
    double gain_dB = 0;                   ///< [dB] of the way, besides filters
    double delay_s = 0;                   ///< [s] ≥ 0 of the way, besides filters
    SourcePos where;
};

/// Drivers on one amplifier or one branch of the crossover.
struct WayPlan : WrittenWay
{
    std::vector<std::string> drivers; ///< opening names
    std::vector<bool> reversed;       ///< per driver: its terminals are swapped
};

/// Where somebody listens: a point, or a direction from the middle of the front's drivers.
struct ListenerPlan
{
    std::string name;
    std::optional<Eigen::Vector3d> at; ///< [m] cabinet coordinates; else from the reference point
    std::string in_front_of; ///< driver whose centre is the reference point; empty: the mean centre of the drivers that
                             ///< share the board with the first driver
    double distance = 1;     ///< [m]
    double across = 0, up = 0; ///< [rad] from that board's outward normal: to the right as seen by the listener's
                               ///< left-right of the cabinet (+x for a front), and upwards
    SourcePos where;
};

/// Where people listen from: the axis of a listener swung this far to both sides and up and down; what is heard is the
/// power mean over its middle and its four ends.
struct ListeningWindow
{
    double across = 0, up = 0; ///< [rad] ≥ 0
};

/// Direct sound of other speakers of the same system that play beside this cabinet.
struct RestOfSystem
{
    double level_dB = 0;        ///< at 1 m before the reference point, at the voltage or level set
    double from = 0, to = 20e3; ///< [Hz] where they play
};

struct WrittenSound
{
    ListeningWindow window;           ///< about every listener given by a direction
    std::optional<RestOfSystem> rest; ///< nothing: this cabinet plays alone
    std::optional<double> volts;      ///< [V] r.m.s. at every way's input, > 0; with neither this nor a level 2.83 V
    std::optional<double>
        level_dB; ///< instead: direct sound at 1 m before the reference point, power mean over level_from … level_to
    double level_from = 200, level_to = 2000; ///< [Hz]
    std::optional<double> leakage_Q; ///< Q_L of air leaks at the box's tuning or resonance, > 0; nothing: tight
    double wall_absorption = 0.03; ///< [-] random-incidence absorption of bare inner faces, 0 … 0.9 (from memory: wood
                                   ///< and painted boards 0.01 … 0.1)
};

struct SoundPlan : WrittenSound
{
    double f_from = 20, f_to = 3000; ///< [Hz]
    int per_octave = 24;
    std::vector<double> frequencies;     ///< [Hz] ascending; instead of the grid when not empty
    std::vector<ListenerPlan> listeners; ///< none: one at 1 m on the axis
    std::vector<WayPlan> ways;           ///< none: all drivers with small-signal figures in parallel on one amplifier
    std::optional<double> floor;         ///< [m] rigid floor this far below the bottom's lowest outer point, ≥ 0
    std::optional<double> wall;          ///< [m] rigid wall this far behind the rearmost outer point, ≥ 0
    std::vector<FillingPlan> fillings;   ///< where two overlap the later one holds
    SourcePos where;
};

} // namespace stillwall
