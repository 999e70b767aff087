#include "solver/drive/coupled.h"

#include "mesh/cabinet/lossy_coil.h"
#include "solver/drive/box_tuning.h"
#include "solver/linalg/dense_lu.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver {
namespace {

using Complex = std::complex<double>;
using Eigen::Index;
using Eigen::MatrixXcd;

double angular(double f_Hz)
{
    return 2 * std::numbers::pi * f_Hz;
}

std::size_t place(Index i)
{
    return static_cast<std::size_t>(i);
}

/// z_s.
Complex suspension(const SourceModel& m, double omega)
{
    return {m.cone->Rms, -1 / (omega * m.cone->Cms)};
}

Complex mechanical_impedance(const SourceModel& m, double omega)
{
    return suspension(m, omega) + Complex(0, omega * m.moving_mass);
}

bool hangs(const SourceModel& m)
{
    return m.cone && m.stretch.size() > 0;
}

/// V/(ρc²) [m⁵/N].
double compliance(const Coupled& cabinet)
{
    const Air& air = cabinet.air.air;
    return cabinet.air.volume / air.bulk_modulus();
}

/// One current: the driver alone that is wired in parallel, or all that are wired in series.
struct Loop
{
    Index way = 0;
    Complex Ze = 0; ///< of its coils
    std::vector<Coupled::Terminal> drivers;
};

std::vector<Loop> loops_of(const Coupled& cabinet, double f_Hz)
{
    std::vector<Loop> loops;
    for (std::size_t w = 0; w < cabinet.circuits.size(); ++w) {
        const Coupled::Circuit& circuit = cabinet.circuits[w];
        const auto way = static_cast<Index>(w);
        if (circuit.is_series) loops.push_back({way, 0, {}});
        for (const Coupled::Terminal& d : circuit.drivers) {
            if (!circuit.is_series) loops.push_back({way, 0, {}});
            loops.back().Ze += coil_impedance(*cabinet.sources[place(d.source)].cone, f_Hz);
            loops.back().drivers.push_back(d);
        }
    }
    return loops;
}

/// ±Bl [N/A].
double force_factor(const Coupled& cabinet, const Coupled::Terminal& d)
{
    return d.sign * cabinet.sources[place(d.source)].cone->Bl;
}

/// Forces on the cones per volt of each way, shape (sources, ways).
MatrixXcd motor_forces(const Coupled& cabinet, const std::vector<Loop>& loops)
{
    MatrixXcd F =
        MatrixXcd::Zero(static_cast<Index>(cabinet.sources.size()), static_cast<Index>(cabinet.circuits.size()));
    for (const Loop& loop : loops)
        for (const Coupled::Terminal& d : loop.drivers) F(d.source, loop.way) = force_factor(cabinet, d) / loop.Ze;
    return F;
}

/// Current of each way at 1 V, the other ways' terminals short-circuited; r of shape (sources, ways).
Eigen::VectorXcd currents(const Coupled& cabinet, const std::vector<Loop>& loops, const MatrixXcd& r)
{
    Eigen::VectorXcd sum = Eigen::VectorXcd::Zero(r.cols());
    for (const Loop& loop : loops) {
        Complex back = 0;
        for (const Coupled::Terminal& d : loop.drivers) back += force_factor(cabinet, d) * r(d.source, loop.way);
        sum[loop.way] += (1.0 - back) / loop.Ze;
    }
    return sum;
}

/// @param x  unknowns: walls or none, air, sources, mouths; a column a way
Motion read_motion(const Coupled& cabinet, const std::vector<Loop>& loops, const MatrixXcd& x, Index n_walls)
{
    const Index n_air = cabinet.air.size(), n_sources = static_cast<Index>(cabinet.sources.size());
    Motion motion;
    motion.walls = n_walls > 0 ? MatrixXcd(x.topRows(n_walls)) : MatrixXcd::Zero(cabinet.walls.size(), x.cols());
    motion.air = x.middleRows(n_walls, n_air);
    motion.sources = x.middleRows(n_walls + n_air, n_sources);
    motion.current = currents(cabinet, loops, motion.sources);
    return motion;
}

/// @param system  unknowns: walls or none, air, sources, mouths
Motion solve(const Coupled& cabinet, const std::vector<Loop>& loops, MatrixXcd system, Index n_walls)
{
    const Index n_air = cabinet.air.size(), n_sources = static_cast<Index>(cabinet.sources.size());
    MatrixXcd b = MatrixXcd::Zero(system.rows(), static_cast<Index>(cabinet.circuits.size()));
    b.middleRows(n_walls + n_air, n_sources) = motor_forces(cabinet, loops);
    return read_motion(cabinet, loops, internal::DenseLu(std::move(system)).solve(std::move(b)), n_walls);
}

} // namespace

