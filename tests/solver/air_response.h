#pragma once
// Pressure in the air by regions, from a volume velocity, by a general sparse solver.

#include "solver/air/regions.h"

#include <Eigen/SparseCholesky>
#include <Eigen/SparseLU>

#include <complex>
#include <numbers>
#include <vector>

namespace air_response {

using namespace stillwall::solver;
using Complex = std::complex<double>;

/// p with A p = jω U w: U = 1 m³/s into the air. `fluids` per region; `faces` may be empty.
inline Eigen::VectorXcd pressure(const std::vector<RegionMatrices>& regions, const std::vector<Fluid>& fluids, double f,
                                 const Eigen::VectorXd& w, const SparseMatrix& faces = {}, Complex admittance = 0)
{
    const double omega = 2 * std::numbers::pi * f;
    Eigen::SparseMatrix<Complex> A = regions[0].H.cast<Complex>() * Complex(0);
    for (std::size_t r = 0; r < regions.size(); ++r)
        A += regions[r].H.cast<Complex>() * (1.0 / fluids[r].density) -
             regions[r].V.cast<Complex>() * (omega * omega / fluids[r].bulk);
    if (faces.rows() > 0) A += faces.cast<Complex>() * (Complex(0, omega) * admittance);
    const Eigen::SparseLU<Eigen::SparseMatrix<Complex>> factor(A);
    return factor.solve(Eigen::VectorXcd(Complex(0, omega) * w));
}

/// Static near field: p of a volume velocity spread evenly over w, taken up by the whole volume evenly, for unit
/// density and dU/dt; mean pressure 0. wᵀp is the mass of air over ρ that w has to move [1/m].
inline double near_mass(const RegionMatrices& air, const Eigen::VectorXd& w)
{
    const Eigen::VectorXd ones = Eigen::VectorXd::Ones(w.size()), sink = air.V * ones / air.volume;
    SparseMatrix pinned = air.H; // singular; w − sink is in balance, so that a spring on one node carries nothing
    pinned.coeffRef(0, 0) += pinned.diagonal().maxCoeff();
    const Eigen::SimplicialLDLT<SparseMatrix> factor(pinned);
    const Eigen::VectorXd p = factor.solve(w - sink);
    return w.dot(p) - sink.dot(p);
}

} // namespace air_response
