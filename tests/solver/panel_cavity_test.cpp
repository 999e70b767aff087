// A simply supported panel closing a rigid rectangular cavity: a direct solution of panel and air together, and the
// modes of each put together, both through air_coupling() on meshes that do not match.
//
// Reference: the classical problem (A. J. Pretlove, J. Sound Vib. 2 (1965) 197; brass panel on a cubic box after R. W.
// Guy & M. C. Bhattacharya, J. Sound Vib. 27 (1973) 207; pages from memory). Frequencies are an own series solution,
// not published: sines on a thin plate, cosines across the cavity, the depth in closed form p = −ρω² cot(k_z d)/k_z w,
// zeros of the determinant by counting signs; the panel's outer face in vacuo. Converged to the digits given.

#include "solver/air/acoustic.h"
#include "solver/drive/skin.h"
#include "tests/solver/whole_air.h"

#include <Eigen/Dense>
#include <Eigen/SparseCholesky>
#include <Eigen/SparseLU>
#include <catch2/catch.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

using namespace stillwall;
using namespace stillwall::solver;
using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

constexpr double two_pi = 2 * std::numbers::pi;

struct Case
{
    const char* name;
    double a, b, depth, t;   ///< [m]
    double E, nu, rho_panel; ///< [Pa], [-], [kg/m³]
    double rho, c;           ///< air
    std::vector<double> exact_Hz;
};

const std::vector<Case> cases = {
    {"brass on a cube",
     0.2,
     0.2,
     0.2,
     0.9144e-3,
     104e9,
     0.37,
     8500,
     1.21,
     340,
     {86.7361, 194.4216, 194.4216, 311.4238, 389.4751, 389.7583, 506.3614, 506.3614, 662.1462}},
    {"aluminium, 0.1 m deep",
     0.3,
     0.2,
     0.1,
     1e-3,
     70e9,
     0.33,
     2700,
     1.21,
     343,
     {127.173, 166.572, 268.519, 304.967, 350.011, 485.562, 489.822}},
    {"aluminium, 0.05 m deep",
     0.5,
     0.4,
     0.05,
     1e-3,
     70e9,
     0.33,
     2700,
     1.21,
     343,
     {50.6706, 67.5092, 91.1843, 97.2902, 127.1728, 146.2502, 167.0636, 167.573, 173.3685}},
    {"steel on a room",
     1,
     1,
     2,
     5e-3,
     210e9,
     0.3,
     7800,
     1.2,
     340,
     {25.0587, 61.4286, 61.4286, 85.3031, 98.3952, 123.0596}}};

/// Elements: the panel's and the air's sides have no common divisor, so that no nodes but the corners' meet.
constexpr int panel_x = 17, panel_y = 14;
constexpr int air_x = 5, air_y = 4;

Cabinet panel_cabinet(const Case& test)
{
    const auto q = [](double v) { return Quantity{v, v, v, {}, {}}; };
    Material metal;
    metal.name = "metal";
    metal.E1 = metal.E2 = metal.E3 = q(test.E);
    metal.G12 = metal.G13 = metal.G23 = q(test.E / (2 * (1 + test.nu)));
    metal.nu12 = metal.nu13 = metal.nu23 = q(test.nu);
    metal.rho = q(test.rho_panel);
    metal.eta = metal.eta2 = q(0);
    metal.is_isotropic = true;
    Board board;
    board.name = "panel";
    board.layup.plies = {{0, test.t, 0}};
    board.frame.origin = Vector3d(0, 0, test.depth + test.t / 2); // its lower face closes the cavity
    board.outline = board.sawn = {{0, 0}, {test.a, 0}, {test.a, test.b}, {0, test.b}};
    board.edge_on.resize(4);
    Cabinet cabinet;
    cabinet.materials = {metal};
    cabinet.boards = {board};
    return cabinet;
}

