// From independent constants to a whole material.

#include "app/input/material_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::app {
namespace {

using Figures = std::map<std::string, Quantity>;

/// Hands out figures by key and notices what is missing and what nobody asked for.
class FigureBox
{
public:
    FigureBox(const std::string& material, Figures figures) : material_(material), figures_(std::move(figures)) {}

    [[nodiscard]] bool has(const std::string& key) const { return figures_.count(key) > 0; }
    [[nodiscard]] Quantity take(const std::string& key)
    {
        const auto found = figures_.find(key);
        if (found == figures_.end()) throw MaterialError(fmt::format("{}: {} is missing", material_, key));
        const Quantity q = found->second;
        figures_.erase(found);
        return q;
    }
    void expect_empty() const
    {
        if (figures_.empty()) return;
        throw MaterialError(fmt::format("{}: {} is not an independent constant of such a material", material_,
                                        figures_.begin()->first));
    }

private:
    const std::string& material_;
    Figures figures_;
};

/// G = E / (2 (1 + ν)), with the range that the ranges of E and ν allow.
Quantity shear_modulus(const Quantity& E, const Quantity& nu)
{
    return {E.value / (2 * (1 + nu.value)), E.low / (2 * (1 + nu.high)), E.high / (2 * (1 + nu.low)),
            "E / (2 (1 + nu))", "derived"};
}

/// E = 2 G (1 + ν), likewise.
Quantity youngs_modulus(const Quantity& G, const Quantity& nu)
{
    return {2 * G.value * (1 + nu.value), 2 * G.low * (1 + nu.low), 2 * G.high * (1 + nu.high), "2 G (1 + nu)",
            "derived"};
}

void take_isotropic(FigureBox& box, Material& m)
{
    const Quantity nu = box.take("nu");
    if (box.has("G")) {
        m.G12 = box.take("G");
        m.E1 = youngs_modulus(m.G12, nu);
    } else {
        m.E1 = box.take("E");
        m.G12 = shear_modulus(m.E1, nu);
    }
    m.E2 = m.E3 = m.E1;
    m.G13 = m.G23 = m.G12;
    m.nu12 = m.nu13 = m.nu23 = nu;
    m.is_isotropic = true;
}

void take_in_plane_isotropic(FigureBox& box, Material& m)
{
    m.E1 = m.E2 = box.take("E1");
    m.E3 = box.take("E3");
    m.nu12 = box.take("nu12");
    m.nu13 = m.nu23 = box.take("nu13");
    m.G12 = shear_modulus(m.E1, m.nu12);
    m.G13 = m.G23 = box.take("G13");
}

void take_orthotropic(FigureBox& box, Material& m)
{
    m.E1 = box.take("E1");
    m.E2 = box.take("E2");
    m.E3 = box.take("E3");
    m.G12 = box.take("G12");
    m.G13 = box.take("G13");
    m.G23 = box.take("G23");
    m.nu12 = box.take("nu12");
    m.nu13 = box.take("nu13");
    m.nu23 = box.take("nu23");
}

void check_physical(const Material& m)
{
    if (!is_positive_definite(m))
        throw MaterialError(m.name + ": elastic constants are not positive definite, check moduli and Poisson ratios");
    if (!(m.rho.value > 0)) throw MaterialError(m.name + ": density must be above 0 kg/m3");
    if (!(m.eta.value >= 0 && m.eta2.value >= 0)) throw MaterialError(m.name + ": loss factor must not be negative");
}

} // namespace

bool is_positive_definite(const Material& m)
{
    const double E1 = m.E1.value, E2 = m.E2.value, E3 = m.E3.value;
    const bool has_moduli = E1 > 0 && E2 > 0 && E3 > 0 && m.G12.value > 0 && m.G13.value > 0 && m.G23.value > 0;
    if (!has_moduli) return false;
    // Compliance scaled to a unit diagonal: its off-diagonal terms are −a, −b, −c (Jones, Mechanics of Composite
    // Materials, sec. 2.4). Minors of order two and three must be positive.
    const double a = m.nu12.value * std::sqrt(E2 / E1);
    const double b = m.nu13.value * std::sqrt(E3 / E1);
    const double c = m.nu23.value * std::sqrt(E3 / E2);
    const double determinant = 1 - a * a - b * b - c * c - 2 * a * b * c;
    return std::abs(a) < 1 && std::abs(b) < 1 && std::abs(c) < 1 && determinant > 0;
}

Material make_material(const std::string& name, Symmetry symmetry, const Figures& figures)
{
    Material m;
    m.name = m.title = name;
    FigureBox box(name, figures);
    switch (symmetry) {
    case Symmetry::Isotropic:
        take_isotropic(box, m);
        break;
    case Symmetry::InPlaneIsotropic:
        take_in_plane_isotropic(box, m);
        break;
    case Symmetry::Orthotropic:
        take_orthotropic(box, m);
        break;
    }
    m.rho = box.take("rho");
    m.eta = m.eta2 = box.take("eta");
    if (symmetry == Symmetry::Orthotropic && box.has("eta2")) m.eta2 = box.take("eta2");
    box.expect_empty();
    check_physical(m);
    return m;
}

int add_inline_material(const Material& material, std::vector<Material>& materials)
{
    check_physical(material);
    const bool is_taken = std::any_of(materials.begin(), materials.end(),
                                      [&](const Material& known) { return known.name == material.name; });
    if (is_taken) throw MaterialError("material '" + material.name + "' exists already");
    materials.push_back(material);
    return static_cast<int>(materials.size()) - 1;
}

} // namespace stillwall::app
