// Layered plates by first-order theory: cross-plies, and a honeycomb sandwich.

#include "tests/published/checks.h"
#include "tests/published/shell_grid.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace stillwall::published {
namespace {

constexpr double E2 = 10e9, rho = 1500; // [Pa], [kg/m³]: only ratios matter
constexpr double side = 1;              // [m]

Material ply(double ratio, double G12 = 0.6, double G23 = 0.5)
{
    return orthotropic({ratio * E2, E2, 0.25, G12 * E2, G12 * E2, G23 * E2, rho});
}

/// Lay-ups of the tables; G13 t and G23 t are the sums of the plies' transverse moduli.
Section layered(const Material& material, const std::vector<double>& angles, double thickness, double k)
{
    Section section = ply_section(material, angles, thickness);
    if (k == 0) return section; // with its own shear stiffness
    double G13_t = 0, G23_t = 0;
    for (double angle : angles) {
        const double share = thickness / double(angles.size());
        G13_t += share * (angle == 0 ? material.G13.value : material.G23.value);
        G23_t += share * (angle == 0 ? material.G23.value : material.G13.value);
    }
    return with_shear_factor(section, k, G13_t, G23_t);
}

/// Frequencies as ω a² √(ρ/E2)/h. In-plane motion is left free where the lay-up couples it: the edges then hold the
/// motion along themselves (the SS-1 edge of Reddy), which is the Navier solution's.
std::vector<double> omega_bar(const Section& section, const std::string& edges, int n, double top)
{
    const double h = section.thickness, to_Hz = std::sqrt(E2 / rho) * h / (2 * std::numbers::pi * side * side);
    const ShellGrid grid = rectangle(nine_nodes(), section, side, side, element_side(section, top * to_Hz));
    const ShellModel& model = grid.model();
    Holds holds(model);
    const bool couples = section.C.block<3, 3>(0, 3).norm() > 1e-9 * section.C.norm() * h;
    if (couples) {
        holds.at(nodes_where(model, [](const Vector3d&) { return true; }), {rz});
        holds.at(nodes_where(model, [](const Vector3d& x) { return std::min(x.x(), side - x.x()) < 1e-9; }), {uy});
        holds.at(nodes_where(model, [](const Vector3d& x) { return std::min(x.y(), side - x.y()) < 1e-9; }), {ux});
    } else {
        holds.in_plane();
    }
    holds.edges(edges, side, side);
    std::vector<double> values = frequencies(model, holds, 0, n, top * to_Hz);
    for (double& value : values) value /= to_Hz;
    return values;
}

const std::vector<double> four_plies = {0, 90, 90, 0};

const std::string same_factor = "; shear factor 5/6 put in by hand as in the reference";

Check span_check(const std::string& id, const std::vector<double>& angles, const std::vector<double>& spans,
                 std::vector<double> reference)
{
    Check check;
    check.id = id;
    for (std::size_t i = 0; i < spans.size(); ++i)
        check.ours.push_back(
            omega_bar(layered(ply(40), angles, side / spans[i], 5.0 / 6), "SSSS", 1, reference[i]).front());
    check.reference = std::move(reference);
    check.mesh = "Quad9, mesh rule, at least 2 × 2";
    check.tolerance = 0.01;
    check.why = "target for thick plates";
    return check;
}

/// The section's own shear stiffness against exact elasticity, where the theory itself is on trial.
Check exact_check()
{
    Check check;
    check.id = "cross-ply, solid";
    check.problem =
        "[0/90/90/0] plate, a/h = 5, E1/E2 = 3, 10, 20, 30, 40, with the section's own shear stiffness, against "
        "three-dimensional elasticity (ν23 = 0.25): fundamental ω a² √(ρ/E2)/h";
    check.source = "problem of Noor, AIAA J. 11 (1973) 1038";
    check.confirmed =
        recomputed + " by the exact state-space solution; Noor's print (from memory) differs from it by 0.1 to 1.6 %";
    check.reference = {6.5767, 8.277, 9.499, 10.2062, 10.6821};
    const std::vector<double> ratios = {3, 10, 20, 30, 40};
    for (std::size_t i = 0; i < ratios.size(); ++i)
        check.ours.push_back(
            omega_bar(layered(ply(ratios[i]), four_plies, side / 5, 0), "SSSS", 1, check.reference[i]).front());
    check.mesh = "Quad9, mesh rule, at least 2 × 2";
    return check;
}

Check liew_check(const std::string& edges, double h, std::vector<double> reference)
{
    const Section section = layered(ply(40), {0, 90, 0}, h * side, std::numbers::pi * std::numbers::pi / 12);
    // The table scales by D0 = E2 h³/(12 (1 − ν12 ν21)): (ω b²/π²) √(ρh/D0).
    const double scale = std::sqrt(12 * (1 - 0.25 * 0.25 / 40)) / (std::numbers::pi * std::numbers::pi);
    Check check;
    check.id = fmt::format("[0/90/0] {}, {:g}", edges, h);
    check.problem =
        fmt::format("square [0/90/0] plate, edges {}, h/b = {:g}, E1/E2 = 40: (ω b²/π²) √(ρh/D0)", edges, h);
    check.source = "Liew, J. Sound Vib. 198 (1996) 343";
    check.confirmed = recomputed_high_order +
                      "; the printed rows for h/b = 0.001 and 0.2 only from memory; shear factor π²/12 put in by "
                      "hand as in the reference";
    check.ours = omega_bar(section, edges, static_cast<int>(reference.size()), reference.back() / scale);
    for (double& value : check.ours) value *= scale;
    check.reference = std::move(reference);
    check.mesh = "Quad9, mesh rule for the sixth mode";
    check.tolerance = h >= 0.05 ? 0.01 : 0.005;
    check.why = h >= 0.05 ? "target for thick plates" : "target for thin plates";
    return check;
}

/// Honeycomb between aluminium sheets. The core's shear compliance is what counts; it carries no bending.
Check sandwich()
{
    const Material sheet = isotropic(68.9e9, 0.33, 2770);
    const Material core = orthotropic({1e3, 1e3, 0, 1e3, 0.134e9, 0.052e9, 122});
    const double t_sheet = 0.406e-3, t_core = 6.4e-3, a = 1.83, b = 1.22;
    const Section section =
        solver::make_section({{{0, t_sheet, 0}, {1, t_core, 0}, {0, t_sheet, 0}}, ""}, {sheet, core}, 0);
    Check check;
    check.id = "honeycomb";
    check.problem = "simply supported honeycomb sandwich 1.83 × 1.22 m, first seven modes [Hz]";
    check.source = "Raville & Ueng, Exp. Mech. 7 (1967) 490; Nayak, Moy & Shenoi, Composites B 33 (2002) 505";
    check.confirmed = printed + " to whole hertz, read in another library's example; not recomputed";
    check.reference = {23, 45, 71, 80, 91, 126, 129};
    const ShellGrid grid = rectangle(nine_nodes(), section, a, b, element_side(section, 129));
    Holds holds(grid.model());
    holds.in_plane();
    holds.edges("SSSS", a, b);
    check.ours = frequencies(grid.model(), holds, 0, 7, 129);
    check.mesh = fmt::format("{} Quad9", grid.model().elements.size());
    return check;
}

} // namespace