double mass_in_vacuo(const SmallSignal& cone, bool closed_back, const Air& air)
{
    const double a = std::sqrt(cone.Sd / std::numbers::pi);
    const double faces = closed_back ? 1 : 2;
    return std::max(cone.Mms - faces * 4.0 / 3.0 * air.density * a * a * a, cone.Mms / 2);
}

Complex coil_impedance(const SmallSignal& cone, double f_Hz)
{
    return cone.Re + cone.Le * lossy_coil(f_Hz, cone.Le_exponent);
}

bool is_passive(const SourceModel& model)
{
    return model.source.kind == Source::Kind::Passive;
}

Index Coupled::n_ports() const
{
    return std::count_if(sources.begin(), sources.end(), [](const SourceModel& s) { return s.port.has_value(); });
}

MatrixXcd source_system(const Coupled& cabinet, double f_Hz, const MatrixXcd& Z_ss)
{
    const Index n_sources = static_cast<Index>(cabinet.sources.size()), n = n_sources + cabinet.n_ports();
    MatrixXcd A = MatrixXcd::Zero(n, n);
    A.topLeftCorner(n_sources, n_sources) = Z_ss;
    for (const Loop& loop : loops_of(cabinet, f_Hz))
        for (const auto& i : loop.drivers)
            for (const auto& j : loop.drivers)
                A(i.source, j.source) += force_factor(cabinet, i) * force_factor(cabinet, j) / loop.Ze;
    Index mouth = n_sources;
    for (Index i = 0; i < n_sources; ++i) {
        const SourceModel& m = cabinet.sources[place(i)];
        if (m.cone) {
            A(i, i) += mechanical_impedance(m, angular(f_Hz));
            continue;
        }
        const PortLine line = m.port->at(f_Hz, cabinet.air.air);
        A(i, i) += line.Z22;
        A(mouth, mouth) = line.Z11;
        A(i, mouth) = A(mouth, i) = -line.Z12;
        ++mouth;
    }
    return A;
}

Eigen::MatrixXd source_columns(const Coupled& cabinet)
{
    const Index n_sources = static_cast<Index>(cabinet.sources.size());
    Eigen::MatrixXd columns = Eigen::MatrixXd::Zero(cabinet.air.size(), n_sources + cabinet.n_ports());
    Index mouth = n_sources;
    for (Index i = 0; i < n_sources; ++i) {
        const SourceModel& m = cabinet.sources[place(i)];
        if (m.cone)
            columns.col(i) = -m.inner_area * cabinet.air.inputs.col(i);
        else
            columns.col(mouth++) = -cabinet.air.inputs.col(i);
    }
    return columns;
}

MatrixXcd inner_system(const Coupled& cabinet, double f_Hz, const MatrixXcd& Z_ss)
{
    const Eigen::MatrixXd columns = source_columns(cabinet);
    const Index n_air = columns.rows(), n_rest = columns.cols();
    MatrixXcd A(n_air + n_rest, n_air + n_rest);
    A.topLeftCorner(n_air, n_air) =
        Complex(0, 1 / angular(f_Hz)) * cabinet.air.stiffness(f_Hz, cabinet.face_admittance);
    A.topRightCorner(n_air, n_rest) = columns.cast<Complex>();
    A.bottomLeftCorner(n_rest, n_air) = columns.transpose().cast<Complex>();
    A.bottomRightCorner(n_rest, n_rest) = source_system(cabinet, f_Hz, Z_ss);
    return A;
}

MatrixXcd wall_load(const Coupled& cabinet, double f_Hz, const MatrixXcd& Z)
{
    const Index n = cabinet.walls.size();
    MatrixXcd load = Z.topLeftCorner(n, n);
    if (cabinet.carried.size() > 0) load.imag() += angular(f_Hz) * cabinet.carried;
    for (const SourceModel& m : cabinet.sources)
        if (hangs(m)) load += suspension(m, angular(f_Hz)) * m.stretch.transpose() * m.stretch;
    return load;
}

