#pragma once
// What must stay free in a cabinet: holes through their boards, drivers' bodies, tubes. For mesh/cabinet's own use.

#include "mesh/cabinet/internal/convex_body.h"

namespace stillwall {

struct Obstacle
{
    enum class Kind
    {
        Hole,
        Driver,
        Tube
    };
    Kind kind = Kind::Hole;
    int board = 0, opening = 0; ///< indices
    ConvexBody body;
    bool is_certain = true; ///< by given figures
};

/// Its depth and magnet where they are given, else estimated (fit.h).
struct DriverSize
{
    double depth = 0, magnet = 0;               ///< [m]
    bool has_depth = false, has_magnet = false; ///< given, not estimated
    [[nodiscard]] bool is_given() const { return has_depth && has_magnet; }
};

[[nodiscard]] DriverSize driver_size(const Board& board, const Opening& opening);

/// All of them, of the boards there are, each grown by `spare` [m].
[[nodiscard]] std::vector<Obstacle> obstacles(const Cabinet& cabinet, double spare);

/// What it is, with its opening's name: "driver 'woofer'".
[[nodiscard]] std::string words_for(const Cabinet& cabinet, const Obstacle& obstacle);

/// "", or that its size is a guess, for the end of a message.
[[nodiscard]] std::string guess_words(const Cabinet& cabinet, const Obstacle& obstacle);

/// Whether an obstacle meets a board's wood, its open windows left out. The board may be moved by `shift` [m] along its
/// normal.
[[nodiscard]] bool meets_wood(const ConvexBody& body, const Board& board, double shift = 0);

/// Cuts a brace's outline round the obstacles in its way, with room to spare. Its sawn shape is left to the caller.
/// @throws InputError when one passes through its middle or would cut it in two
void notch_round_obstacles(const std::vector<Obstacle>& all, const Cabinet& cabinet, Board& brace);

} // namespace stillwall
