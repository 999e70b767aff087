#include "mesh/cabinet/kerfed.h"

#include "mesh/cabinet/cabinet.h"
#include "mesh/cabinet/error.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall {
namespace {

Quantity times(Quantity q, double factor)
{
    q.value *= factor;
    q.low *= factor;
    q.high *= factor;
    return q;
}

/// @param round   factor on the modulus round the curve
/// @param along   factor on what runs with the ribs
/// @param is_first  whether axis 1 runs round the curve
Material cut_material(Material m, double round, double along, bool is_first, const char* part)
{
    m.name += part;
    m.title += part;
    m.is_isotropic = false;
    Quantity &across = is_first ? m.E1 : m.E2, &with = is_first ? m.E2 : m.E1;
    across = times(across, round);
    with = times(with, along);
    // What a pull round the curve draws in goes with its own stiffness, so that the constants stay those of a solid.
    if (is_first) {
        m.nu12 = times(m.nu12, round / along);
        m.nu13 = times(m.nu13, std::min(round, 1.0));
    } else {
        m.nu12 = times(m.nu12, 1.0);
        m.nu23 = times(m.nu23, std::min(round, 1.0));
    }
    m.G12 = times(m.G12, std::min(round, 1.0));
    m.G13 = times(m.G13, along);
    m.G23 = times(m.G23, along);
    m.rho = times(m.rho, along);
    return m;
}

int index_of(Material material, std::vector<Material>& materials)
{
    const auto same =
        std::find_if(materials.begin(), materials.end(), [&](const Material& m) { return m.name == material.name; });
    if (same != materials.end()) return static_cast<int>(same - materials.begin());
    materials.push_back(std::move(material));
    return static_cast<int>(materials.size()) - 1;
}

} // namespace

KerfFactors kerf_factors(const Kerfs& kerfs, double thickness)
{
    const double t = thickness, d = kerfs.depth, s = t - d, w = kerfs.width, p = kerfs.pitch;
    if (!(d > 0 && s > 0)) throw DomainError("kerfs must be less deep than the board is thick");
    if (!(w > 0 && w < p)) throw DomainError("kerfs must be narrower than their pitch");
    if (kerfs.is_filled) return {};
    const double share = std::min(1.0, (w + 2 * strip_extension * s) / p);
    const double A = 1 / ((1 - share) / t + share / s);
    const double D = 1 / (12 * ((1 - share) / (t * t * t) + share / (s * s * s)));
    // Two plies: A = r d + q s; D about their common middle grows with r while A stays.
    const auto bending = [&](double r) {
        const double q = (A - r * d) / s, apart = t / 2;
        return (r * d * d * d + q * s * s * s) / 12 + r * d * q * s / A * apart * apart;
    };
    double low = 0, high = A / t;
    for (int step = 0; step < 80; ++step) {
        const double middle = (low + high) / 2;
        (bending(middle) < D ? low : high) = middle;
    }
    const double least = 1e-5; // keeps the ply's constants positive
    const double ribs = std::max((low + high) / 2, least);
    return {ribs, (A - ribs * d) / s};
}

Layup kerfed(const Layup& layup, const Kerfs& kerfs, bool is_inside, double grain, std::vector<Material>& materials)
{
    const KerfFactors factors = kerf_factors(kerfs, layup.thickness());
    if (kerfs.is_filled) return layup;
    Layup cut = layup;
    cut.plies.clear();
    std::vector<Ply> plies = layup.plies;
    if (!is_inside) std::reverse(plies.begin(), plies.end());
    double left = kerfs.depth;
    for (const Ply& ply : plies) {
        const double quarter = (grain + ply.angle) / (std::numbers::pi / 2);
        if (std::abs(quarter - std::round(quarter)) > 1e-6)
            throw DomainError("a kerfed board's plies must run along or across the kerfs");
        const bool is_first = std::lround(quarter) % 2 == 0;
        const double in_ribs = std::min(left, ply.thickness), in_skin = ply.thickness - in_ribs;
        left -= in_ribs;
        const Material whole = materials.at(static_cast<std::size_t>(ply.material));
        const std::string turn = is_first ? "" : " (across)";
        if (in_ribs > 1e-9)
            cut.plies.push_back({index_of(cut_material(whole, factors.ribs, 1 - kerfs.width / kerfs.pitch, is_first,
                                                       (", kerfed" + turn).c_str()),
                                          materials),
                                 in_ribs, ply.angle});
        if (in_skin > 1e-9)
            cut.plies.push_back(
                {index_of(cut_material(whole, factors.skin, 1, is_first, (", under kerfs" + turn).c_str()), materials),
                 in_skin, ply.angle});
    }
    if (!is_inside) std::reverse(cut.plies.begin(), cut.plies.end());
    return cut;
}

} // namespace stillwall