ShellMesh panel_mesh(const Case& test)
{
    ShellMesh mesh;
    const int nx = 2 * panel_x + 1, ny = 2 * panel_y + 1;
    mesh.nodes.resize(3, nx * ny);
    for (int j = 0; j < ny; ++j)
        for (int i = 0; i < nx; ++i)
            mesh.nodes.col(nx * j + i) =
                Vector3d(test.a * i / (nx - 1), test.b * j / (ny - 1), test.depth + test.t / 2);
    for (int j = 0; j < panel_y; ++j)
        for (int i = 0; i < panel_x; ++i) {
            const int c = 2 * nx * j + 2 * i, top = c + 2 * nx;
            mesh.quads.push_back({{c, c + 2, top + 2, top, c + 1, c + nx + 2, top + 1, c + nx, c + nx + 1}, 0, 0});
        }
    mesh.zones = {{0, {}}};
    mesh.rims = {{}};
    return mesh;
}

/// Six tetrahedra to a brick (Kuhn's division: one for each way along the edges from a corner to the opposite one), so
/// that mid-edges are the points of a lattice twice as fine. Only the panel's faces are listed: the other walls are
/// rigid.
AirMesh cavity_mesh(const Case& test)
{
    const double size = std::max(test.a / air_x, test.b / air_y);
    const std::array<int, 3> n = {air_x, air_y, std::max(3, static_cast<int>(std::ceil(test.depth / size)))};
    const Vector3d extent(test.a, test.b, test.depth);
    using Place = Eigen::Vector3i;
    const auto number = [&](const Place& p) { return (p.z() * (2 * n[1] + 1) + p.y()) * (2 * n[0] + 1) + p.x(); };
    AirMesh mesh;
    mesh.nodes.resize(3, (2 * n[0] + 1) * (2 * n[1] + 1) * (2 * n[2] + 1));
    for (Place p(0, 0, 0); p.z() <= 2 * n[2]; ++p.z())
        for (p.y() = 0; p.y() <= 2 * n[1]; ++p.y())
            for (p.x() = 0; p.x() <= 2 * n[0]; ++p.x())
                for (int k = 0; k < 3; ++k)
                    mesh.nodes(k, number(p)) = extent[k] * p[k] / (2.0 * n[static_cast<std::size_t>(k)]);
    const auto add_tet = [&](std::array<Place, 4> corner, bool is_even) {
        if (!is_even) std::swap(corner[2], corner[3]); // positive volume
        std::array<int, 10> tet{};
        for (std::size_t k = 0; k < 4; ++k) tet[k] = number(corner[k]);
        for (std::size_t e = 0; e < 6; ++e) {
            const auto [i, j] = tet10_edges[e];
            tet[4 + e] = number((corner[static_cast<std::size_t>(i)] + corner[static_cast<std::size_t>(j)]) / 2);
        }
        mesh.tets.push_back(tet);
        mesh.chamber.push_back(0);
        for (const auto& side : tet10_faces) {
            AirMesh::Face face;
            for (std::size_t k = 0; k < 6; ++k) face.node[k] = tet[static_cast<std::size_t>(side[k])];
            const auto is_on_panel = [&](int node) { return mesh.nodes(2, node) > test.depth * (1 - 1e-9); };
            if (!std::all_of(face.node.begin(), face.node.end(), is_on_panel)) continue;
            face.board = 0;
            face.side = -1;
            mesh.faces.push_back(face);
        }
    };
    const std::array<std::array<int, 3>, 6> ways = {{{0, 1, 2}, {1, 2, 0}, {2, 0, 1}, {0, 2, 1}, {2, 1, 0}, {1, 0, 2}}};
    for (Place c(0, 0, 0); c.z() < n[2]; ++c.z())
        for (c.y() = 0; c.y() < n[1]; ++c.y())
            for (c.x() = 0; c.x() < n[0]; ++c.x())
                for (std::size_t w = 0; w < 6; ++w) {
                    std::array<Place, 4> corner;
                    corner[0] = 2 * c;
                    for (std::size_t k = 0; k < 3; ++k) corner[k + 1] = corner[k] + 2 * Place::Unit(ways[w][k]);
                    add_tet(corner, w < 3);
                }
    mesh.n_chambers = 1;
    return mesh;
}

/// Panel and air, apart and with what couples them.
struct Problem
{
    const Case& test;
    SystemMatrices panel;
    AirMatrices air;
    RowMatrix C;
    SparseMatrix free; ///< picks the unknowns that are not held

