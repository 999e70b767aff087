// A driver that hangs, driven: the forces between cone, motor and box.

#include "solver/drive/coupled.h"

#include <Eigen/Dense>
#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

using namespace stillwall;
using Complex = std::complex<double>;

namespace {

constexpr double box_mass = 9, motor_mass = 1.6, legs = 2.2e7, legs_loss = 0.02; // [kg], [kg], [N/m], [-]

SmallSignal woofer()
{
    SmallSignal s;
    s.Re = 6;
    s.Bl = 7;
    s.Mms = 0.02;
    s.Cms = 2e-5; // stiff, so that the suspension's force is felt
    s.Rms = 3;
    s.Sd = 0.014;
    return s;
}

/// Box and motor as two masses free in space, nothing round them; the cone's mass counts with the motor's.
solver::Coupled two_masses()
{
    solver::Coupled c;
    const double b = 1 / std::sqrt(box_mass), m = 1 / std::sqrt(motor_mass);
    const Eigen::RowVector2d stretch(-b, m);
    c.walls.V = Eigen::Vector2d(b, m).asDiagonal();
    c.walls.K = legs * stretch.transpose() * stretch;
    c.walls.K_loss = legs_loss * c.walls.K;
    c.C = Eigen::MatrixXd(0, 2);
    c.air.inputs = Eigen::MatrixXd(0, 1);
    solver::SourceModel cone;
    cone.source.kind = solver::Source::Kind::Cone;
    cone.cone = woofer();
    cone.moving_mass = woofer().Mms;
    cone.frame = Eigen::RowVector2d(0, m);
    cone.stretch = stretch;
    c.sources = {cone};
    c.circuits = {{{{0, 1}}, false}};
    return c;
}

} // namespace

TEST_CASE("a hanging driver free in space: three bodies and no net force", "[sound][basket]")
{
    const solver::Coupled cabinet = two_masses();
    const SmallSignal s = woofer();
    for (const double f : {30.0, 250.0, 590.0, 640.0, 2000.0}) {
        const Complex jw(0, 2 * std::numbers::pi * f);
        const auto motion = solver::solve_coupled(cabinet, f, Eigen::MatrixXcd::Zero(3, 3)).moving;
        const Complex box = motion.walls(0, 0) / std::sqrt(box_mass),
                      motor = motion.walls(1, 0) / std::sqrt(motor_mass), cone = motor + motion.sources(0, 0);
        // Reference: Newton for box, motor without cone, and cone, velocities unknown; suspension between cone and box,
        // coil between cone and motor, E = 1 V. Tolerance: round-off of small systems.
        const Complex z_s = s.Rms + 1.0 / (jw * s.Cms), z_b = legs * Complex(1, legs_loss) / jw;
        const double bl = s.Bl * s.Bl / s.Re;
        Eigen::Matrix3cd A;
        A << jw * box_mass + z_b + z_s, -z_b, -z_s,          //
            -z_b, jw * (motor_mass - s.Mms) + z_b + bl, -bl, //
            -z_s, -bl, jw * s.Mms + z_s + bl;
        const Eigen::Vector3cd v = A.partialPivLu().solve(Eigen::Vector3cd(0, -s.Bl / s.Re, s.Bl / s.Re));
        CAPTURE(f);
        CHECK(std::abs(box - v[0]) < 1e-9 * std::abs(v[0]));
        CHECK(std::abs(motor - v[1]) < 1e-9 * std::abs(v[1]));
        CHECK(std::abs(cone - v[2]) < 1e-9 * std::abs(v[2]));
        // Reference: nothing outside pushes, so the momenta cancel.
        CHECK(std::abs(box_mass * box + (motor_mass - s.Mms) * motor + s.Mms * cone) < 1e-9 * s.Mms * std::abs(cone));
        // Back-EMF: the coil against its motor.
        CHECK(std::abs(motion.current[0] - (1.0 - s.Bl * (cone - motor)) / s.Re) < 1e-9 * std::abs(motion.current[0]));
    }
}
