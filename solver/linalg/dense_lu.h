#pragma once
// LU of a dense complex matrix.

#include <Eigen/Core>

#include <vector>

namespace stillwall::solver::internal {

class DenseLu
{
public:
    /// Factors A in its own memory when it is moved in.
    /// @param what  names the system in errors; outlives the factors
    /// @throws SolverError  singular
    explicit DenseLu(Eigen::MatrixXcd A, const char* what = "dense system");

    /// A⁻¹ B, in B's memory when it is moved in. @throws SolverError  the result is not finite
    [[nodiscard]] Eigen::MatrixXcd solve(Eigen::MatrixXcd B) const { return solved('N', std::move(B)); }
    /// A⁻ᵀ B, likewise.
    [[nodiscard]] Eigen::MatrixXcd solve_transposed(Eigen::MatrixXcd B) const { return solved('T', std::move(B)); }

private:
    [[nodiscard]] Eigen::MatrixXcd solved(char op, Eigen::MatrixXcd B) const;

    Eigen::MatrixXcd factors_;
    std::vector<int> pivots_;
    const char* what_;
};

} // namespace stillwall::solver::internal
