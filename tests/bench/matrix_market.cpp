#include "tests/bench/matrix_market.h"

#include "mesh/cabinet/error.h"

#include <fmt/format.h>

#include <cstdio>
#include <fstream>
#include <memory>
#include <vector>

namespace stillwall::bench {

namespace {

constexpr const char* banner = "%%MatrixMarket matrix coordinate real symmetric";

}

solver::SparseMatrix read_matrix_market(const std::string& path)
{
    std::ifstream file(path);
    std::string line;
    if (!std::getline(file, line) || line.rfind(banner, 0) != 0)
        throw Error(fmt::format("{}: not a file that begins with {}", path, banner));
    while (std::getline(file, line) && line.rfind('%', 0) == 0) {
    }
    long rows = 0, cols = 0, n = 0;
    if (std::sscanf(line.c_str(), "%ld %ld %ld", &rows, &cols, &n) != 3 || rows < 1 || rows != cols) {
        throw Error(fmt::format("{}: expected size line of a square matrix, got '{}'", path, line));
    }
    std::vector<Eigen::Triplet<double>> entries;
    entries.reserve(2 * static_cast<std::size_t>(n));
    for (long k = 0; k < n; ++k) {
        int i = 0, j = 0;
        double value = 0;
        if (!std::getline(file, line) || std::sscanf(line.c_str(), "%d %d %lf", &i, &j, &value) != 3 || i < 1 ||
            j < 1 || i > rows || j > rows) {
            throw Error(fmt::format("{}: entry {} of {} cannot be read: '{}'", path, k + 1, n, line));
        }
        entries.emplace_back(i - 1, j - 1, value);
        if (i != j) entries.emplace_back(j - 1, i - 1, value);
    }
    solver::SparseMatrix A(rows, cols);
    A.setFromTriplets(entries.begin(), entries.end());
    return A;
}

void write_matrix_market(const std::string& path, const solver::SparseMatrix& A)
{
    const solver::SparseMatrix lower = A.triangularView<Eigen::Lower>();
    const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "w"), &std::fclose);
    if (!file) throw Error(fmt::format("{}: cannot be written", path));
    fmt::print(file.get(), "{}\n{} {} {}\n", banner, A.rows(), A.cols(), lower.nonZeros());
    for (int j = 0; j < lower.outerSize(); ++j) {
        for (solver::SparseMatrix::InnerIterator it(lower, j); it; ++it)
            fmt::print(file.get(), "{} {} {:.17g}\n", it.row() + 1, j + 1, it.value());
    }
}

} // namespace stillwall::bench
