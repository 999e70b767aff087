#include "solver/air/port.h"

#include "mesh/cabinet/error.h"
#include "mesh/cabinet/opening.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <numbers>

namespace stillwall::solver {
namespace {

using Complex = std::complex<double>;
constexpr double pi = std::numbers::pi;
constexpr Complex j{0, 1};
constexpr double gamma = 1.4, prandtl = 0.71; ///< of air
constexpr int n_flare = 16;                   ///< pieces of a flare, of equal angle

/// ν [m²/s]; the temperature from the speed of sound, c ∝ √T with 331.3 m/s at 273.15 K (air.h).
double kinematic_viscosity(const Air& air)
{
    const double T = 273.15 * std::pow(air.sound_speed / 331.3, 2);
    constexpr double mu_0 = 1.716e-5, T_0 = 273, C = 111;
    return mu_0 * std::pow(T / T_0, 1.5) * (T_0 + C) / (T + C) / air.density;
}

/// F(z) = 2 I₁(z)/(z I₀(z)), Re z > 0.
Complex bessel_share(Complex z)
{
    const double size = std::abs(z);
    if (size > 30) { // asymptotic I₁/I₀; the next term is below 3e-6
        const Complex w = 1.0 / z;
        return 2.0 * w * (1.0 - w * (0.5 + w * (0.125 + w * 0.125)));
    }
    // I₁/I₀ = 1/(2/z + 1/(4/z + 1/(6/z + …))), from behind; terms beyond |z| fall off like 1/n!
    Complex tail = 0;
    for (int n = static_cast<int>(size) + 25; n >= 1; --n) tail = 1.0 / (2.0 * n / z + tail);
    return 2.0 / z * tail;
}

double perimeter_of(const Opening& opening)
{
    const OpeningCore core = opening_core(opening);
    const std::size_t n = core.corners.size();
    double around = 2 * pi * core.radius; // Steiner
    for (std::size_t i = 0; n > 1 && i < n; ++i) around += (core.corners[(i + 1) % n] - core.corners[i]).norm();
    return around;
}

void check(double length, double area, double perimeter, double flare)
{
    if (!(length > 0) || !std::isfinite(length))
        throw DomainError(fmt::format("port length must be > 0 mm, got {:.4g} mm", length * 1e3));
    if (!(area > 0) || !std::isfinite(area))
        throw DomainError(fmt::format("port area must be > 0 mm², got {:.4g} mm²", area * 1e6));
    if (!(perimeter >= 0.999 * 2 * std::sqrt(pi * area)) || !std::isfinite(perimeter))
        throw DomainError(
            fmt::format("port perimeter must be at least that of a circle of its area, {:.4g} mm, got {:.4g} mm",
                        2e3 * std::sqrt(pi * area), perimeter * 1e3));
    if (!(flare >= 0) || flare > length / 2 * (1 + 1e-9))
        throw DomainError(
            fmt::format("port flare must lie between 0 and half the port's length, {:.4g} mm, got {:.4g} mm",
                        length * 500, flare * 1e3));
}

} // namespace

Port::Port(double length, double area, double perimeter, double flare) : length_(length), area_(area)
{
    check(length, area, perimeter, flare);
    const auto area_at = [&](double y) { return area + y * (perimeter + pi * y); };
    const double half = pi / (4 * n_flare), gauss = half / std::sqrt(3.0);
    for (int i = 0; flare > 0 && i < n_flare; ++i) {
        const double middle = half * (2 * i + 1); // angle from the end; x = r (1 − cos φ), y = r (1 − sin φ)
        Piece piece{0, 0, 0};
        for (const double phi : {middle - gauss, middle + gauss}) {
            const double dx = flare * std::sin(phi) * half, S = area_at(flare * (1 - std::sin(phi)));
            piece.mass_over_density += dx / S;
            piece.volume += dx * S;
        }
        const double y = flare * (1 - std::sin(middle));
        piece.radius = 2 * area_at(y) / (perimeter + 2 * pi * y);
        pieces_.push_back(piece);
    }
    const std::vector<Piece> inner_flare = pieces_;
    if (const double throat = length - 2 * flare; throat > 1e-9 * length)
        pieces_.push_back({throat / area, throat * area, 2 * area / perimeter});
    pieces_.insert(pieces_.end(), inner_flare.rbegin(), inner_flare.rend());
}

PortLine Port::at(double f, const Air& air) const
{
    if (!(f > 0) || !std::isfinite(f)) throw DomainError(fmt::format("frequency must be > 0 Hz, got {} Hz", f));
    const double omega = 2 * pi * f, stiffness = air.bulk_modulus();
    const Complex root = std::sqrt(j * omega / kinematic_viscosity(air));
    // (p, U) at the inner end of a piece from those at its outer end; the product over all pieces.
    Complex A = 1, B = 0, C = 0, D = 1;
    for (const Piece& piece : pieces_) {
        const Complex drag = bessel_share(piece.radius * root);
        const Complex heat = bessel_share(piece.radius * root * std::sqrt(prandtl));
        const Complex series = omega * air.density * piece.mass_over_density / (1.0 - drag); // over j
        const Complex shunt = omega * piece.volume / stiffness * (1.0 + (gamma - 1) * heat); // over j
        const Complex kL = std::sqrt(series * shunt), Zc = std::sqrt(series / shunt);
        const Complex c = std::cos(kL), s = j * std::sin(kL);
        const std::array<Complex, 4> left{A, B, C, D};
        A = left[0] * c + left[1] * s / Zc;
        B = left[0] * s * Zc + left[1] * c;
        C = left[2] * c + left[3] * s / Zc;
        D = left[2] * s * Zc + left[3] * c;
    }
    return {A / C, 1.0 / C, D / C};
}

double Port::mass_over_density() const
{
    double sum = 0;
    for (const Piece& piece : pieces_) sum += piece.mass_over_density;
    return sum;
}

Port port_of(const Board& board, const Opening& opening)
{
    const double length = opening.insert.port_length.value_or(board.thickness());
    return {length, opening_area(opening), perimeter_of(opening), opening.insert.flare};
}

} // namespace stillwall::solver
