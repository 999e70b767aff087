#include "solver/drive/coupled.h"

#include "solver/internal/dense_lu.h"

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

Complex mechanical_impedance(const SourceModel& m, double omega)
{
    return {m.cone->Rms, omega * m.moving_mass - 1 / (omega * m.cone->Cms)};
}

/// V/(ρc²) [m⁵/N].
double compliance(const Coupled& cabinet)
{
    const Air& air = cabinet.air.air;
    return cabinet.air.volume / (air.density * air.sound_speed * air.sound_speed);
}

/// Adds the motors' Bl²/Ze to the sources' block.
void add_motors(const Coupled& cabinet, double f_Hz, Eigen::Ref<MatrixXcd> block)
{
    for (const Coupled::Circuit& circuit : cabinet.circuits) {
        Complex sum = 0;
        for (const auto& d : circuit.drivers) sum += coil_impedance(*cabinet.sources[place(d.source)].cone, f_Hz);
        for (const auto& i : circuit.drivers) {
            const SmallSignal& a = *cabinet.sources[place(i.source)].cone;
            if (!circuit.is_series) {
                block(i.source, i.source) += a.Bl * a.Bl / coil_impedance(a, f_Hz);
                continue;
            }
            for (const auto& j : circuit.drivers)
                block(i.source, j.source) += i.sign * j.sign * a.Bl * cabinet.sources[place(j.source)].cone->Bl / sum;
        }
    }
}

/// Forces on the cones per volt of each way, shape (sources, ways).
MatrixXcd motor_forces(const Coupled& cabinet, double f_Hz)
{
    MatrixXcd F =
        MatrixXcd::Zero(static_cast<Index>(cabinet.sources.size()), static_cast<Index>(cabinet.circuits.size()));
    for (std::size_t w = 0; w < cabinet.circuits.size(); ++w) {
        const Coupled::Circuit& circuit = cabinet.circuits[w];
        Complex sum = 0;
        for (const auto& d : circuit.drivers) sum += coil_impedance(*cabinet.sources[place(d.source)].cone, f_Hz);
        for (const auto& d : circuit.drivers) {
            const SmallSignal& cone = *cabinet.sources[place(d.source)].cone;
            F(d.source, static_cast<Index>(w)) =
                d.sign * cone.Bl / (circuit.is_series ? sum : coil_impedance(cone, f_Hz));
        }
    }
    return F;
}

Complex current_of(const Coupled& cabinet, std::size_t way, double f_Hz, const Eigen::VectorXcd& r)
{
    const Coupled::Circuit& circuit = cabinet.circuits[way];
    Complex current = 0, impedance = 0, back = 0;
    for (const auto& d : circuit.drivers) {
        const SmallSignal& cone = *cabinet.sources[place(d.source)].cone;
        const Complex Ze = coil_impedance(cone, f_Hz), voltage = d.sign * cone.Bl * r[d.source];
        current += (1.0 - voltage) / Ze;
        impedance += Ze;
        back += voltage;
    }
    return circuit.is_series ? (1.0 - back) / impedance : current;
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
    if (!(cone.Le > 0)) return cone.Re;
    const double n = cone.Le_exponent, omega_0 = angular(1000), omega = angular(f_Hz);
    const double K = omega_0 * cone.Le / (std::pow(omega_0, n) * std::sin(n * std::numbers::pi / 2));
    return cone.Re + K * std::pow(omega, n) * std::polar(1.0, n * std::numbers::pi / 2);
}

bool is_passive(const SourceModel& model)
{
    return model.source.kind == Source::Kind::Passive;
}

Index Coupled::n_ports() const
{
    return std::count_if(sources.begin(), sources.end(), [](const SourceModel& s) { return s.port.has_value(); });
}

MatrixXcd inner_system(const Coupled& cabinet, double f_Hz, const MatrixXcd& Z)
{
    const Index n_air = cabinet.air.size(), n_sources = static_cast<Index>(cabinet.sources.size());
    const Complex jw(0, angular(f_Hz));
    MatrixXcd A = MatrixXcd::Zero(n_air + n_sources + cabinet.n_ports(), n_air + n_sources + cabinet.n_ports());
    A.topLeftCorner(n_air, n_air) = (-1.0 / jw) * cabinet.air.stiffness(f_Hz, cabinet.face_admittance);
    A.block(n_air, n_air, n_sources, n_sources) = Z.bottomRightCorner(n_sources, n_sources);
    add_motors(cabinet, f_Hz, A.block(n_air, n_air, n_sources, n_sources));
    Index mouth = n_air + n_sources;
    for (Index i = 0; i < n_sources; ++i) {
        const SourceModel& m = cabinet.sources[place(i)];
        const Index at = n_air + i;
        if (m.cone) {
            A(at, at) += mechanical_impedance(m, jw.imag());
            A.block(0, at, n_air, 1) = -m.inner_area * cabinet.air.inputs.col(i);
            A.block(at, 0, 1, n_air) = -m.inner_area * cabinet.air.inputs.col(i).transpose();
            continue;
        }
        const PortLine line = m.port->at(f_Hz, cabinet.air.air);
        A(at, at) += line.Z22;
        A(mouth, mouth) = line.Z11;
        A(at, mouth) = A(mouth, at) = -line.Z12;
        A.block(0, mouth, n_air, 1) = -cabinet.air.inputs.col(i);
        A.block(mouth, 0, 1, n_air) = -cabinet.air.inputs.col(i).transpose();
        ++mouth;
    }
    return A;
}

