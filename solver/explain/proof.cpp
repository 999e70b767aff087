#include "solver/explain/proof.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <set>

namespace stillwall::solver {
namespace {

using Eigen::Index;

/// φₙ of a wall resonance at a node.
double across(const SoundResult& sound, const SoundMode* mode, Index node, const Vector3d& n)
{
    if (mode == nullptr || !mode->wall) return 0;
    return sound.shapes.block<3, 1>(3 * node, *mode->wall).dot(n);
}

double fallen(double f_Hz, double mass, double phi)
{
    return f_Hz / std::sqrt(1 + mass * phi * phi);
}

/// Distance from a point of a board's plane to its outline or the nearest hole's rim [m]; holes as their circumscribed
/// circle.
double room(const Board& board, const Vector2d& p)
{
    double nearest = std::numeric_limits<double>::infinity();
    const std::size_t n = board.outline.size();
    for (std::size_t i = 0; i < n; ++i) {
        const Vector2d a = board.outline[i], edge = board.outline[(i + 1) % n] - a;
        const double t = std::clamp((p - a).dot(edge) / edge.squaredNorm(), 0.0, 1.0);
        nearest = std::min(nearest, (p - a - t * edge).norm());
    }
    for (const Opening& hole : board.openings)
        nearest = std::min(nearest, (p - hole.centre).norm() - 0.5 * std::max(hole.width, hole.height));
    return nearest;
}

struct Spot
{
    int board = 0;
    Index node = 0;
    double phi_first = 0, phi_second = 0;
};

/// Where the squares of the two modes' motions differ most.
std::optional<Spot> spot_between(const Cabinet& cabinet, const SoundResult& sound, const Accused& first,
                                 const Accused& second)
{
    constexpr double margin = 0.025; // [m]
    std::optional<Spot> best;
    double most = 0;
    std::set<Index> seen;
    for (const ShellMesh::Quad& quad : sound.drawn.quads) {
        const Board& board = cabinet.board(quad.board);
        if (board.kind != Board::Kind::Wall) continue;
        for (const int i : quad.node) {
            const auto node = static_cast<Index>(i);
            if (!seen.insert(node).second) continue;
            const Vector3d at = sound.drawn.nodes.col(node), n = board.frame.touching(at).n;
            const double a = across(sound, first.resonance, node, n);
            const double b = across(sound, second.resonance, node, n);
            const double difference = std::abs(a * a - b * b);
            if (difference <= most) continue;
            if (room(board, board.frame.to_board(at)) < margin + 0.5 * board.thickness()) continue;
            most = difference;
            best = Spot{quad.board, node, a, b};
        }
    }
    return best;
}

Proof putty(const Cabinet& cabinet, const SoundResult& sound, const Accused& first, const Accused& second, double f_Hz,
            double Q)
{
    const std::optional<Spot> spot = spot_between(cabinet, sound, first, second);
    if (!spot) return {.kind = Proof::Kind::Repeat};
    const Board& board = cabinet.board(spot->board);
    Proof::Lump lump;
    lump.board = spot->board;
    const Vector3d middle = sound.drawn.nodes.col(spot->node);
    lump.at = middle + 0.5 * board.thickness() * board.frame.touching(middle).n;
    for (const double mass : std::array{0.05, 0.1, 0.2, 0.4}) {
        lump.mass = mass;
        lump.first_falls_to = fallen(f_Hz, mass, spot->phi_first);
        lump.second_falls_to = fallen(f_Hz, mass, spot->phi_second);
        if (std::abs(lump.first_falls_to - lump.second_falls_to) > 0.5 * f_Hz / Q) break;
    }
    return {.kind = Proof::Kind::Putty, .putty = lump};
}

} // namespace

Proof proof_between(const Cabinet& cabinet, const SoundResult& sound, const Accused& first, const Accused& second,
                    double f_Hz, double Q, bool has_free_air)
{
    const auto is_either = [&](Cause cause) { return first.cause == cause || second.cause == cause; };
    if (is_either(Cause::Wall)) return putty(cabinet, sound, first, second, f_Hz, Q);
    if (is_either(Cause::Port)) return {.kind = Proof::Kind::BlockPort};
    if (is_either(Cause::Air)) return {.kind = Proof::Kind::Filling};
    if (is_either(Cause::Rocking)) return {.kind = Proof::Kind::Feet};
    if (is_either(Cause::Driver)) return {.kind = has_free_air ? Proof::Kind::SwapDriver : Proof::Kind::FreeAir};
    return {.kind = Proof::Kind::Repeat};
}

} // namespace stillwall::solver
