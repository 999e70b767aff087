// Frequency and loss of damped cabinets against a direct complex solution: inverse iteration with a general sparse LU
// of K*(f) − σM.

#include "solver/structure/structure.h"
#include "tests/solver/cabinet_fixture.h"

#include <Eigen/SparseLU>

#include <cmath>
#include <numbers>

using namespace cabinet_fixture;
using Catch::Matchers::WithinRel;
using Complex = std::complex<double>;
using ComplexSparse = Eigen::SparseMatrix<Complex>;

namespace {

ComplexSparse stiffness_at(const solver::StructureMatrices& m, double f_Hz)
{
    ComplexSparse K = m.system.K.cast<Complex>() + Complex(0, 1) * m.system.K_loss.cast<Complex>();
    for (const auto& d : m.dependent) K += d.change(f_Hz) * d.K.cast<Complex>();
    return K;
}

/// The eigenvalue nearest to σ.
Complex nearest_eigenvalue(const ComplexSparse& K, const ComplexSparse& M, Complex sigma)
{
    Eigen::SparseLU<ComplexSparse> lu(ComplexSparse(K - sigma * M));
    REQUIRE(lu.info() == Eigen::Success);
    Eigen::VectorXcd x(K.cols());
    for (Eigen::Index i = 0; i < x.size(); ++i) x[i] = Complex(std::cos(1.0 + static_cast<double>(i * i % 97)), 0);
    Complex lambda = sigma;
    for (int step = 0; step < 40; ++step) {
        const Eigen::VectorXcd y = lu.solve(M * x);
        const Complex next = sigma + (x.transpose() * (M * x))(0) / (x.transpose() * (M * y))(0);
        x = y / y.norm();
        const bool is_done = std::abs(next - lambda) < 1e-12 * std::abs(next);
        lambda = next;
        if (is_done) break;
    }
    return lambda;
}

void compare(const CabinetPlan& plan, double f_max, std::vector<std::size_t> which)
{
    const Cabinet cabinet = build_cabinet(plan);
    const ShellMesh mesh = mesh::mesh_shell(cabinet, {.element_size = 0.09});
    solver::ModesOptions options;
    options.f_max = f_max;
    const auto result = solver::analyse_modes(cabinet, mesh, options);
    solver::LawCache laws;
    const auto structure = solver::build_structure(cabinet, mesh, f_max, laws);
    const auto matrices = solver::assemble_structure(cabinet, mesh, structure);
    const ComplexSparse M = matrices.system.M.cast<Complex>();
    for (std::size_t m : which) {
        REQUIRE(m < result.modes.size());
        const solver::Mode& mode = result.modes[m];
        const Complex ours = std::pow(2 * std::numbers::pi * mode.f_Hz, 2) * Complex(1, mode.loss);
        const Complex direct = nearest_eigenvalue(stiffness_at(matrices, mode.f_Hz), M, 1.0001 * ours);
        CAPTURE(mode.f_Hz, mode.loss);
        // Tolerance: λ is good to the square of the residual, 1e-6; what is left is round-off of a cabinet's matrices,
        // 1e-16 of entries 1e5 times the λ sought. The loss printed is a sum of energy shares: the same number by
        // another way.
        CHECK_THAT(std::sqrt(direct.real()) / (2 * std::numbers::pi), WithinRel(mode.f_Hz, 1e-7));
        CHECK_THAT(direct.imag() / direct.real(), WithinRel(mode.loss, 1e-5));
    }
}

} // namespace

TEST_CASE("loss by energy shares is that of the complex solution: bitumen on a wall, a loose back",
          "[solver][modes][lossy]")
{
    CabinetPlan plan = box(make({}));
    plan.materials.push_back(make({.name = "bitumen", .E = 1e9, .rho = 1700, .loss = 0.3}));
    add_layer(plan, "right", {{1, 0.004, 0}}, 0.5);
    loosen_back(plan, 5e7, 2e7, 0.15);
    compare(plan, 900, {0, 1, 2});
}

TEST_CASE("loss by energy shares is that of the complex solution: a constrained layer that stiffens with frequency",
          "[solver][modes][lossy]")
{
    CabinetPlan plan = box(make({}));
    plan.materials.push_back(film(0.4e6, 1.5e6, 0.9));
    plan.walls[1].layup.plies = {{0, 0.009, 0}, {1, 0.0005, 0}, {0, 0.009, 0}};
    compare(plan, 1400, {0, 1, 3});
}
