#include "solver/measured/bar.h"

#include "mesh/cabinet/error.h"

#include <cmath>
#include <numbers>
#include <string>

namespace stillwall::solver {
namespace {

using std::numbers::pi;

double cube(double x)
{
    return x * x * x;
}

/// Root of a function that changes sign between low and high, by false position. Halving the value at the end that
/// stays put (the Illinois rule, Dowell & Jarratt, BIT 11 (1971) 168) makes it fast; every fourth step halves the
/// interval to be safe.
template <class Function> // a local lambda each time
double find_root(const Function& f, double low, double high)
{
    double f_low = f(low), f_high = f(high);
    int last_side = 0;
    double last_x = high;
    for (int i = 1; i < 200 && high - low > 1e-15 * std::abs(high); ++i) {
        const double secant = high - f_high * (high - low) / (f_high - f_low);
        const bool is_inside = secant > low && secant < high && i % 4 != 0;
        const double x = is_inside ? secant : 0.5 * (low + high);
        const double f_x = f(x);
        if (f_x == 0 || (is_inside && std::abs(x - last_x) < 1e-15 * std::abs(x))) return x;
        last_x = x;
        const int side = (f_x < 0) == (f_low < 0) ? -1 : 1;
        (side < 0 ? low : high) = x;
        (side < 0 ? f_low : f_high) = f_x;
        if (side == last_side) (side < 0 ? f_high : f_low) *= 0.5;
        last_side = side;
    }
    return 0.5 * (low + high);
}

/// The two wave numbers (times L) of Timoshenko's beam at b, and σ = b² s² = ρ ω² L² / (k G).
/// Deflection cosh(λ1 ξ), cos(λ2 ξ) …; rotation from the balance of shear forces: ψ' = w'' + σ w.
struct Waves
{
    double l1 = 0, l2 = 0, sigma = 0;
    Waves(double b, double r2, double s2)
    {
        const double root = std::sqrt((r2 - s2) * (r2 - s2) + 4 / (b * b));
        // Written without a difference of near equals: root² − (r² + s²)² = 4 (1/b² − r² s²).
        l1 = b * std::sqrt(2 * (1 / (b * b) - r2 * s2) / (root + r2 + s2));
        l2 = b * std::sqrt((root + r2 + s2) / 2);
        sigma = b * b * s2;
    }
};

/// Free ends: moment ψ' and shear w' − ψ vanish at ξ = ±1/2. By symmetry two unknowns each; odd modes are symmetric.
double free_free(double b, double r2, double s2, bool is_symmetric)
{
    const Waves w(b, r2, s2);
    const double p = (w.l1 * w.l1 + w.sigma) / w.l2, q = (w.l2 * w.l2 - w.sigma) / w.l1;
    const double t = std::tanh(w.l1 / 2), s = std::sin(w.l2 / 2), c = std::cos(w.l2 / 2);
    return is_symmetric ? p * s + q * t * c : p * t * c - q * s;
}

/// w = ψ = 0 at 0, moment and shear vanish at 1; divided by cosh² to stay finite.
double clamped_free(double b, double r2, double s2)
{
    const Waves w(b, r2, s2);
    const double p1 = (w.l1 * w.l1 + w.sigma) / w.l1, p2 = (w.l2 * w.l2 - w.sigma) / w.l2;
    const double e = 1 / std::cosh(w.l1), t = std::tanh(w.l1), s = std::sin(w.l2), c = std::cos(w.l2);
    return (p1 * w.l1 + p2 * w.l2 * c * e) * (1 / w.l1 + p1 / p2 * c * e / w.l2) -
           p1 * (w.l1 * t + w.l2 * s * e) * (t / w.l1 - s * e / w.l2);
}

void require(bool is_good, const char* what)
{
    if (!is_good) throw DomainError(what);
}

/// Torsion with warping: θ = sinh or cosh(μ1 x) and sin or cos(μ2 x), h the half length; free of torque and bimoment at
/// the ends.
double torsion_ends(double mu1, double mu2, double h, bool is_odd_shape)
{
    const double ratio = cube(mu2 / mu1), t = std::tanh(mu1 * h), s = std::sin(mu2 * h), c = std::cos(mu2 * h);
    return is_odd_shape ? ratio * s - t * c : s + ratio * t * c;
}

} // namespace

double bending_number(BarEnds ends, int mode, double thickness_over_length, double E_over_G)
{
    require(mode >= 1 && mode <= highest_bar_mode, "bar mode must be 1 to 6");
    require(thickness_over_length >= 0 && thickness_over_length <= 0.25, "t/L of a bar must lie between 0 and 0.25");
    require(E_over_G >= 0 && E_over_G <= 1000, "E/G of a bar must lie between 0 and 1000");
    const double r2 = thickness_over_length * thickness_over_length / 12;
    const double s2 = r2 * E_over_G / shear_correction;
    const auto value = [&](double root_b) {
        const double b = root_b * root_b;
        return ends == BarEnds::FreeFree ? free_free(b, r2, s2, mode % 2 == 1) : clamped_free(b, r2, s2);
    };
    // Shear and rotary inertia only lower b; without them √b is (n + 1/2) π and (n − 1/2) π to within 0.31.
    const bool is_free = ends == BarEnds::FreeFree;
    const double top = (mode + (is_free ? 0.5 : -0.5)) * pi + 0.35;
    const double cut_off = r2 * s2 > 0 ? std::pow(r2 * s2, -0.25) : top;
    // Where shear rules, neighbours lie π/s apart in b; below the cut-off and for E/G <= 1000 the step stays under 0.4
    // of that. Below 0.5 only rounding is seen.
    constexpr double first = 0.5, step = 0.1;
    int n_left = is_free ? (mode + 1) / 2 : mode; // free-free: symmetric and antisymmetric modes are counted apart
    for (double low = first; low < top; low += step) {
        const double high = low + step;
        if (high >= cut_off) break;
        if ((value(low) < 0) != (value(high) < 0) && --n_left == 0) {
            const double root = find_root(value, low, high);
            return root * root;
        }
    }
    throw DomainError("bending mode " + std::to_string(mode) + " of so thick a bar lies beyond beam theory");
}

double bending_modulus(const Bar& bar, BarEnds ends, int mode, double f, double E_over_G)
{
    const double b_n = bending_number(ends, mode, bar.thickness / bar.length, E_over_G);
    const double inertia = bar.width * cube(bar.thickness) / 12;
    const double omega = 2 * pi * f;
    return omega * omega * cube(bar.length) * bar.mass / (inertia * b_n * b_n);
}

double astm_bending_factor(double thickness_over_length, double nu)
{
    const double x2 = thickness_over_length * thickness_over_length, x4 = x2 * x2;
    return 1 + 6.585 * (1 + 0.0752 * nu + 0.8109 * nu * nu) * x2 - 0.868 * x4 -
           8.340 * (1 + 0.2023 * nu + 2.173 * nu * nu) * x4 / (1 + 6.338 * (1 + 0.1408 * nu + 1.536 * nu * nu) * x2);
}

double astm_bending_modulus(const Bar& bar, double f, double nu)
{
    return 0.9465 * bar.mass * f * f / bar.width * cube(bar.length / bar.thickness) *
           astm_bending_factor(bar.thickness / bar.length, nu);
}

double torsion_constant(double width_over_thickness)
{
    const double ratio = width_over_thickness;
    require(ratio > 0, "sides of a rectangle must be > 0");
    if (ratio < 1) return ratio * ratio * torsion_constant(1 / ratio); // b t³ β is the same with the sides exchanged
    double sum = 0;
    for (int n = 1; n < 200; n += 2) sum += std::tanh(n * pi * ratio / 2) / std::pow(n, 5);
    return (1 - 192 / std::pow(pi, 5) / ratio * sum) / 3;
}

double torsion_modulus(const Bar& bar, int mode, double f, double E, std::optional<double> G_t)
{
    require(mode >= 1 && mode <= highest_bar_mode, "bar mode must be 1 to 6");
    const double b = bar.width, t = bar.thickness, h = bar.length / 2;
    const double rho = bar.mass / (bar.length * b * t);
    const double polar = rho * b * t * (b * b + t * t) / 12;
    const double gamma = cube(b) * cube(t) / 144; // warping constant
    const double omega2 = std::pow(2 * pi * f, 2);
    // Wave numbers: E Γ μ⁴ ∓ T μ² − ρ I_p ω² = 0, T = G J − ρ Γ ω². T follows from μ2, then μ1² = μ2² + T / (E Γ).
    const auto stiffness = [&](double mu2) { return polar * omega2 / (mu2 * mu2) - E * gamma * mu2 * mu2; };
    const auto ends = [&](double x) {
        const double mu2 = x / h;
        const double mu1 = std::sqrt(polar * omega2 / (E * gamma)) / mu2; // product of the roots
        return torsion_ends(mu1, mu2, h, mode % 2 == 1);
    };
    const double x = find_root(ends, (mode - 0.9999) * pi / 2, mode * pi / 2);
    const double rigidity = stiffness(x / h) + rho * gamma * omega2; // G J
    require(rigidity > 0, "the bending of the section's warping alone is stiffer than this torsion mode");
    if (!G_t) return rigidity / (b * cube(t) * torsion_constant(b / t));
    // However stiff in its plane, the bar twists by shear through its thickness: G J < G_t b³ t / 3.
    require(rigidity < 0.99 * *G_t * cube(b) * t / 3, "no in-plane modulus makes the bar so stiff in torsion");
    const auto excess = [&](double log_G) {
        const double G = std::exp(log_G);
        return G * b * cube(t) * torsion_constant(b / t * std::sqrt(*G_t / G)) - rigidity;
    };
    const double least = std::log(3 * rigidity / (b * cube(t)));
    return std::exp(find_root(excess, least, least + std::log(1e5)));
}

double astm_torsion_modulus(const Bar& bar, double f)
{
    const double b_t = bar.width / bar.thickness, t_b = 1 / b_t;
    const double B = (b_t + t_b) / (4 * t_b - 2.52 * t_b * t_b + 0.21 * std::pow(t_b, 6));
    const double A =
        (0.5062 - 0.8776 * b_t + 0.3504 * b_t * b_t - 0.0078 * cube(b_t)) / (12.03 * b_t + 9.892 * b_t * b_t);
    return 4 * bar.length * bar.mass * f * f / (bar.width * bar.thickness) * B / (1 + A);
}

double three_point_modulus(double span, double width, double thickness, double slope)
{
    return cube(span) * slope / (4 * width * cube(thickness));
}

double three_point_shear_share(double thickness_over_span, double E_over_G)
{
    return E_over_G * thickness_over_span * thickness_over_span / shear_correction;
}

double loss_of_decay(double f, double drop_dB, double seconds)
{
    return drop_dB * std::numbers::ln10 / (20 * pi * f * seconds);
}

double loss_of_decrement(double decrement)
{
    return decrement / pi;
}

double loss_of_bandwidth(double f, double bandwidth)
{
    return bandwidth / f;
}

} // namespace stillwall::solver