MatrixXcd wall_columns(const Coupled& cabinet, double f_Hz, const MatrixXcd& Z)
{
    const Index n_air = cabinet.air.size(), n_sources = static_cast<Index>(cabinet.sources.size()),
                n_walls = cabinet.walls.size();
    MatrixXcd columns = MatrixXcd::Zero(n_air + n_sources + cabinet.n_ports(), n_walls);
    columns.topRows(n_air) = -cabinet.C;
    columns.middleRows(n_air, n_sources) = Z.bottomLeftCorner(n_sources, n_walls);
    for (Index i = 0; i < n_sources; ++i) {
        const SourceModel& m = cabinet.sources[place(i)];
        if (m.cone) columns.row(n_air + i) += Complex(0, angular(f_Hz) * m.moving_mass) * m.frame;
        if (hangs(m)) columns.row(n_air + i) += suspension(m, angular(f_Hz)) * m.stretch;
    }
    return columns;
}

MovingAndStill solve_coupled(const Coupled& cabinet, double f_Hz, const MatrixXcd& Z)
{
    const Index n_sources = static_cast<Index>(cabinet.sources.size()), n_walls = cabinet.walls.size();
    const MatrixXcd inner = inner_system(cabinet, f_Hz, Z.bottomRightCorner(n_sources, n_sources)),
                    columns = wall_columns(cabinet, f_Hz, Z);
    MatrixXcd all(n_walls + inner.rows(), n_walls + inner.rows());
    all.topLeftCorner(n_walls, n_walls) =
        Complex(0, -1 / angular(f_Hz)) * cabinet.walls.dynamic_stiffness(f_Hz) + wall_load(cabinet, f_Hz, Z);
    all.bottomLeftCorner(inner.rows(), n_walls) = columns;
    all.topRightCorner(n_walls, inner.rows()) = columns.transpose();
    all.bottomRightCorner(inner.rows(), inner.rows()) = inner;
    const std::vector<Loop> loops = loops_of(cabinet, f_Hz);
    return {solve(cabinet, loops, std::move(all), n_walls), solve(cabinet, loops, inner, 0)};
}

StillAnswer solve_still(const Coupled& cabinet, double f_Hz, const MatrixXcd& Z, const MatrixXcd& pushes)
{
    const Index n_sources = static_cast<Index>(cabinet.sources.size()), n_air = cabinet.air.size();
    const std::vector<Loop> loops = loops_of(cabinet, f_Hz);
    const MatrixXcd inner = inner_system(cabinet, f_Hz, Z.bottomRightCorner(n_sources, n_sources));
    const auto n_ways = static_cast<Index>(cabinet.circuits.size());
    MatrixXcd b = MatrixXcd::Zero(inner.rows(), n_ways + pushes.cols());
    b.block(n_air, 0, n_sources, n_ways) = motor_forces(cabinet, loops);
    b.rightCols(pushes.cols()) = pushes;
    const MatrixXcd x = internal::DenseLu(inner).solve(std::move(b));
    return {read_motion(cabinet, loops, x.leftCols(n_ways), 0), x.rightCols(pushes.cols())};
}

std::optional<double> tuning_estimate(const Coupled& cabinet, std::optional<Index> chamber)
{
    const AirBasis& air = cabinet.air;
    std::vector<const SourceModel*> sources;
    double volume = air.volume;
    for (std::size_t s = 0; s < cabinet.sources.size(); ++s) {
        if (chamber) {
            // A chamber's uniform pressure is c/√V in it and feels a source by just that: Σ w = 1.
            const double felt = air.inputs(*chamber, static_cast<Index>(s)) / air.air.sound_speed;
            if (felt * felt * air.volume < 0.5) continue;
            volume = 1 / (felt * felt);
        }
        sources.push_back(&cabinet.sources[s]);
    }
    return box_tuning(sources, volume, air.air);
}

double leak_admittance(const Coupled& cabinet, double leakage_Q)
{
    if (!(leakage_Q > 0)) throw DomainError("leaks: Q must be above 0");
    double omega = angular(tuning_estimate(cabinet).value_or(0));
    for (const SourceModel& m : cabinet.sources) {
        if (omega > 0 || !m.cone || !(m.inner_area > 0)) continue;
        omega = std::sqrt((1 / m.cone->Cms + m.inner_area * m.inner_area / compliance(cabinet)) / m.cone->Mms);
    }
    return omega * compliance(cabinet) / (leakage_Q * cabinet.air.face_area);
}

} // namespace stillwall::solver
