#include "solver/linalg/internal/column_store.h"

#include "solver/linalg/blas.h"

#include <algorithm>

namespace stillwall::solver::internal {

void ColumnStore::write(int at, int n_columns, const Eight& W)
{
    for (int i = 0; i < n_columns;) {
        const auto chunk = static_cast<std::size_t>((at + i) / chunk_columns);
        const int within = (at + i) % chunk_columns;
        const int length = std::min(chunk_columns - within, n_columns - i);
        if (chunk == chunks_.size()) chunks_.emplace_back(static_cast<std::size_t>(n_) * chunk_columns);
        double* to = chunks_[chunk].data() + within;
        for (int row = 0; row < n_; ++row, to += chunk_columns)
            std::copy_n(W.data() + std::ptrdiff_t{8} * row + i, length, to);
        i += length;
    }
}

std::vector<ColumnStore::Piece> ColumnStore::pieces(int from, int n_columns) const
{
    std::vector<Piece> result;
    for (int at = from; at < from + n_columns;) {
        const int within = at % chunk_columns;
        const int length = std::min(chunk_columns - within, from + n_columns - at);
        result.push_back({chunks_[at / chunk_columns].data() + within, at, length});
        at += length;
    }
    return result;
}

Eight ColumnStore::project(const Eight& W, int from, int n_columns) const
{
    // Rows in portions that stay in the second-level cache while the column tiles pass over them.
    constexpr int portion = 256;
    Eight minus = Eight::Zero(8, n_columns);
    for (const Piece& p : pieces(from, n_columns)) {
        for (int row = 0; row < n_; row += portion) {
            const Strided A{p.data + static_cast<std::ptrdiff_t>(row) * chunk_columns, 1, chunk_columns, p.n_columns,
                            std::min(portion, n_ - row)};
            subtract_product(minus.data() + std::ptrdiff_t{8} * (p.from - from), A, W.data() + std::ptrdiff_t{8} * row);
        }
    }
    return -minus;
}

void ColumnStore::subtract_combination(const Eight& C, int from, Eight& W) const
{
    for (const Piece& p : pieces(from, static_cast<int>(C.cols()))) {
        subtract_product(W.data(), {p.data, chunk_columns, 1, n_, p.n_columns},
                         C.data() + std::ptrdiff_t{8} * (p.from - from));
    }
}

Eigen::MatrixXd ColumnStore::times(const Eigen::MatrixXd& y) const
{
    const int k = static_cast<int>(y.cols()), m = static_cast<int>(y.rows());
    Eigen::MatrixXd result = Eigen::MatrixXd::Zero(n_, k);
    for (const Piece& p : pieces(0, m)) {
        gemm({'T', 'N', n_, k, p.n_columns, 1, p.data, chunk_columns, y.data() + p.from, m, 1, result.data(), n_});
    }
    return result;
}

} // namespace stillwall::solver::internal