std::vector<Check> laminate_checks()
{
    std::vector<Check> checks;

    // Reference: Navier solution of first-order theory, equal to Boscolo & Banerjee's printed digits.
    checks.push_back(span_check("[0/90/90/0]", four_plies, {2, 4, 5, 10, 20, 25, 50, 100},
                                {5.4998, 9.3949, 10.854, 15.1426, 17.6596, 18.0708, 18.6742, 18.8362}));
    checks.back().problem = "simply supported [0/90/90/0] plate, E1/E2 = 40, a/h = 2, 4, 5, 10, 20, 25, 50, 100: "
                            "fundamental ω a² √(ρ/E2)/h";
    checks.back().source = "Boscolo & Banerjee, Comput. Struct. 96-97 (2012) 74, table 3";
    checks.back().confirmed = printed + " and " + recomputed + same_factor;

    // Reference: Navier solution of first-order theory with B11 = −B22 coupling.
    checks.push_back(
        span_check("[0/90]", {0, 90}, {5, 10, 20, 25, 50, 100}, {8.8333, 10.4731, 11.0779, 11.159, 11.2705, 11.299}));
    checks.back().problem =
        "simply supported [0/90] plate (coupled bending and stretching), E1/E2 = 40, a/h = 5, 10, 20, 25, 50, 100: "
        "fundamental ω a² √(ρ/E2)/h";
    checks.back().source = "Reddy, Mechanics of Laminated Composite Plates and Shells (2004), ch. 7";
    checks.back().confirmed = recomputed + same_factor;

    Check solid = exact_check();
    solid.tolerance = 0.015;
    solid.why = "distance of first-order theory from the solid at a/h = 5, growing with E1/E2";
    checks.push_back(solid);

    // Reference: Ritz series.
    checks.push_back(liew_check("SSSS", 0.001, {6.6252, 9.447, 16.2051, 25.1146, 26.4982, 26.6572}));
    checks.push_back(liew_check("SSSS", 0.1, {5.1662, 7.757, 12.9151, 13.0485, 14.3755, 17.7878}));
    checks.push_back(liew_check("SSSS", 0.2, {3.5939, 5.7691, 7.3972, 8.6876, 9.1451, 11.208}));
    checks.push_back(liew_check("CCCC", 0.001, {14.6655, 17.6138, 24.5114, 35.5318, 39.1572, 40.7685}));
    checks.push_back(liew_check("CCCC", 0.1, {7.4108, 10.3927, 13.9129, 15.4287, 15.8056, 19.572}));
    checks.push_back(liew_check("CCCC", 0.2, {4.4466, 6.6419, 7.6996, 9.1852, 9.7378, 11.3991}));

    Check core = sandwich();
    core.tolerance = 0.025;
    core.why = "the reference is rounded to 1 Hz (2 % of the lowest)";
    checks.push_back(core);
    return checks;
}

} // namespace stillwall::published
