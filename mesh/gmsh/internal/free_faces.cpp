#include "mesh/gmsh/internal/corner_mesh.h"
#include "mesh/gmsh/internal/patch.h"

#include <map>
#include <memory>

namespace stillwall::mesh {

namespace {

constexpr double acceptable = 0.45;   ///< shape of the worst element above which no other way is tried
constexpr std::size_t few_sides = 24; ///< up to so many boundary sides splitting comes first, else Gmsh

/// Tries the ways to fill a face until one is good, and keeps the best.
class FaceFiller
{
public:
    std::optional<Patch> fill(const Region& region, bool thirds)
    {
        best_.reset();
        best_shape_ = thirds ? 1e-3 : 0.03; // what is worse covers nothing
        if (thirds && (take(patch_by_thirds(region)) || best_)) return std::move(best_);
        const auto split = [&] { return take(patch_by_splitting(region)); };
        const auto gmsh = [&](int algorithm) {
            if (!session_) session_ = std::make_unique<GmshSession>();
            return take(patch_by_gmsh(region, algorithm));
        };
        if (region.points.size() <= few_sides)
            (void)(split() || gmsh(6) || gmsh(5));
        else
            (void)(gmsh(6) || gmsh(5) || split());
        return std::move(best_);
    }

private:
    /// Keeps a patch when it is the best so far; true when it is good enough to stop.
    bool take(std::optional<Patch> patch)
    {
        if (!patch) return false;
        smooth(*patch);
        if (const double w = worst_shape(*patch); w > best_shape_) {
            best_shape_ = w;
            best_ = std::move(patch);
        }
        return best_shape_ >= acceptable;
    }

    std::unique_ptr<GmshSession> session_; ///< opened when the first face needs it
    std::optional<Patch> best_;
    double best_shape_ = 0;
};

} // namespace

void fill_free_faces(CornerMesh& mesh, const Drawing& drawing, const std::vector<int>& faces,
                     const std::vector<Remedy>& remedies, FilledFaces& filled)
{
    FaceFiller filler;
    for (const int f : faces) {
        const Face& face = drawing.faces[f];
        const Frame& frame = drawing.frames[face.board];
        Region region;
        std::vector<int> nodes;    // point → node
        std::map<int, int> points; // node → point
        for (const auto& loop : face.loops) {
            region.loops.emplace_back();
            for (const HalfEdge h : loop) {
                const auto list = mesh.along(h);
                for (std::size_t k = 0; k + 1 < list.size(); ++k) {
                    const auto [it, is_new] = points.try_emplace(list[k], static_cast<int>(nodes.size()));
                    if (is_new) {
                        nodes.push_back(list[k]);
                        region.points.push_back(frame.to_board(mesh.nodes[list[k]]));
                    }
                    region.loops.back().push_back(it->second);
                }
            }
        }
        const auto [it, is_new] = filled.try_emplace(f);
        FilledFace& kept = it->second;
        if (is_new || kept.thirds != remedies[f].thirds || kept.boundary != region.points)
            kept = {remedies[f].thirds, region.points, filler.fill(region, remedies[f].thirds)};
        const auto& patch = kept.patch;
        if (!patch) {
            mesh.unfilled.push_back(f);
            continue;
        }
        for (std::size_t k = nodes.size(); k < patch->points.size(); ++k) {
            nodes.push_back(static_cast<int>(mesh.nodes.size()));
            mesh.nodes.push_back(frame.to_space(patch->points[k]));
        }
        for (const auto& q : patch->quads)
            mesh.quads.push_back({{nodes[q[0]], nodes[q[1]], nodes[q[2]], nodes[q[3]]}, f});
    }
}

} // namespace stillwall::mesh
