#include "solver/air/internal/tet_sum.h"

#include <algorithm>
#include <vector>

namespace stillwall::solver::internal {

Eigen::Matrix<double, 3, 10> tet_positions(const AirMesh& mesh, const std::array<int, 10>& tet)
{
    Eigen::Matrix<double, 3, 10> X;
    for (int a = 0; a < 10; ++a) X.col(a) = mesh.nodes.col(tet[static_cast<std::size_t>(a)]);
    return X;
}

SparseMatrix tet_pattern(const AirMesh& mesh)
{
    const auto n = static_cast<std::size_t>(mesh.n_nodes());
    std::vector<std::vector<int>> neighbours(n);
    for (const auto& tet : mesh.tets)
        for (const int node : tet) {
            auto& list = neighbours[static_cast<std::size_t>(node)];
            list.insert(list.end(), tet.begin(), tet.end());
        }
    SparseMatrix pattern(mesh.n_nodes(), mesh.n_nodes());
    Eigen::Index total = 0;
    for (auto& list : neighbours) {
        std::sort(list.begin(), list.end());
        list.erase(std::unique(list.begin(), list.end()), list.end());
        total += static_cast<Eigen::Index>(list.size());
    }
    pattern.resizeNonZeros(total);
    int* inner = pattern.innerIndexPtr();
    int* const begin = inner;
    for (std::size_t node = 0; node < n; ++node) {
        pattern.outerIndexPtr()[node] = static_cast<int>(inner - begin);
        inner = std::copy(neighbours[node].begin(), neighbours[node].end(), inner);
    }
    pattern.outerIndexPtr()[n] = static_cast<int>(total);
    std::fill_n(pattern.valuePtr(), total, 0.0);
    return pattern;
}

TetPlaces tet_places(const SparseMatrix& pattern, const std::array<int, 10>& tet)
{
    TetPlaces place{};
    for (std::size_t b = 0; b < 10; ++b) {
        const int* const begin = pattern.innerIndexPtr() + pattern.outerIndexPtr()[tet[b]];
        const int* const end = pattern.innerIndexPtr() + pattern.outerIndexPtr()[tet[b] + 1];
        for (std::size_t a = 0; a < 10; ++a)
            place[10 * b + a] = static_cast<int>(std::lower_bound(begin, end, tet[a]) - pattern.innerIndexPtr());
    }
    return place;
}

void add_tet(const Matrix10d& element, const TetPlaces& places, SparseMatrix& sum)
{
    for (std::size_t i = 0; i < places.size(); ++i) sum.valuePtr()[places[i]] += element.data()[i];
}

} // namespace stillwall::solver::internal
