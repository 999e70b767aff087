#include "mesh/gmsh/internal/patch.h"

#include "mesh/cabinet/error.h"
#include "mesh/gmsh/internal/curve.h"
#include "mesh/gmsh/internal/gmsh_guides.h"

#include <gmsh.h>

#include <fcntl.h>
#include <unistd.h>

#include <cstdio>
#include <map>

namespace stillwall::mesh {

namespace {

/// Sends standard output to nowhere: the matching code inside Gmsh prints there past all of its options, and standard
/// output belongs to the program's results.
class SilentOutput
{
public:
    SilentOutput()
    {
        std::fflush(stdout);
        const int nowhere = open("/dev/null", O_WRONLY);
        if (nowhere < 0) return;
        saved_ = dup(STDOUT_FILENO);
        if (saved_ >= 0) dup2(nowhere, STDOUT_FILENO);
        close(nowhere);
    }
    ~SilentOutput()
    {
        if (saved_ < 0) return;
        std::fflush(stdout);
        dup2(saved_, STDOUT_FILENO);
        close(saved_);
    }
    SilentOutput(const SilentOutput&) = delete;
    SilentOutput& operator=(const SilentOutput&) = delete;

private:
    int saved_ = -1;
};

/// Draws the region with one short line per element side, so that the mesher keeps the boundary as given.
/// Returns the Gmsh point of each boundary node.
std::vector<int> draw(const Region& region)
{
    std::vector<int> points, curve_loops;
    for (const Vector2d& p : region.points) points.push_back(gmsh::model::geo::addPoint(p.x(), p.y(), 0));
    for (const auto& loop : region.loops) {
        std::vector<int> lines;
        for (std::size_t k = 0; k < loop.size(); ++k) {
            lines.push_back(gmsh::model::geo::addLine(points[loop[k]], points[loop[(k + 1) % loop.size()]]));
            gmsh::model::geo::mesh::setTransfiniteCurve(lines.back(), 2);
        }
        curve_loops.push_back(gmsh::model::geo::addCurveLoop(lines));
    }
    gmsh::model::geo::addPlaneSurface(curve_loops);
    gmsh::model::geo::synchronize();
    return points;
}

bool touches_itself(const Region& region)
{
    std::vector<bool> seen(region.points.size(), false);
    for (const auto& loop : region.loops)
        for (const int node : loop) {
            if (seen[node]) return true;
            seen[node] = true;
        }
    return false;
}

/// The mesh of the only surface; nothing when it has triangles.
std::optional<Patch> collect(const Region& region, const std::vector<int>& points)
{
    std::vector<std::size_t> triangles, quads, unused_tags, tags;
    std::vector<double> x, unused;
    gmsh::model::mesh::getElementsByType(2, unused_tags, triangles);
    gmsh::model::mesh::getElementsByType(3, unused_tags, quads);
    if (!triangles.empty() || quads.empty()) return std::nullopt;
    Patch patch;
    std::map<std::size_t, int> ours; // Gmsh node → node
    patch.points = region.points;
    patch.n_boundary = static_cast<int>(patch.points.size());
    for (int k = 0; k < patch.n_boundary; ++k) {
        gmsh::model::mesh::getNodes(tags, x, unused, 0, points[k], false, false);
        if (tags.size() != 1) return std::nullopt;
        ours[tags.front()] = k;
    }
    gmsh::model::mesh::getNodes(tags, x, unused, 2, -1, false, false);
    for (std::size_t k = 0; k < tags.size(); ++k) {
        ours[tags[k]] = static_cast<int>(patch.points.size());
        patch.points.emplace_back(x[3 * k], x[3 * k + 1]);
    }
    for (std::size_t k = 0; k < quads.size(); k += 4) {
        std::array<int, 4> q{};
        for (int c = 0; c < 4; ++c) {
            const auto it = ours.find(quads[k + c]);
            if (it == ours.end()) return std::nullopt; // a boundary line was split after all
            q[c] = it->second;
        }
        const auto p = [&](int c) { return patch.points[q[c]]; };
        if (cross(p(2) - p(0), p(3) - p(1)) < 0) std::swap(q[1], q[3]);
        patch.quads.push_back(q);
    }
    return patch;
}

} // namespace

GmshSession::GmshSession()
{
    try {
        gmsh::initialize(0, nullptr, false);
        for (const auto& [name, value] : std::initializer_list<std::pair<const char*, double>>{
                 {"General.Terminal", 0},     // messages would go to standard output
                 {"General.NumThreads", 1},   // with two, meshes differ from run to run
                 {"General.AbortOnError", 1}, // a throw inside generate() may leave an OpenMP region
                 {"Mesh.RecombineAll", 1},
                 {"Mesh.RecombinationAlgorithm", 1},
                 {"Mesh.MeshSizeFromPoints", 0},
             })
            gmsh::option::setNumber(name, value);
    } catch (const std::string& message) {
        throw MeshError("Gmsh does not start: " + message);
    }
}

GmshSession::~GmshSession()
{
    try {
        gmsh::finalize();
    } catch (...) { // nothing to be done about a failing clean-up
    }
}

std::optional<Patch> patch_by_gmsh(const Region& region, int algorithm)
{
    std::optional<Patch> patch;
    if (touches_itself(region)) return patch;
    try {
        gmsh::logger::start();
        gmsh::option::setNumber("Mesh.Algorithm", algorithm);
        gmsh::model::add("face");
        const auto points = draw(region);
        {
            const SilentOutput silent;
            gmsh::model::mesh::generate(2);
        }
        if (!first_logged_error()) patch = collect(region, points);
        gmsh::model::remove();
        gmsh::logger::stop();
    } catch (const std::string& message) { // Gmsh throws std::string
        throw MeshError("Gmsh failed: " + message);
    }
    return patch;
}

} // namespace stillwall::mesh
