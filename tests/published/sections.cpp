// Stiffness matrices of laminates and their transverse shear.

#include "tests/published/checks.h"

#include <fmt/format.h>

namespace stillwall::published {
namespace {

using solver::Section;

/// T300/5208 of Tsai & Hahn.
const Material graphite = orthotropic({181e9, 10.3e9, 0.28, 7.17e9, 7.17e9, 7.17e9, 1600});

void add_block(Check& check, const Section& section, int row, int column)
{
    for (int i = 0; i < 3; ++i)
        for (int j = i; j < 3; ++j) check.ours.push_back(section.C(row + i, column + j));
}

Check exact(const std::string& id, const std::string& problem, const std::string& source, const std::string& confirmed)
{
    Check check;
    check.id = id;
    check.problem = problem;
    check.source = source;
    check.confirmed = confirmed;
    check.mesh = "section only";
    check.tolerance = 2e-6;
    check.why = "digits of the reference";
    return check;
}

/// Material of the shear-factor tables: E1/E2 = 25, G12 = G13 = 0.5 E2, G23 = 0.2 E2.
const Material pagano = orthotropic({25e9, 1e9, 0.25, 0.5e9, 0.5e9, 0.2e9, 1500});

void add_shear_factors(Check& check, const std::vector<double>& angles)
{
    const Section section = ply_section(pagano, angles, 0.01);
    double G13_t = 0, G23_t = 0;
    for (double angle : angles) {
        G13_t += (angle == 0 ? 0.5e9 : 0.2e9) * 0.01 / double(angles.size());
        G23_t += (angle == 0 ? 0.2e9 : 0.5e9) * 0.01 / double(angles.size());
    }
    check.ours.push_back(section.C(6, 6) / G13_t);
    check.ours.push_back(section.C(7, 7) / G23_t);
}

Check sandwich_factors()
{
    Check check = exact("shear factor, sandwich", "k = As/∫G dz, faces 0.1 h each, Ef/Ec = Gf/Gc = 1, 10, 100, 1000",
                        "energy equivalence, Vlachoutsis, Int. J. Numer. Meth. Eng. 33 (1992) 925", recomputed);
    check.reference = {0.833333, 0.352504, 0.0489041, 0.00508209};
    for (double ratio : {1.0, 10.0, 100.0, 1000.0}) {
        const Material face = isotropic(ratio * 1e9, 0.3, 1000), core = isotropic(1e9, 0.3, 1000);
        const Section section =
            solver::make_section({{{0, 0.001, 0}, {1, 0.008, 0}, {0, 0.001, 0}}, ""}, {face, core}, 0);
        check.ours.push_back(section.C(6, 6) / (0.002 * face.G13.value + 0.008 * core.G13.value));
    }
    return check;
}

} // namespace

std::vector<Check> section_checks()
{
    std::vector<Check> checks;

    // Reference: the worked example, recomputed to seven digits (upper triangles row by row).
    const Section kaw = ply_section(graphite, {0, 30, -45}, 0.015);
    const std::string kaw_confirmed = recomputed + "; the book's four digits (1.739e9 …) from memory";
    const std::string kaw_source = "Kaw, Mechanics of Composite Materials, example 4.2";
    Check A = exact("A of [0/30/-45]", "graphite/epoxy, 5 mm plies: A11 A12 A16 A22 A26 A66 [N/m]", kaw_source,
                    kaw_confirmed);
    A.reference = {1739241000.0, 388386400.0, 56633730.0, 453253500.0, -114063600.0, 452482500.0};
    add_block(A, kaw, 0, 0);
    checks.push_back(A);
    Check B = exact("B of [0/30/-45]", "the same: B11 B12 B16 B22 B26 B66 [N]", kaw_source, kaw_confirmed);
    B.reference = {-3128834.0, 985521.6, -1071656.0, 1157791.0, -1071656.0, 985521.6};
    add_block(B, kaw, 0, 3);
    checks.push_back(B);
    Check D = exact("D of [0/30/-45]", "the same: D11 D12 D16 D22 D26 D66 [N m]", kaw_source, kaw_confirmed);
    D.reference = {33432.034, 6460.977, -5240.294, 9319.771, -5595.913, 7662.78};
    add_block(D, kaw, 3, 3);
    checks.push_back(D);

    // Reference: closed form.
    const Section cross = ply_section(graphite, {0, 90, 90, 0}, 0.5e-3);
    Check sym =
        exact("A, D of [0/90/90/0]", "graphite/epoxy, 0.125 mm plies: A11 A22 A12 A66 [N/m], D11 D22 D12 D66 [N m]",
              "Jones, Mechanics of Composite Materials, ch. 4", recomputed);
    sym.reference = {48.039324e6, 48.039324e6, 1.448462e6, 3.585e6, 1.670604, 0.331034, 0.030176, 0.074688};
    for (int at : {0, 3})
        for (const auto& [i, j] : {std::pair{0, 0}, {1, 1}, {0, 1}, {2, 2}})
            sym.ours.push_back(cross.C(at + i, at + j));
    sym.tolerance = 2e-5;
    sym.why = "0.030176 has five digits";
    checks.push_back(sym);

    // Reference: closed form; the section of 1 m of one ply has A = Q.
    Check Q = exact("Q at 0°, 30°, 45°",
                    "graphite/epoxy: Q11 Q12 Q22 Q66; at 30° Q11 Q12 Q16 Q22 Q26 Q66; at 45° Q11 Q12 Q66 Q16 [GPa]",
                    "Tsai & Hahn, Introduction to Composite Materials (1980), ch. 3", recomputed);
    Q.reference = {181.8111, 2.896924, 10.34616, 7.17,     109.3792, 32.46257, 54.19299,
                   23.64676, 20.05352, 36.73565, 56.65779, 42.31779, 46.59086, 42.86625};
    const Section q0 = ply_section(graphite, {0}, 1), q30 = ply_section(graphite, {30}, 1),
                  q45 = ply_section(graphite, {45}, 1);
    for (double value : {q0.C(0, 0), q0.C(0, 1), q0.C(1, 1), q0.C(2, 2)}) Q.ours.push_back(value);
    add_block(Q, q30, 0, 0);
    for (double value : {q45.C(0, 0), q45.C(0, 1), q45.C(2, 2), q45.C(0, 2)}) Q.ours.push_back(value);
    for (double& value : Q.ours) value /= 1e9;
    checks.push_back(Q);

    // Reference: energy equivalence in cylindrical bending; 0.8212, 0.5952, 0.7205 stand in the papers (from memory).
    Check k = exact("shear factors", "k13, k23 of [0], [0/90], [0/90/0], [0/90/90/0], [0/90/0/90/0], E1/E2 = 25",
                    "Whitney, J. Appl. Mech. 40 (1973) 302; Vlachoutsis (1992)",
                    recomputed + "; four printed digits from memory");
    k.reference = {0.833333, 0.833333, 0.821229, 0.821229, 0.582779, 0.802778, 0.595179, 0.720531, 0.653273, 0.487520};
    for (const auto& angles :
         std::vector<std::vector<double>>{{0}, {0, 90}, {0, 90, 0}, {0, 90, 90, 0}, {0, 90, 0, 90, 0}})
        add_shear_factors(k, angles);
    checks.push_back(k);
    checks.push_back(sandwich_factors());
    return checks;
}

} // namespace stillwall::published