    explicit Problem(const Case& which) : test(which)
    {
        const Cabinet cabinet = panel_cabinet(test);
        const ShellMesh shell = panel_mesh(test);
        LawCache laws;
        const Structure structure = build_structure(cabinet, shell, 100, laws);
        panel = assemble_structure(cabinet, shell, structure).system;
        const AirMesh mesh = cavity_mesh(test);
        CHECK(std::abs(volume(mesh) / (test.a * test.b * test.depth) - 1) < 1e-12);
        air = stillwall::test::assemble_air(mesh, test.c);
        C = air_coupling(cabinet, shell, structure, mesh);
        const std::vector<int> held = holds(shell);
        hold(panel, held);
        std::vector<bool> is_free(static_cast<std::size_t>(C.cols()), true);
        for (int k : held) is_free[static_cast<std::size_t>(k)] = false;
        std::vector<Eigen::Triplet<double>> picks;
        for (int k = 0; k < C.cols(); ++k)
            if (is_free[static_cast<std::size_t>(k)]) picks.emplace_back(k, static_cast<int>(picks.size()), 1);
        free.resize(C.cols(), static_cast<Index>(picks.size()));
        free.setFromTriplets(picks.begin(), picks.end());
        C = C * free * free.transpose(); // what is held does not push
    }

    /// Bending alone, edges simply supported: w and the slope along the edge.
    [[nodiscard]] std::vector<int> holds(const ShellMesh& shell) const
    {
        std::vector<int> held;
        for (int n = 0; n < shell.n_nodes(); ++n) {
            const Vector3d x = shell.nodes.col(n);
            const auto is_at = [&](double value, double place) { return std::abs(value - place) < 1e-9; };
            const bool on_x = is_at(x.x(), 0) || is_at(x.x(), test.a), on_y = is_at(x.y(), 0) || is_at(x.y(), test.b);
            for (int k : {0, 1, 5}) held.push_back(6 * n + k);
            if (on_x || on_y) held.push_back(6 * n + 2);
            if (on_x) held.push_back(6 * n + 3); // θ_x = ∂w/∂y along the sides x = const
            if (on_y) held.push_back(6 * n + 4);
        }
        return held;
    }
};

/// y = (A − σB)⁻¹ B x for the pencil [K −Cᵀ; 0 H] − λ [M 0; ρC Q], a general one.
class ShiftedPencil
{
public:
    ShiftedPencil(const Problem& p, double sigma) : n_(p.free.cols() + p.C.rows())
    {
        const Index nu = p.free.cols();
        const RowMatrix C = p.C * p.free;
        std::vector<Eigen::Triplet<double>> A, B;
        const auto put = [](auto& list, const auto& matrix, Index row, Index column, double factor) {
            using Matrix = std::decay_t<decltype(matrix)>;
            for (Index k = 0; k < matrix.outerSize(); ++k)
                for (typename Matrix::InnerIterator it(matrix, k); it; ++it)
                    list.emplace_back(static_cast<int>(row + it.row()), static_cast<int>(column + it.col()),
                                      factor * it.value());
        };
        put(A, SparseMatrix(p.free.transpose() * p.panel.K * p.free), 0, 0, 1);
        put(A, RowMatrix(C.transpose()), 0, nu, -1);
        put(A, p.air.H, nu, nu, 1);
        put(B, SparseMatrix(p.free.transpose() * p.panel.M * p.free), 0, 0, 1);
        put(B, C, nu, 0, p.test.rho);
        put(B, p.air.Q, nu, nu, 1);
        SparseMatrix a(n_, n_);
        a.setFromTriplets(A.begin(), A.end());
        B_.resize(n_, n_);
        B_.setFromTriplets(B.begin(), B.end());
        lu_.compute(SparseMatrix(a - sigma * B_));
        REQUIRE(lu_.info() == Eigen::Success);
    }
    [[nodiscard]] Index size() const { return n_; }
    [[nodiscard]] VectorXd apply(const VectorXd& x) const { return lu_.solve(B_ * x); }

private:
    Index n_;
    SparseMatrix B_;
    Eigen::SparseLU<SparseMatrix> lu_;
};

