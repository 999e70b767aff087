#include "mesh/gmsh/internal/nine_node.h"

#include <algorithm>
#include <cmath>

namespace stillwall::mesh {

namespace {

class Raiser
{
public:
    Raiser(const CornerMesh& corners, const Drawing& drawing, const Cabinet& cabinet, const Layout& layout)
        : corners_(corners), drawing_(drawing), cabinet_(cabinet), layout_(layout)
    {
    }

    ShellMesh raise()
    {
        number_corners();
        place_edge_middles();
        for (const CornerMesh::Quad& q : corners_.quads) add_quad(q);
        mesh_.nodes.resize(3, static_cast<Eigen::Index>(nodes_.size()));
        for (std::size_t k = 0; k < nodes_.size(); ++k) mesh_.nodes.col(static_cast<Eigen::Index>(k)) = nodes_[k];
        collect_rims();
        collect_ribs();
        collect_clamped();
        return std::move(mesh_);
    }

private:
    /// Only corners that some element uses get a number: voids leave vertices without.
    void number_corners()
    {
        number_.assign(corners_.nodes.size(), -1);
        for (const CornerMesh::Quad& q : corners_.quads)
            for (const int node : q.node)
                if (number_[node] < 0) {
                    number_[node] = static_cast<int>(nodes_.size());
                    nodes_.push_back(corners_.nodes[node]);
                }
    }

    /// Middles of sides on the drawing's edges lie on the edge, also when it is an arc.
    void place_edge_middles()
    {
        for (int e = 0; e < static_cast<int>(corners_.edge_nodes.size()); ++e) {
            const auto& list = corners_.edge_nodes[e];
            const double n = static_cast<double>(list.size()) - 1;
            for (std::size_t k = 0; k + 1 < list.size(); ++k)
                middle(list[k], list[k + 1], drawing_.along(e, (static_cast<double>(k) + 0.5) / n));
        }
    }

    int middle(int n0, int n1, const Vector3d& x)
    {
        const auto [it, is_new] = middles_.try_emplace({std::min(n0, n1), std::max(n0, n1)}, 0);
        if (is_new) {
            it->second = static_cast<int>(nodes_.size());
            nodes_.push_back(x);
        }
        return it->second;
    }

    void add_quad(const CornerMesh::Quad& q)
    {
        ShellMesh::Quad quad;
        Vector3d centre = Vector3d::Zero();
        for (int c = 0; c < 4; ++c) {
            const int n0 = q.node[c], n1 = q.node[(c + 1) % 4];
            quad.node[c] = number_[n0];
            quad.node[4 + c] = middle(n0, n1, (corners_.nodes[n0] + corners_.nodes[n1]) / 2);
            centre += nodes_[quad.node[4 + c]] / 2 - corners_.nodes[n0] / 4; // transfinite, exact for straight sides
        }
        quad.node[8] = static_cast<int>(nodes_.size());
        nodes_.push_back(centre);
        quad.board = drawing_.faces[q.face].board;
        quad.zone = zone_of(quad.board, centre);
        mesh_.quads.push_back(quad);
    }

    int zone_of(int board, const Vector3d& centre)
    {
        ShellMesh::Zone zone{board, {}};
        for (int j = 0; j < static_cast<int>(cabinet_.junctions.size()); ++j) {
            const Junction& junction = cabinet_.junctions[j];
            if (junction.passing != board && junction.ending != board) continue;
            const BoardLine line = line_on(cabinet_.boards[board], junction);
            const Vector2d d = cabinet_.boards[board].frame.to_board(centre) - line.from;
            const double t = d.dot(line.along) / line.length;
            if (std::abs(d.dot(line.across)) > strip_on(junction, board)) continue;
            for (const Span& s : layout_.junctions[j].active)
                if (t > s.from && t < s.to) zone.strips.push_back(j);
        }
        const auto [it, is_new] = zones_.try_emplace({board, zone.strips}, static_cast<int>(mesh_.zones.size()));
        if (is_new) mesh_.zones.push_back(std::move(zone));
        return it->second;
    }