MatrixXcd wall_load(const Coupled& cabinet, double f_Hz, const MatrixXcd& Z)
{
    const Index n = cabinet.walls.size();
    MatrixXcd load = Z.topLeftCorner(n, n);
    if (cabinet.carried.size() > 0) load.imag() += angular(f_Hz) * cabinet.carried;
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
    }
    return columns;
}

Motion solve_coupled(const Coupled& cabinet, double f_Hz, const MatrixXcd& Z, bool walls_move)
{
    const Index n_air = cabinet.air.size(), n_sources = static_cast<Index>(cabinet.sources.size());
    const Index n_inner = n_air + n_sources + cabinet.n_ports(), n_walls = walls_move ? cabinet.walls.size() : 0;
    const Index n_ways = static_cast<Index>(cabinet.circuits.size());
    MatrixXcd A(n_walls + n_inner, n_walls + n_inner);
    A.bottomRightCorner(n_inner, n_inner) = inner_system(cabinet, f_Hz, Z);
    if (walls_move) {
        A.topLeftCorner(n_walls, n_walls) =
            Complex(0, -1 / angular(f_Hz)) * cabinet.walls.dynamic_stiffness(f_Hz) + wall_load(cabinet, f_Hz, Z);
        const MatrixXcd columns = wall_columns(cabinet, f_Hz, Z);
        A.bottomLeftCorner(n_inner, n_walls) = columns;
        A.topRightCorner(n_walls, n_inner) = columns.transpose();
    }
    MatrixXcd b = MatrixXcd::Zero(A.rows(), n_ways);
    b.middleRows(n_walls + n_air, n_sources) = motor_forces(cabinet, f_Hz);
    const MatrixXcd x = internal::DenseLu(std::move(A)).solve(std::move(b));
    Motion motion;
    motion.walls = walls_move ? MatrixXcd(x.topRows(n_walls)) : MatrixXcd::Zero(cabinet.walls.size(), n_ways);
    motion.air = x.middleRows(n_walls, n_air);
    motion.sources = x.middleRows(n_walls + n_air, n_sources);
    motion.mouths = x.bottomRows(cabinet.n_ports());
    motion.current.resize(n_ways);
    for (Index w = 0; w < n_ways; ++w) motion.current[w] = current_of(cabinet, place(w), f_Hz, motion.sources.col(w));
    return motion;
}

double tuning_estimate(const Coupled& cabinet)
{
    double inverse_mass = 0, stiffening = 0; // Σ 1/M [m⁴/kg], Σ 1/(M² C)
    for (const SourceModel& m : cabinet.sources) {
        if (m.port) {
            const double ends = 0.85 + 0.61; // flanged inside, nearly free outside
            const double L_over_S = m.port->mass_over_density() + ends / std::sqrt(std::numbers::pi * m.port->area());
            inverse_mass += 1 / (cabinet.air.air.density * L_over_S);
        } else if (is_passive(m)) {
            inverse_mass += m.area * m.area / m.cone->Mms;
            stiffening += m.area * m.area / (m.cone->Mms * m.cone->Mms * m.cone->Cms);
        }
    }
    if (!(inverse_mass > 0)) return 0;
    return std::sqrt(inverse_mass / compliance(cabinet) + stiffening / inverse_mass) / (2 * std::numbers::pi);
}

double leak_admittance(const Coupled& cabinet, double leakage_Q)
{
    if (!(leakage_Q > 0)) return 0;
    double omega = angular(tuning_estimate(cabinet));
    for (const SourceModel& m : cabinet.sources) {
        if (omega > 0 || !m.cone || !(m.inner_area > 0)) continue;
        omega = std::sqrt((1 / m.cone->Cms + m.inner_area * m.inner_area / compliance(cabinet)) / m.cone->Mms);
    }
    return omega * compliance(cabinet) / (leakage_Q * cabinet.air.face_area);
}

} // namespace stillwall::solver
