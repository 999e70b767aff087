// Damped beams: two leaves with a film between them against the theories of constrained layers, a stiff layer against
// Oberst's.

#include "tests/published/checks.h"

#include "solver/linalg/complex_modes.h"
#include "solver/structure/shell/assembly.h"
#include "solver/structure/shell/film.h"
#include "solver/structure/shell/nine_nodes.h"

#include <Eigen/Eigenvalues>

#include <cmath>
#include <numbers>

namespace stillwall::published {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using solver::ElementFamily;
using solver::Section;

/// A beam of two leaves over one mid-plane, one row of nine-node elements along x.
struct Beam
{
    double length, width; ///< [m]
    Material lower, upper;
    double h_lower, h_film, h_upper; ///< [m]
    double G_film, nu_film, rho_film, loss_film;
    enum class Ends
    {
        Clamped,
        SimplySupported
    } ends = Ends::Clamped;
    int n_elements = 24;
};

/// A leaf's section with its mid-plane offset and half the film's mass on the face it sticks to.
Section leaf(const Material& material, double thickness, double z_bottom, double film_mass, double film_z)
{
    const std::vector<Ply> plies = {{0, thickness, 0}};
    Section s = solver::make_section(plies, {material}, 0, z_bottom);
    s.mass += film_mass;
    s.mass_moment += film_mass * film_z;
    s.mass_inertia += film_mass * film_z * film_z;
    return s;
}

struct BeamModel
{
    solver::SystemMatrices system;
    std::vector<int> held;
};

BeamModel assemble(const Beam& beam)
{
    const int n_x = 2 * beam.n_elements + 1, n = 3 * n_x; // nodes of one leaf
    Eigen::Matrix3Xd X(3, n);
    for (int i = 0; i < n_x; ++i)
        for (int j = 0; j < 3; ++j) X.col(3 * i + j) << beam.length * i / (n_x - 1), beam.width * j / 2, 0;
    const double total = beam.h_lower + beam.h_film + beam.h_upper;
    const double z0 = -total / 2, z1 = z0 + beam.h_lower, z2 = z1 + beam.h_film;
    const double half = beam.rho_film * beam.h_film / 2;
    const Section lower = leaf(beam.lower, beam.h_lower, z0, half, z1);
    const Section upper = leaf(beam.upper, beam.h_upper, z2, half, z2);

    std::vector<std::vector<int>> elements;
    for (int e = 0; e < beam.n_elements; ++e) {
        const int a = 6 * e, b = a + 3, c = a + 6;
        elements.push_back({a, c, c + 2, a + 2, b, c + 1, b + 2, a + 1, b + 1});
    }
    const auto with_upper = [n](std::vector<int> nodes) {
        for (std::size_t i = 0; i < 9; ++i) nodes.push_back(nodes[i] + n);
        return nodes;
    };
    std::vector<std::vector<int>> groups;
    for (const auto& element : elements) groups.push_back(with_upper(element));
    solver::SystemBuilder builder(2 * n, groups, true);
    for (const auto& element : elements) {
        const auto points =
            solver::strain_points(solver::nine_nodes(), solver::element_nodes(X, element), Eigen::Vector3d::UnitX());
        const auto lo = solver::element_matrices(points, lower);
        const auto up = solver::element_matrices(points, upper);
        const auto both = with_upper(element);
        builder.add(element, lo.K, lo.M);
        builder.add(std::span(both).subspan(9), up.K, up.M);
        MatrixXd K = MatrixXd::Zero(108, 108);
        const Eigen::Vector3d k = solver::film_stiffness(beam.G_film, beam.nu_film, beam.h_film);
        for (const auto& p : solver::film_points(points, Eigen::Vector3d::UnitX(), z1, beam.h_film))
            K += p.B.transpose() * (p.weight * k).asDiagonal() * p.B;
        builder.add(both, K, {}, beam.loss_film * K);
    }
    BeamModel model{builder.take(), {}};
    for (int leaf_index = 0; leaf_index < 2; ++leaf_index)
        for (int node = 0; node < n; ++node) {
            const int at = 6 * (node + leaf_index * n);
            const bool is_end = node < 3 || node >= n - 3;
            if (beam.ends == Beam::Ends::Clamped && node < 3)
                for (int k = 0; k < 6; ++k) model.held.push_back(at + k);
            if (beam.ends == Beam::Ends::SimplySupported && is_end) model.held.push_back(at + 2);
            // Bending in the x-z plane alone: no sideways motion of the line of nodes in the middle, no roll of it.
            if (node % 3 == 1)
                for (int k : {1, 3, 5}) model.held.push_back(at + k);
            if (beam.ends == Beam::Ends::SimplySupported && node == 3 * beam.n_elements + 1 && leaf_index == 0)
                model.held.push_back(at);
        }
    solver::hold(model.system, model.held);
    return model;
}

/// Frequencies [Hz], then loss factors over that of the film.
std::vector<double> modes_of(const Beam& beam, double f_top, Index n)
{
    const BeamModel model = assemble(beam);
    solver::EigenOptions options;
    options.f_max = f_top;
    const auto real = solver::lowest_modes(model.system.K, model.system.M, options);
    const std::vector<solver::DependentStiffness> none;
    const auto lossy = solver::complex_modes({model.system.K, model.system.M, model.system.K_loss, none}, real);
    std::vector<double> f, eta;
    for (Index k = 0; k < lossy.lambda.size() && static_cast<Index>(f.size()) < n; ++k) {
        f.push_back(std::sqrt(lossy.lambda[k].real()) / (2 * std::numbers::pi));
        eta.push_back(lossy.lambda[k].imag() / lossy.lambda[k].real() / beam.loss_film);
    }
    f.insert(f.end(), eta.begin(), eta.end());
    return f;
}

/// ν of the faces is 0, as a beam has none, and the film's is near ½: the theory lets it change no thickness.
Beam cantilever(double loss)
{
    const Material aluminium = isotropic(69e9, 0, 2766);
    return {0.1778, 0.0127, aluminium, aluminium, 1.524e-3, 0.127e-3, 1.524e-3, 0.69e6, 0.499, 968.1, loss};
}

Check kienholz(double loss, std::vector<double> reference)
{
    Check c;
    c.id = loss < 0.01 ? "cantilever, small loss" : "cantilever, film loss 1";
    c.problem = "aluminium 1.524 mm, film 0.127 mm with G 0.69 MPa, aluminium 1.524 mm, 177.8 × 12.7 mm, five modes: f "
                "in Hz, η/η of the film";
    c.source = "beam of Johnson & Kienholz, AIAA J. 20 (1982) 1284";
    c.confirmed =
        "recomputed by the sixth-order theory of DiTaranto and Mead & Markus; the print, from memory, is within 0.1 %";
    c.mesh = "Quad9, 24 elements, leaves and film";
    c.reference = std::move(reference);
    c.ours = modes_of(cantilever(loss), 2600, 5);
    c.tolerance = 0.004;
    c.why = "the theory leaves out rotary inertia, (k h)²/12 of the fifth frequency's square = 0.5 %";
    return c;
}

Check rku(double loss, std::vector<double> reference)
{
    const Material steel = isotropic(210e9, 0, 7800);
    Beam beam{0.5, 0.02, steel, steel, 3e-3, 0.5e-3, 1e-3, 1e6, 0.499, 1000, loss, Beam::Ends::SimplySupported};
    Check c;
    c.id = "simply supported, film loss " + std::string(loss < 0.7 ? "0.5" : "1");
    c.problem = "steel 3 mm, film 0.5 mm with G 1 MPa, steel 1 mm, 500 mm long, four modes: f in Hz, η/η of the film";
    c.source = "Ross, Kerwin & Ungar 1959; Mead & Markus, J. Sound Vib. 10 (1969) 163: exact for simple supports";
    c.confirmed = recomputed;
    c.mesh = "Quad9, 24 elements, leaves and film";
    for (std::size_t k = 4; k < 8; ++k) reference[k] /= loss;
    c.reference = std::move(reference);
    c.ours = modes_of(beam, 450, 4);
    c.tolerance = 0.004;
    c.why =
        "the theory leaves out the leaves' own shear, rotary inertia and the film's change of thickness (ν 0.499 here)";
    return c;
}

/// Two leaves of 10 mm whose film has the best modulus for the first mode of a 1 m span: Y = 3 (1 + h_film/h)² = 3.5.
Check best_film()
{
    Check c;
    c.id = "best film";
    c.problem = "two 10 mm leaves, geometry Y 3.5, film modulus at the optimum for film loss 0.5 and 1: largest η/η of "
                "the film";
    c.source = "Ross, Kerwin & Ungar 1959: η = η_v Y/(2 + Y + 2/X), X = 1/√((1 + Y)(1 + η_v²))";
    c.confirmed = recomputed;
    c.mesh = "Quad9, 24 elements, leaves and film";
    c.reference = {0.170841 / 0.5, 0.304348};
    const double E = 10e9, h = 0.01, L = 1, Y = 3.5, h_film = h * (std::sqrt(Y / 3) - 1), p = std::numbers::pi / L;
    for (double loss : {0.5, 1.0}) {
        const double X = 1 / std::sqrt((1 + Y) * (1 + loss * loss));
        const double G = X * h_film * p * p * E * h / 2;
        const Material wood = isotropic(E, 0, 700);
        const Beam beam{L, 0.02, wood, wood, h, h_film, h, G, 0.499, 1000, loss, Beam::Ends::SimplySupported};
        c.ours.push_back(modes_of(beam, 60, 1).back());
    }
    c.tolerance = 0.004;
    c.why = "the theory leaves out the leaves' own shear and rotary inertia, (k h)² = 0.1 %";
    return c;
}

/// Effective bending stiffness of a free layer on a base from the section with B, and its loss.
Check oberst()
{
    Check c;
    c.id = "free layer";
    c.problem = "layer on a beam, E₂/E₁ and h₂/h₁ = (0.001, 1), (0.01, 1), (0.01, 2), (0.003, 3), (0.1, 0.5), (0.1, "
                "1), (1, 1): EI/E₁I₁, then η/η₂";
    c.source = "Oberst & Frankenfeld, Acustica 2 (1952) 181; ASTM E756";
    c.confirmed = recomputed + " by the closed form and by integrating the section";
    c.mesh = "section alone";
    c.reference = {1.012988, 1.128812, 1.609412, 1.509147, 1.333929, 2.190909, 8.0,
                   0.01281,  0.113071, 0.372205, 0.334843, 0.23886,  0.498303, 0.5};
    std::vector<double> eta;
    const double E1 = 10e9, h1 = 0.01;
    for (const auto& [e, h] : std::vector<std::pair<double, double>>{
             {0.001, 1}, {0.01, 1}, {0.01, 2}, {0.003, 3}, {0.1, 0.5}, {0.1, 1}, {1, 1}}) {
        Material base = isotropic(E1, 0, 1000), layer = isotropic(e * E1, 0, 1000);
        base.eta.value = base.eta2.value = 0;
        layer.eta.value = layer.eta2.value = 1e-6;
        const std::vector<Ply> plies = {{0, h1, 0}, {1, h * h1, 0}};
        const Section s = solver::make_section(plies, {base, layer}, 0, -h1 / 2);
        const double D = s.C(3, 3) - s.C(0, 3) * s.C(0, 3) / s.C(0, 0);
        // Bent without a membrane force: ε = −B/A κ.
        const Eigen::Vector2d strain(-s.C(0, 3) / s.C(0, 0), 1);
        Eigen::Matrix2d loss;
        loss << s.C_loss(0, 0), s.C_loss(0, 3), s.C_loss(3, 0), s.C_loss(3, 3);
        c.ours.push_back(D / (E1 * h1 * h1 * h1 / 12));
        eta.push_back(strain.dot(loss * strain) / D / 1e-6);
    }
    c.ours.insert(c.ours.end(), eta.begin(), eta.end());
    c.tolerance = 3e-5;
    c.why = "digits of the reference; small loss";
    return c;
}

} // namespace

std::vector<Check> sandwich_checks()
{
    return {oberst(),
            kienholz(1e-3, {64.083, 296.593, 744.281, 1395.099, 2263.003, 0.28269, 0.24271, 0.15415, 0.08892, 0.05726}),
            kienholz(1, {67.463, 303.045, 749.255, 1397.777, 2264.812, 0.2022, 0.21768, 0.15025, 0.08811, 0.05702}),
            best_film(),
            rku(0.5, {30.3665, 106.0601, 229.9651, 403.0318, 0.120618, 0.059978, 0.031269, 0.018661}),
            rku(1, {30.9912, 106.4127, 230.1509, 403.1429, 0.221895, 0.118671, 0.062381, 0.03729})};
}

} // namespace stillwall::published