    /// Shell nodes along an edge from v[0] to v[1]: corner, middle, corner, …; empty for an edge without elements.
    [[nodiscard]] std::vector<int> edge_nodes(int e) const
    {
        std::vector<int> out;
        const auto& list = corners_.edge_nodes[e];
        for (std::size_t k = 0; k < list.size(); ++k) {
            out.push_back(number_[list[k]]);
            if (k + 1 < list.size())
                out.push_back(middles_.at({std::min(list[k], list[k + 1]), std::max(list[k], list[k + 1])}));
        }
        return out;
    }

    /// Rim edges chained head to tail, anticlockwise; the last node is not the first again.
    void collect_rims()
    {
        mesh_.rims.resize(cabinet_.boards.size());
        for (std::size_t b = 0; b < cabinet_.boards.size(); ++b)
            mesh_.rims[b].resize(cabinet_.boards[b].openings.size());
        std::map<std::tuple<int, int, int>, int> leaving; // (board, opening, vertex) → edge
        for (int e = 0; e < static_cast<int>(drawing_.edges.size()); ++e) {
            const Edge& edge = drawing_.edges[e];
            if (edge.rim && !corners_.edge_nodes[e].empty())
                leaving[{edge.rim->board, edge.rim->opening, edge.v[0]}] = e;
        }
        while (!leaving.empty()) {
            const auto [b, o, first] = leaving.begin()->first;
            auto& rim = mesh_.rims[b][o];
            for (auto it = leaving.begin(); it != leaving.end();) {
                const auto part = edge_nodes(it->second);
                rim.insert(rim.end(), part.begin(), part.end() - 1);
                const int next = drawing_.edges[it->second].v[1];
                leaving.erase(it);
                it = leaving.find({b, o, next});
            }
        }
    }

    void collect_ribs()
    {
        mesh_.rib_edges.resize(cabinet_.ribs.size());
        for (int e = 0; e < static_cast<int>(drawing_.edges.size()); ++e) {
            if (!drawing_.edges[e].rib) continue;
            const auto list = edge_nodes(e);
            for (std::size_t k = 0; k + 2 < list.size(); k += 2)
                mesh_.rib_edges[*drawing_.edges[e].rib].push_back({list[k], list[k + 1], list[k + 2]});
        }
    }

    void collect_clamped()
    {
        mesh_.clamped_nodes.resize(cabinet_.supports.size());
        for (std::size_t s = 0; s < cabinet_.supports.size(); ++s) {
            const Support& support = cabinet_.supports[s];
            if (!support.is_clamped_edge) continue;
            auto& nodes = mesh_.clamped_nodes[s];
            for (int e = 0; e < static_cast<int>(drawing_.edges.size()); ++e)
                for (const int j : drawing_.edges[e].junctions) {
                    const Junction& junction = cabinet_.junctions[j];
                    if (std::minmax(junction.passing, junction.ending) !=
                        std::minmax(support.board, *support.neighbour))
                        continue;
                    const auto list = edge_nodes(e);
                    nodes.insert(nodes.end(), list.begin(), list.end());
                }
            std::sort(nodes.begin(), nodes.end());
            nodes.erase(std::unique(nodes.begin(), nodes.end()), nodes.end());
        }
    }

    const CornerMesh& corners_;
    const Drawing& drawing_;
    const Cabinet& cabinet_;
    const Layout& layout_;
    ShellMesh mesh_;
    std::vector<Vector3d> nodes_;
    std::vector<int> number_; ///< corner node → shell node
    std::map<std::pair<int, int>, int> middles_;
    std::map<std::pair<int, std::vector<int>>, int> zones_;
};

} // namespace

ShellMesh raise_order(const CornerMesh& corners, const Drawing& drawing, const Cabinet& cabinet, const Layout& layout)
{
    return Raiser(corners, drawing, cabinet, layout).raise();
}

} // namespace stillwall::mesh
