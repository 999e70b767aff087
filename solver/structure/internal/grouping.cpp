#include "solver/structure/internal/grouping.h"

#include "mesh/cabinet/opening.h"
#include "solver/structure/internal/strip_finder.h"

#include <algorithm>
#include <map>

namespace stillwall::solver::internal {
namespace {

constexpr double least_share =
    0.01; ///< of a cell, for leaves that end inside an element: nodes without stiffness and mass must not arise

/// A set of layers, or a rebate, and its share of an element's cells.
struct Covered
{
    std::vector<int> layers;
    Cover share{};
    int rebate = -1; ///< opening of the board; −1: none
};

Cover filled(double value)
{
    Cover cover;
    cover.fill(value);
    return cover;
}

bool is_all(const Cover& cover)
{
    return std::all_of(cover.begin(), cover.end(), [](double c) { return c == 1; });
}
bool is_none(const Cover& cover)
{
    return std::all_of(cover.begin(), cover.end(), [](double c) { return c <= 0; });
}

/// Layers of one board, with the plies at which each bare or covered stack is cut.
class BoardLayers
{
public:
    BoardLayers(const Cabinet& cabinet, const Structure& structure) : cabinet_(cabinet), structure_(structure) {}

    [[nodiscard]] std::vector<int> of(int board) const
    {
        std::vector<int> found;
        for (std::size_t l = 0; l < cabinet_.layers.size(); ++l)
            if (cabinet_.layers[l].board == board) found.push_back(static_cast<int>(l));
        return found;
    }

    [[nodiscard]] const std::vector<PlyOrigin>& soft(int board, const std::vector<int>& layers)
    {
        const auto [found, is_new] = soft_.try_emplace({board, layers});
        if (is_new) found->second = soft_plies(cabinet_, structure_.materials, board, layers, structure_.reference_Hz);
        return found->second;
    }

    [[nodiscard]] bool has_film(int board, int layer)
    {
        const auto& cuts = soft(board, {layer});
        return std::any_of(cuts.begin(), cuts.end(), [layer](const PlyOrigin& p) { return p.layer == layer; });
    }

private:
    const Cabinet& cabinet_;
    const Structure& structure_;
    std::map<std::pair<int, std::vector<int>>, std::vector<PlyOrigin>> soft_;
};

/// One builder for a whole mesh: remembers groups by what makes them.
class Grouping
{
public:
    Grouping(const Cabinet& cabinet, const ShellMesh& mesh, LawTable& laws, BoardNodes& nodes, Structure& structure)
        : cabinet_(cabinet), mesh_(mesh), nodes_(nodes), structure_(structure), strips_(cabinet, mesh, laws),
          layers_(cabinet, structure)
    {
    }

    void add(int quad_index)
    {
        const auto& quad = mesh_.quads[static_cast<std::size_t>(quad_index)];
        const auto key = strips_.key_of(quad);
        for (const Covered& covered : cover(quad_index, key)) {
            const auto& soft = layers_.soft(quad.board, covered.layers);
            const Stack stack = make_stack(cabinet_, quad.board, covered.layers, soft, covered.rebate);
            for (const Leaf& leaf : stack.leaves) add_leaf(quad_index, key, covered, soft, leaf);
            for (const Film& film : stack.films) add_film(quad_index, covered, stack, film);
        }
    }

private:
    /// The element's parts in rebates of its board's outer face, and the rest.
    [[nodiscard]] std::vector<Covered> rebated(const ShellMesh::Quad& quad) const
    {
        std::vector<Covered> parts;
        Covered rest{{}, filled(1)};
        const std::vector<Opening>& openings = cabinet_.board(quad.board).openings;
        for (std::size_t o = 0; o < openings.size(); ++o) {
            const Polygon region = rebate_region(openings[o]);
            if (region.empty()) continue;
            Covered in{{}, cover_of(cabinet_, mesh_, quad, region), static_cast<int>(o)};
            if (is_none(in.share)) continue;
            for (std::size_t c = 0; c < in.share.size(); ++c)
                rest.share[c] = rest.share[c] - in.share[c] < 1e-12 ? 0 : rest.share[c] - in.share[c];
            parts.push_back(std::move(in));
        }
        if (!is_none(rest.share)) parts.push_back(std::move(rest));
        return parts;
    }

