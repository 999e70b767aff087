#include "solver/structure/internal/strip_finder.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver::internal {
namespace {

using Eigen::Vector3d;

double sign_of(double x)
{
    return x > 0 ? 1.0 : x < 0 ? -1.0 : 0.0;
}

/// Strips of a joint that is not glued. The board that ends there is rigid where its strip reaches into the other
/// board's thickness (its wood ends at the contact) and bare beyond; the one that passes is bare, and at a corner
/// carries the wood beyond the line.
StripLaw loose_law(const Junction& junction, bool is_passing)
{
    StripLaw law;
    law.F.setIdentity();
    law.in_plane_shear = law.along = law.mass = 1;
    const double overlap = is_passing ? junction.overlap_passing : junction.overlap_ending;
    const double strip = is_passing ? junction.strip_passing : junction.strip_ending;
    if (!is_passing) {
        const double bare = (strip - overlap) / strip;
        law.F *= bare;
        law.in_plane_shear = 1 / bare;
        law.along = law.mass = bare;
    } else if (junction.kind == Junction::Kind::Corner) {
        law.along = law.mass = (strip + overlap) / strip;
    }
    return law;
}

} // namespace

StripFinder::Key StripFinder::key_of(const ShellMesh::Quad& quad) const
{
    const auto& zone = mesh_.zones[static_cast<std::size_t>(quad.zone)];
    const Board& board = cabinet_.board(quad.board);
    const Vector3d centre = mesh_.nodes.col(quad.node[8]);
    Key key;
    for (int j : zone.strips) {
        if (repeats_line(key, j)) continue;
        const Vector3d n = board.frame.touching(junction(j).from).n;
        const Vector3d across = n.cross((junction(j).to - junction(j).from).normalized());
        key.emplace_back(j, (centre - junction(j).from).dot(across) > 0 ? 1 : -1);
    }
    return key;
}

StripLaw StripFinder::law_of(const Junction& junction, int board) const
{
    const bool is_passing = junction.passing == board;
    if (junction.spring) return loose_law(junction, is_passing);
    const JointLaw& joint = laws_.of(junction);
    StripLaw law = is_passing ? joint.row : joint.column;
    // The law is a square joint's; at other angles another part of the strip is the block's wood.
    constexpr double square = 1e-6; // [rad]
    if (law.mass < 1 && std::abs(junction.angle - std::numbers::pi / 2) > square) {
        const double overlap = is_passing ? junction.overlap_passing : junction.overlap_ending;
        const double strip = is_passing ? junction.strip_passing : junction.strip_ending;
        law.along = law.mass = (strip - overlap) / strip;
    }
    return law;
}

double StripFinder::side_of(const Junction& junction, int board) const
{
    const bool is_passing = junction.passing == board;
    const bool is_two_sided =
        junction.kind == Junction::Kind::Cross || (junction.kind == Junction::Kind::Tee && !is_passing);
    const Board& other = cabinet_.board(is_passing ? junction.ending : junction.passing);
    return is_two_sided ? 0 : sign_of(cabinet_.board(board).frame.height_of(middle_of(other)));
}

std::vector<StripUse> StripFinder::uses(const Key& key, int board_index) const
{
    const Board& board = cabinet_.board(board_index);
    std::vector<StripUse> result;
    for (const auto& [j, sign] : key) {
        const Frame frame = board.frame.touching((junction(j).from + junction(j).to) / 2);
        const Vector3d n = sign * frame.n.cross((junction(j).to - junction(j).from).normalized());
        result.push_back({law_of(junction(j), board_index), std::atan2(n.dot(frame.e2), n.dot(frame.e1)),
                          side_of(junction(j), board_index)});
    }
    return result;
}

bool StripFinder::blocks(const Key& key, int board, double side) const
{
    return std::any_of(key.begin(), key.end(), [&](const auto& entry) {
        const Junction& met = junction(entry.first);
        return met.passing != board || met.kind == Junction::Kind::Cross || side_of(met, board) == side;
    });
}

/// Two boards ending on the same line of a passing one (from either face) stiffen it once.
bool StripFinder::repeats_line(const Key& key, int j) const
{
    const Junction& a = junction(j);
    const Vector3d s = (a.to - a.from).normalized();
    return std::any_of(key.begin(), key.end(), [&](const auto& entry) {
        const Junction& b = junction(entry.first);
        return s.cross(b.from - a.from).norm() < 1e-3 && s.cross(b.to - a.from).norm() < 1e-3;
    });
}

} // namespace stillwall::solver::internal
