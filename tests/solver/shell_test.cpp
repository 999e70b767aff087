// Laws of assembled shell models: convergence, independence of the mesh's orientation, no spurious modes, mass.

#include "tests/published/checks.h"
#include "tests/published/shell_grid.h"

#include <Eigen/Dense>
#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>

using namespace stillwall;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::Vector3d;
using Eigen::VectorXd;
using published::four_nodes;
using published::Holds;
using published::nine_nodes;
using published::ShellGrid;
using published::ShellModel;
using published::three_nodes;
using solver::ElementFamily;
using solver::Section;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double a = 0.4, b = 0.3; // [m]

const Material board = published::isotropic(4e9, 0.3, 750);

/// Exact frequency of a simply supported (hard) rectangle by first-order shear theory, from the 3 × 3 Navier problem
/// [Hz].
double navier_Hz(const Section& s, int m, int n)
{
    const double p = m * pi / a, q = n * pi / b, D = s.C(3, 3), D12 = s.C(3, 4), D66 = s.C(5, 5), S = s.C(6, 6);
    Eigen::Matrix3d K; // w, β_x, β_y
    K << S * (p * p + q * q), S * p, S * q, S * p, D * p * p + D66 * q * q + S, (D12 + D66) * p * q, S * q,
        (D12 + D66) * p * q, D66 * p * p + D * q * q + S;
    const Eigen::Matrix3d M = Vector3d(s.mass, s.mass_inertia, s.mass_inertia).asDiagonal();
    return std::sqrt(Eigen::GeneralizedSelfAdjointEigenSolver<Eigen::Matrix3d>(K, M).eigenvalues()[0]) / (2 * pi);
}

double first_Hz(const ElementFamily& family, const Section& section, int n)
{
    ShellGrid grid(family, section);
    grid.add_block(n, n, [](double r, double s) { return Vector3d(a * r, b * s, 0); });
    Holds holds(grid.model());
    holds.in_plane();
    holds.edges("SSSS", a, b);
    return published::frequencies(grid.model(), holds, 0, 1, navier_Hz(section, 1, 1)).front();
}

int zero_modes(const ShellModel& model)
{
    const MatrixXd K(published::assemble(model).K);
    VectorXd scale = VectorXd::Ones(K.rows());
    for (Index i = 0; i < K.rows() / 6; ++i) scale.segment<3>(6 * i + 3).setConstant(20); // rotations per 50 mm
    const VectorXd lambda =
        Eigen::SelfAdjointEigenSolver<MatrixXd>(scale.asDiagonal() * K * scale.asDiagonal(), Eigen::EigenvaluesOnly)
            .eigenvalues();
    int count = 0;
    while (lambda[count] < 1e-10 * lambda[lambda.size() - 1]) ++count;
    return count;
}

/// Three faces that meet in a corner, n × n cells each.
ShellGrid corner(const ElementFamily& family, const Section& section, int n,
                 const Eigen::Matrix3d& turn = Eigen::Matrix3d::Identity())
{
    ShellGrid grid(family, section, turn * Vector3d(1, 1, 1)); // not normal to any of the faces
    grid.add_block(n, n, [=](double r, double s) { return Vector3d(turn * Vector3d(a * r, b * s, 0)); });
    grid.add_block(n, n, [=](double r, double s) { return Vector3d(turn * Vector3d(a * r, 0, a * s)); });
    grid.add_block(n, n, [=](double r, double s) { return Vector3d(turn * Vector3d(0, b * r, a * s)); });
    return grid;
}

} // namespace

