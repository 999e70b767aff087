#pragma once
// An M-orthonormal real basis that grows by blocks of eight, and the lossy problem in its coordinates.

#include "solver/linalg/internal/reduced_pencil.h"

#include <memory>

namespace stillwall::solver::internal {

/// Columns [V T]: V is shared between copies, T is each copy's own.
class SearchSpace
{
public:
    /// @param op  must outlive this object
    /// @param lambda, V  exact modes of (K, M), V of shape (n, m)
    SearchSpace(const LossyOperator& op, const Eigen::VectorXd& lambda, const Eigen::MatrixXd& V);

    /// Adds what is new in the rows of W; directions that lie within the space to 1e-6 of their length are dropped.
    /// @return columns added
    int extend(Eight W);

    /// T becomes part of V, for all copies made from here on.
    void settle();

    /// The part spanned by V y, y of shape (size, m) with orthonormal columns; T must be empty.
    [[nodiscard]] SearchSpace part(const Eigen::MatrixXd& y) const;

    [[nodiscard]] Eigen::Index size() const { return reduced_.size(); }
    [[nodiscard]] const ReducedPencil& reduced() const { return reduced_; }

    /// Full vectors of up to four modes, rows 2k and 2k + 1 the real and imaginary part of mode k. Coordinates missing
    /// at the end of c count as zero.
    [[nodiscard]] Eight vectors(std::span<const ReducedMode> modes) const;

private:
    [[nodiscard]] Eigen::MatrixXd project(const Eight& W) const;
    void subtract(const Eigen::MatrixXd& C, Eight& W) const;
    void append(const Eight& W, Eigen::Index n_columns);

    const LossyOperator* op_;
    std::shared_ptr<const Eigen::MatrixXd> V_;
    Eigen::MatrixXd T_;
    Eigen::Index n_extra_ = 0; ///< columns of T_ in use
    ReducedPencil reduced_;
};

} // namespace stillwall::solver::internal