/// Frequencies [Hz] of the whole pencil by Arnoldi's method, not restarted, and a general dense eigen-solver.
std::vector<double> direct(const Problem& problem, int n)
{
    const double sigma =
        std::pow(two_pi * 0.6 * problem.test.exact_Hz.front(), 2); // between 0, the air at rest, and the first
    const ShiftedPencil pencil(problem, sigma);
    const Index m = 60;
    MatrixXd V(pencil.size(), m + 1), h = MatrixXd::Zero(m + 1, m);
    for (Index i = 0; i < V.rows(); ++i) V(i, 0) = std::cos(1.0 + static_cast<double>(i * i % 97));
    V.col(0).normalize();
    for (Index k = 0; k < m; ++k) {
        VectorXd x = pencil.apply(V.col(k));
        for (int pass = 0; pass < 2; ++pass) {
            const VectorXd along = V.leftCols(k + 1).transpose() * x;
            x -= V.leftCols(k + 1) * along;
            h.col(k).head(k + 1) += along;
        }
        h(k + 1, k) = x.norm();
        V.col(k + 1) = x / x.norm();
    }
    const Eigen::EigenSolver<MatrixXd> ritz(h.topRows(m));
    std::vector<std::pair<double, double>> found; // frequency, relative residual
    for (Index i = 0; i < m; ++i) {
        const std::complex<double> theta = ritz.eigenvalues()[i], lambda = sigma + 1.0 / theta;
        const double residual = h(m, m - 1) * std::abs(ritz.eigenvectors()(m - 1, i)) / std::abs(theta);
        if (lambda.real() > sigma / 2 && std::abs(lambda.imag()) < 1e-6 * lambda.real())
            found.emplace_back(std::sqrt(lambda.real()) / two_pi, residual);
    }
    std::sort(found.begin(), found.end());
    std::vector<double> f_Hz;
    for (int i = 0; i < n; ++i) {
        CHECK(found.at(static_cast<std::size_t>(i)).second < 1e-8);
        f_Hz.push_back(found[static_cast<std::size_t>(i)].first);
    }
    return f_Hz;
}

/// Shapes of one side, normalised by its mass.
struct Basis
{
    VectorXd lambda;
    MatrixXd phi;
};

/// Modes of the two put together. With generalised coordinates a of the panel, λ_s = Ω², and b of the air, G = φ_aᵀ C
/// φ_s, y = √ρ Ω a:
///     [Ω²         −√ρ Ω Gᵀ  ] [y]     [y]
///     [−√ρ G Ω    Λ + ρ G Gᵀ] [b] = λ [b]        symmetric, positive semidefinite
std::vector<double> synthesis(const Basis& panel, const Basis& air, const RowMatrix& C, double rho, int n)
{
    const Index ns = panel.lambda.size(), na = air.lambda.size();
    const MatrixXd G = air.phi.transpose() * (C * panel.phi);
    MatrixXd A(ns + na, ns + na);
    const VectorXd omega = panel.lambda.cwiseSqrt();
    A.topLeftCorner(ns, ns) = panel.lambda.asDiagonal();
    A.bottomLeftCorner(na, ns) = -std::sqrt(rho) * G * omega.asDiagonal();
    A.topRightCorner(ns, na) = A.bottomLeftCorner(na, ns).transpose();
    A.bottomRightCorner(na, na) = MatrixXd(air.lambda.asDiagonal()) + rho * G * G.transpose();
    const VectorXd lambda = Eigen::SelfAdjointEigenSolver<MatrixXd>(A, Eigen::EigenvaluesOnly).eigenvalues();
    std::vector<double> f_Hz;
    for (Index i = 0; i < lambda.size() && static_cast<int>(f_Hz.size()) < n; ++i)
        if (lambda[i] > 1e-6 * panel.lambda[0]) f_Hz.push_back(std::sqrt(lambda[i]) / two_pi); // below: the air at rest
    return f_Hz;
}

