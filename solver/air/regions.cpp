#include "solver/air/regions.h"

#include "mesh/core/cut_air.h"
#include "solver/air/internal/cut_tet.h"
#include "solver/air/internal/filling_shape.h"
#include "solver/air/internal/tet_sum.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

namespace stillwall::solver {
namespace {

using internal::CutTet;
using internal::FillingPart;
using internal::PartShares;
using internal::TetPlaces;
using Positions = Eigen::Matrix<double, 3, 10>;

constexpr double touch = 1e-9; ///< [m] a node this near to a limit lies on it

/// One part of a filling with its levels at the mesh's nodes.
struct Part
{
    FillingPart levels;
    Eigen::MatrixXd at_nodes; ///< (levels, nodes)
};

enum class Lies
{
    Outside,
    Inside,
    Across
};

Lies lies(const Part& part, const std::array<int, 10>& tet)
{
    bool is_inside = true;
    for (Eigen::Index k = 0; k < part.at_nodes.rows(); ++k) {
        double low = part.at_nodes(k, tet[0]), high = low;
        for (const int node : tet) {
            low = std::min(low, part.at_nodes(k, node));
            high = std::max(high, part.at_nodes(k, node));
        }
        if (high <= touch) return Lies::Outside;
        is_inside = is_inside && low >= -touch;
    }
    return is_inside ? Lies::Inside : Lies::Across;
}

/// All fillings of a cabinet on a mesh.
class Fillings
{
public:
    Fillings(const Cabinet& cabinet, const AirMesh& mesh, const std::vector<Filling>& fillings)
        : fillings_(fillings.size())
    {
        for (std::size_t f = 0; f < fillings.size(); ++f) {
            for (FillingPart& levels : internal::filling_parts(cabinet, fillings[f])) {
                Eigen::MatrixXd values(static_cast<Eigen::Index>(levels.size()), mesh.n_nodes());
                for (std::size_t k = 0; k < levels.size(); ++k)
                    for (int node = 0; node < mesh.n_nodes(); ++node)
                        values(static_cast<Eigen::Index>(k), node) = levels[k](mesh.nodes.col(node));
                fillings_[f].push_back({std::move(levels), std::move(values)});
            }
        }
    }

    /// Region of a whole element; nothing when a face of a filling runs through it.
    [[nodiscard]] std::optional<std::size_t> region_of(const std::array<int, 10>& tet) const
    {
        for (std::size_t f = fillings_.size(); f-- > 0;) { // the later one holds
            for (const Part& part : fillings_[f]) {
                const Lies where = lies(part, tet);
                if (where == Lies::Inside) return f + 1;
                if (where == Lies::Across) return std::nullopt;
            }
        }
        return 0;
    }

    /// Shares of the regions in the 64 parts of an element. What the later fillings leave goes to the earlier ones.
    [[nodiscard]] std::vector<PartShares> shares(const std::array<int, 10>& tet, const Positions& X) const
    {
        const auto points = CutTet::get().points(X);
        std::vector<PartShares> share(fillings_.size() + 1, PartShares::Zero());
        PartShares left = PartShares::Ones();
        for (std::size_t f = fillings_.size(); f-- > 0;) {
            for (const Part& part : fillings_[f]) {
                const Lies where = lies(part, tet);
                if (where == Lies::Inside) share[f + 1].setOnes();
                if (where == Lies::Across) share[f + 1] += share_of(part.levels, points);
            }
            share[f + 1] = share[f + 1].cwiseMin(left);
            left -= share[f + 1];
        }
        share[0] = left;
        return share;
    }

private:
    static PartShares share_of(const FillingPart& levels, const Eigen::Matrix<double, 3, CutTet::n_points>& points)
    {
        PartShares share = PartShares::Ones();
        const auto& corners = CutTet::get().corners();
        std::array<double, CutTet::n_points> value{};
        for (const internal::Level& level : levels) {
            for (std::size_t p = 0; p < value.size(); ++p) value[p] = level(points.col(static_cast<Eigen::Index>(p)));
            for (std::size_t s = 0; s < corners.size(); ++s) {
                std::array<double, 4> at{};
                for (std::size_t c = 0; c < 4; ++c) at[c] = value[static_cast<std::size_t>(corners[s][c])];
                share[static_cast<Eigen::Index>(s)] *= internal::positive_share(at);
            }
        }
        return share;
    }

    std::vector<std::vector<Part>> fillings_;
};

void add(RegionMatrices& region, const TetPlaces& places, const AirElement& element)
{
    internal::add_tet(element.H, places, region.H);
    internal::add_tet(element.Q, places, region.V);
    region.volume += element.Q.sum();
}

/// The region with the greatest share takes what the others leave, so that the regions always add up to the element.
void add_cut(std::vector<RegionMatrices>& regions, const TetPlaces& places, AirElement whole, const Positions& X,
             const std::vector<PartShares>& shares)
{
    std::size_t greatest = 0;
    for (std::size_t r = 1; r < shares.size(); ++r)
        if (shares[r].sum() > shares[greatest].sum()) greatest = r;
    for (std::size_t r = 0; r < shares.size(); ++r) {
        if (r == greatest || shares[r].maxCoeff() <= 0) continue;
        const AirElement element = CutTet::get().integrate(X, shares[r]);
        whole.H -= element.H;
        whole.Q -= element.Q;
        add(regions[r], places, element);
    }
    add(regions[greatest], places, whole);
}

} // namespace

AirMesh fit_to_fillings(const Cabinet& cabinet, AirMesh mesh, const std::vector<Filling>& fillings)
{
    std::vector<CuttingPlane> planes;
    for (const Filling& filling : fillings) {
        if (filling.board) {
            const Board& board = cabinet.board(*filling.board);
            if (board.frame.is_curved()) continue; // elements across the lining's face count by shares
            const Vector3d n = board.frame.n, way = (board.thickness() / 2 + filling.thickness) * n;
            planes.push_back({board.frame.origin - way, n});
            if (board.kind == Board::Kind::Brace) planes.push_back({board.frame.origin + way, n});
            continue;
        }
        for (int axis = 0; axis < 3; ++axis)
            for (const Vector3d& corner : {filling.low, filling.high}) planes.push_back({corner, Vector3d::Unit(axis)});
    }
    return cut_air(std::move(mesh), planes);
}

std::vector<RegionMatrices> assemble_regions(const Cabinet& cabinet, const AirMesh& mesh,
                                             const std::vector<Filling>& fillings)
{
    const Fillings where(cabinet, mesh, fillings);
    std::vector<RegionMatrices> regions(fillings.size() + 1);
    const SparseMatrix pattern = internal::tet_pattern(mesh);
    for (std::size_t r = 0; r < regions.size(); ++r) {
        if (r > 0) regions[r].filling = r - 1;
        regions[r].H = regions[r].V = pattern;
    }
    for (const auto& tet : mesh.tets) {
        const Positions X = internal::tet_positions(mesh, tet);
        const AirElement element = air_element(X, 1); // Q = ∫ N Nᵀ dV
        const TetPlaces places = internal::tet_places(pattern, tet);
        if (const auto region = where.region_of(tet))
            add(regions[*region], places, element);
        else
            add_cut(regions, places, element, X, where.shares(tet, X));
    }
    return regions;
}

} // namespace stillwall::solver