    /// The element's parts by what covers them; every part's shares sum to 1 in each cell.
    std::vector<Covered> cover(int quad_index, const StripFinder::Key& key)
    {
        const auto& quad = mesh_.quads[static_cast<std::size_t>(quad_index)];
        std::vector<Covered> parts = rebated(quad);
        for (double side : {-1.0, 1.0}) {
            std::vector<Covered> next;
            for (const Covered& part : parts) {
                Covered rest = part;
                for (int layer : layers_.of(quad.board)) {
                    const FaceLayer& face = cabinet_.layers[static_cast<std::size_t>(layer)];
                    if (face.side != side) continue;
                    if (layers_.has_film(quad.board, layer) && strips_.blocks(key, quad.board, side)) continue;
                    const Cover share = cover_of(cabinet_, mesh_, quad, face.region);
                    Covered with = part;
                    with.layers.push_back(layer);
                    for (std::size_t c = 0; c < share.size(); ++c) {
                        with.share[c] = part.share[c] * share[c];
                        rest.share[c] -= with.share[c];
                    }
                    std::sort(with.layers.begin(), with.layers.end());
                    if (!is_none(with.share)) next.push_back(std::move(with));
                }
                for (double& c : rest.share) c = c < 1e-12 ? 0 : c;
                if (!is_none(rest.share)) next.push_back(std::move(rest));
            }
            parts = std::move(next);
        }
        return parts;
    }

    [[nodiscard]] std::array<int, 9> leaf_nodes(const ShellMesh::Quad& quad, bool is_base, const PlyOrigin& key)
    {
        std::array<int, 9> result{};
        for (std::size_t i = 0; i < 9; ++i)
            result[i] = is_base ? nodes_.base(quad.board, quad.node[i]) : nodes_.leaf(quad.board, key, quad.node[i]);
        return result;
    }

    static std::optional<Cover> share_of(const Covered& covered, bool is_base)
    {
        if (is_all(covered.share)) return std::nullopt;
        Cover share = covered.share;
        if (!is_base)
            for (double& c : share) c = std::max(c, least_share);
        return share;
    }

    void add_leaf(int quad_index, const StripFinder::Key& key, const Covered& covered,
                  const std::vector<PlyOrigin>& soft, const Leaf& leaf)
    {
        const auto& quad = mesh_.quads[static_cast<std::size_t>(quad_index)];
        const auto [found, is_new] = groups_.try_emplace({quad.board, key, covered.layers, covered.rebate, leaf.key},
                                                         static_cast<int>(structure_.groups.size()));
        if (is_new) {
            SectionGroup group{quad.board,    covered.layers, soft,
                               leaf.key,      leaf.is_base,   strips_.uses(key, quad.board),
                               covered.rebate};
            structure_.sections.push_back(group_section(group, cabinet_, structure_.materials));
            structure_.groups.push_back(std::move(group));
        }
        structure_.pieces.push_back(
            {leaf_nodes(quad, leaf.is_base, leaf.key), quad_index, found->second, share_of(covered, leaf.is_base)});
    }

    void add_film(int quad_index, const Covered& covered, const Stack& stack, const Film& film)
    {
        const auto& quad = mesh_.quads[static_cast<std::size_t>(quad_index)];
        const Ply& ply = stack.plies[static_cast<std::size_t>(film.ply)];
        const auto [found, is_new] =
            films_.try_emplace({quad.board, film.key}, static_cast<int>(structure_.films.size()));
        if (is_new) structure_.films.push_back({quad.board, film.key, ply.material, film.z_bottom, ply.thickness});
        FilmPiece piece{{}, quad_index, found->second, share_of(covered, false)};
        for (std::size_t k = 0; k < 2; ++k) {
            const Leaf& leaf = stack.leaves[static_cast<std::size_t>(film.below) + k];
            const auto nodes = leaf_nodes(quad, leaf.is_base, leaf.key);
            std::copy(nodes.begin(), nodes.end(), piece.node.begin() + static_cast<std::ptrdiff_t>(9 * k));
        }
        structure_.film_pieces.push_back(piece);
    }

    const Cabinet& cabinet_;
    const ShellMesh& mesh_;
    BoardNodes& nodes_;
    Structure& structure_;
    StripFinder strips_;
    BoardLayers layers_;
    std::map<std::tuple<int, StripFinder::Key, std::vector<int>, int, PlyOrigin>, int> groups_;
    std::map<std::pair<int, PlyOrigin>, int> films_;
};

} // namespace

void group_elements(const Cabinet& cabinet, const ShellMesh& mesh, LawTable& laws, BoardNodes& nodes,
                    Structure& structure)
{
    Grouping grouping(cabinet, mesh, laws, nodes, structure);
    for (std::size_t q = 0; q < mesh.quads.size(); ++q) {
        const auto& quad = mesh.quads[q];
        std::array<int, 9> base{};
        for (std::size_t i = 0; i < 9; ++i) base[i] = nodes.base(quad.board, quad.node[i]);
        structure.base_nodes.push_back(base);
        grouping.add(static_cast<int>(q));
    }
}

} // namespace stillwall::solver::internal