/// Modes of (A, B) and its answers (A + sB)⁻¹ load to what the other side's modes do to it, made into modes of that
/// space.
Basis with_answers(const SparseMatrix& A, const SparseMatrix& B, const MatrixXd& modes, const MatrixXd& loads, double s)
{
    const Eigen::SimplicialLDLT<SparseMatrix> factor(SparseMatrix(A + s * B));
    MatrixXd basis(modes.rows(), modes.cols() + loads.cols());
    basis.leftCols(modes.cols()) = modes;
    Index n = modes.cols();
    for (Index k = 0; k < loads.cols(); ++k) {
        VectorXd x = factor.solve(loads.col(k));
        const double before = std::sqrt(x.dot(B * x));
        for (int pass = 0; pass < 2; ++pass) {
            const VectorXd Bx = B * x;
            x -= basis.leftCols(n) * (basis.leftCols(n).transpose() * Bx);
        }
        const double norm = std::sqrt(x.dot(B * x));
        if (norm > 1e-8 * before) basis.col(n++) = x / norm;
    }
    basis.conservativeResize(Eigen::NoChange, n);
    const Eigen::SelfAdjointEigenSolver<MatrixXd> reduced(basis.transpose() * (A * basis));
    return {reduced.eigenvalues().cwiseMax(0), basis * reduced.eigenvectors()};
}

double worst(const std::vector<double>& f_Hz, const std::vector<double>& exact_Hz)
{
    REQUIRE(f_Hz.size() == exact_Hz.size());
    double value = 0;
    for (std::size_t i = 0; i < f_Hz.size(); ++i) value = std::max(value, std::abs(f_Hz[i] / exact_Hz[i] - 1));
    return value;
}

Basis modes_below(const SparseMatrix& A, const SparseMatrix& B, double f_max, int nodes_dof)
{
    EigenOptions options;
    options.f_max = f_max;
    options.nodes_dof = nodes_dof;
    const EigenResult modes = lowest_modes(A, B, options);
    return {modes.lambda.cwiseMax(0), modes.phi};
}

} // namespace

TEST_CASE("panel on a cavity, direct and from the modes of each", "[solver][skin][reference]")
{
    for (const Case& test : cases) {
        const Problem problem(test);
        const int n = static_cast<int>(test.exact_Hz.size());
        const double top = test.exact_Hz.back();
        const auto whole = direct(problem, n);
        CAPTURE(test.name);
        // Tolerance 0.15 %: at worst the panel has 3.5 elements to the half wave and the air 1.2; measured 0.024,
        // 0.050, 0.089, 0.020 %. What is left on finer meshes, −0.03 %, is the panel's rotary inertia and shear, which
        // the series does not have.
        CHECK(worst(whole, test.exact_Hz) < 1.5e-3);

        // Against the direct solution, the modes of both to twice the highest frequency, measured in %:
        //                                  cube     0.1 m    0.05 m   room
        //     modes alone                  0.211    0.917    5.05     0.236
        //     air's modes to 6 times       0.068    0.297    0.81     0.078     as 1/f: the air's near field at the
        //     panel converges slowly air's answers added          0.0003   0.009    0.25     0.003     with no more
        //     than its few modes both sides' answers          0.0001   0.003    0.002    0.001
        const auto error = [&](const Basis& p, const Basis& a) {
            return worst(synthesis(p, a, problem.C, test.rho, n), whole);
        };
        const auto air_to = [&](double f) { return modes_below(problem.air.H, problem.air.Q, f * top, 1); };
        const Basis panel = modes_below(problem.panel.K, problem.panel.M, 2 * top, 6), air = air_to(2);
        const double s = std::pow(two_pi * 0.3 * top, 2);
        const Basis full_air = with_answers(problem.air.H, problem.air.Q, air.phi, problem.C * panel.phi, s);
        const Basis full_panel =
            with_answers(problem.panel.K, problem.panel.M, panel.phi, problem.C.transpose() * air.phi, 0);
        const double alone = error(panel, air), many = error(panel, air_to(6)), answers = error(panel, full_air);
        CHECK(alone < 0.06);
        CHECK(many < 0.4 * alone);
        CHECK(answers <
              0.5 *
                  many); // few modes and answers beat many modes; 0.31 for the shallow box, whose panel lacks modes too
        // Tolerance: of second order in what the bases miss of the shapes.
        CHECK(error(full_panel, full_air) < 1e-4);
    }
}