TEST_CASE("frequencies converge at the order of the element", "[solver][shell]")
{
    const Section section = published::plain_section(board, 0.018);
    const double exact = navier_Hz(section, 1, 1);
    struct Case
    {
        const ElementFamily* family;
        int n;
        double order;
    };
    // Reference: error of a frequency of order h⁴ with quadratic and h² with linear functions (Strang & Fix, An
    // Analysis of the
    //   Finite Element Method, ch. 6). Tolerance: the next term of the error on these meshes; measured 3.97, 2.01
    //   and 2.14.
    for (const Case& c : {Case{&nine_nodes(), 4, 4}, Case{&four_nodes(), 8, 2}, Case{&three_nodes(), 8, 2}}) {
        const double coarse = first_Hz(*c.family, section, c.n) / exact - 1,
                     fine = first_Hz(*c.family, section, 2 * c.n) / exact - 1;
        CAPTURE(published::family_name(*c.family), coarse, fine);
        CHECK(coarse > fine);
        CHECK_THAT(std::log2(coarse / fine), Catch::Matchers::WithinAbs(c.order, 0.2));
    }
}

TEST_CASE("thin plates do not lock", "[solver][shell]")
{
    // Reference: Navier. Tolerance: the same mesh's error at t = 18 mm, twofold: the error must not depend on the
    // thickness.
    for (const ElementFamily* family : {&nine_nodes(), &four_nodes(), &three_nodes()}) {
        const int n = family == &nine_nodes() ? 4 : 8;
        const Section thick = published::plain_section(board, 0.018);
        const double error = first_Hz(*family, thick, n) / navier_Hz(thick, 1, 1) - 1;
        for (double t : {2e-3, 2e-4, 2e-5}) {
            const Section thin = published::plain_section(board, t);
            CAPTURE(published::family_name(*family), t, error);
            CHECK(std::abs(first_Hz(*family, thin, n) / navier_Hz(thin, 1, 1) - 1) < 2 * error);
        }
    }
}

TEST_CASE("nine-node trapezoids at the thicknesses of boards", "[solver][shell]")
{
    // 8 × 8 cells, 10 spacings to the wave of the (3, 1) mode, opposite sides in the ratio 1.2 : 0.8 in turn.
    // Reference: Navier. Tolerance: measured on the (3, 1) mode +0.28 % on rectangles; on the trapezoids +0.51 % at a
    // cell of 2.5
    //   thicknesses and +0.80 % at 12. Thinner ones grow stiffer, +4.0 % at 125, because the assumed shear of a
    //   trapezoid cannot follow every bending of a thin plate.
    for (const auto& [thickness, tolerance] : {std::pair{a / 8 / 2.5, 0.006}, {a / 8 / 12, 0.01}}) {
        const Section section = published::plain_section(board, thickness);
        ShellGrid grid(nine_nodes(), section);
        const auto corner_at = [](int i, int j) {
            const double shift = i > 0 && i < 8 ? ((i + j) % 2 == 1 ? 0.1 : -0.1) : 0;
            return Vector3d(a * (i + shift) / 8, b * j / 8, 0);
        };
        for (int j = 0; j < 8; ++j)
            for (int i = 0; i < 8; ++i)
                grid.add_block(1, 1, [&](double r, double s) {
                    return Vector3d((1 - s) * ((1 - r) * corner_at(i, j) + r * corner_at(i + 1, j)) +
                                    s * ((1 - r) * corner_at(i, j + 1) + r * corner_at(i + 1, j + 1)));
                });
        Holds holds(grid.model());
        holds.in_plane();
        holds.edges("SSSS", a, b);
        const std::vector<double> exact = {navier_Hz(section, 1, 1), navier_Hz(section, 2, 1), navier_Hz(section, 1, 2),
                                           navier_Hz(section, 3, 1)};
        const auto f = published::frequencies(grid.model(), holds, 0, 4, exact[3]);
        for (std::size_t i = 0; i < 4; ++i) CHECK_THAT(f[i], Catch::Matchers::WithinRel(exact[i], tolerance));
    }
}

