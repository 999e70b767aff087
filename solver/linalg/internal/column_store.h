#pragma once
// A growing tall matrix kept in chunks of columns, and its products with eight vectors.

#include "solver/linalg/internal/buffer.h"
#include "solver/linalg/internal/eight.h"

#include <vector>

namespace stillwall::solver::internal {

/// V, shape (n, any). Nothing is moved when it grows.
class ColumnStore
{
public:
    explicit ColumnStore(int n) : n_(n) {}

    /// Columns at, at + 1 … become the first n_columns rows of W.
    void write(int at, int n_columns, const Eight& W);

    /// Vᵀ Wᵀ of the columns from … from + n_columns, transposed: shape (8, n_columns).
    [[nodiscard]] Eight project(const Eight& W, int from, int n_columns) const;

    /// W ← W − (V Cᵀ)ᵀ, with C of shape (8, n_columns) for the columns from …
    void subtract_combination(const Eight& C, int from, Eight& W) const;

    /// V y for the first y.rows() columns.
    [[nodiscard]] Eigen::MatrixXd times(const Eigen::MatrixXd& y) const;

private:
    // A row of a chunk is contiguous: eight cache lines.
    static constexpr int chunk_columns = 64;

    /// Neighbouring columns in one chunk.
    struct Piece
    {
        const double* data;
        int from, n_columns;
    };
    [[nodiscard]] std::vector<Piece> pieces(int from, int n_columns) const;

    int n_;
    std::vector<Buffer> chunks_;
};

} // namespace stillwall::solver::internal