TEST_CASE("patches have six zero modes and no more, flat, folded and curved", "[solver][shell]")
{
    const Section section = published::plain_section(board, 0.015);
    for (const ElementFamily* family : {&three_nodes(), &four_nodes(), &nine_nodes()}) {
        INFO(published::family_name(*family));
        ShellGrid flat(*family, section), curved(*family, section, Vector3d(1, 0.2, 0.1));
        flat.add_block(2, 2, [](double r, double s) { return Vector3d(a * r + 0.02 * r * s, b * s, 0); });
        curved.add_block(2, 2, [](double r, double s) { return Vector3d(a * r, b * s, 0.1 * r * r - 0.05 * r * s); });
        // Reference: six rigid motions. Tolerance: none, they are counted below 1e-10 of the largest eigenvalue.
        CHECK(zero_modes(flat.model()) == 6);
        CHECK(zero_modes(curved.model()) == 6);
        CHECK(zero_modes(corner(*family, section, 1).model()) == 6);
    }
}

TEST_CASE("six rigid modes at zero frequency, elastic ones wherever the model stands in space", "[solver][shell]")
{
    const Section section = published::plain_section(board, 0.015);
    const Eigen::Matrix3d turn = Eigen::AngleAxisd(1.1, Vector3d(0.3, -1, 2).normalized()).toRotationMatrix();
    for (const ElementFamily* family : {&three_nodes(), &four_nodes(), &nine_nodes()}) {
        INFO(published::family_name(*family));
        const ShellGrid upright = corner(*family, section, 4), turned = corner(*family, section, 4, turn);
        const auto f = published::frequencies(upright.model(), Holds(upright.model()), 0, 12, 300);
        const auto g = published::frequencies(turned.model(), Holds(turned.model()), 0, 12, 300);
        // Reference: zero. Tolerance: the root of round-off in λ, beside a first elastic mode above 30 Hz.
        CHECK(f[5] < 1e-3);
        CHECK(g[5] < 1e-3);
        CHECK(f[6] > 30);
        // Tolerance: the eigen-solver's residual of 1e-9.
        for (std::size_t i = 6; i < 12; ++i) CHECK_THAT(g[i], Catch::Matchers::WithinRel(f[i], 1e-7));
    }
}

TEST_CASE("the mass of a model, its centre and its inertia", "[solver][shell]")
{
    const Section section = published::plain_section(board, 0.015);
    for (const ElementFamily* family : {&three_nodes(), &four_nodes(), &nine_nodes()}) {
        INFO(published::family_name(*family));
        const ShellGrid grid = corner(*family, section, 3);
        const auto& X = grid.model().nodes;
        MatrixXd R = MatrixXd::Zero(6 * X.cols(), 6);
        for (Index i = 0; i < X.cols(); ++i)
            for (int k = 0; k < 3; ++k) {
                R(6 * i + k, k) = R(6 * i + 3 + k, 3 + k) = 1;
                R.block<3, 1>(6 * i, 3 + k) = Vector3d::Unit(k).cross(X.col(i));
            }
        const MatrixXd M = R.transpose() * (published::assemble(grid.model()).M * R);
        const double m = section.mass, ab = m * a * b, aa = m * a * a;
        // Reference: three plates a × b (z = 0), a × a (y = 0), b × a (x = 0). Tolerance: round-off; the triangles'
        // three points
        //   integrate x² N exactly enough on straight sides.
        CHECK_THAT(M(0, 0), Catch::Matchers::WithinRel(2 * ab + aa, 1e-12));
        CHECK_THAT(M(2, 2), Catch::Matchers::WithinRel(2 * ab + aa, 1e-12));
        CHECK_THAT(M(1, 5), Catch::Matchers::WithinRel(ab * a / 2 + aa * a / 2, 1e-12)); // Σ m x
        CHECK_THAT(M(2, 3), Catch::Matchers::WithinRel(ab * b / 2 + ab * b / 2, 1e-12)); // Σ m y
        CHECK_THAT(M(0, 4), Catch::Matchers::WithinRel(aa * a / 2 + ab * a / 2, 1e-12)); // Σ m z
        // About x: Σ m (y² + z²), and m2 of each face, which turns its thickness too.
        const double J = ab * b * b / 3 + aa * a * a / 3 + ab * (a * a + b * b) / 3;
        CHECK_THAT(M(3, 3), Catch::Matchers::WithinRel(J + section.mass_inertia * (2 * a * b + a * a), 1e-12));
    }
}
