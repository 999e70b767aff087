#include "mesh/sawing/halving.h"

#include "mesh/cabinet/opening.h"
#include "mesh/cabinet/polygon_notch.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

namespace stillwall {
namespace {

constexpr int n_arc = 720;            ///< chords of a round window: 0.01 mm off at 1 m
constexpr double least_wood = 0.5e-3; ///< [m] less on the common line is no crossing

/// A plate on the common line of two that cross.
struct OnLine
{
    Vector2d origin, direction;  ///< of the line in the plate's frame
    std::vector<Interval> plate; ///< along the line, windows not taken out
    std::vector<Interval> wood;

    [[nodiscard]] double low() const { return plate.front().first; }
    [[nodiscard]] double high() const { return plate.back().second; }
    [[nodiscard]] Vector2d at(double s) const { return origin + s * direction; }
};

OnLine on_line(const Board& board, const Vector3d& origin, const Vector3d& along)
{
    OnLine line;
    line.origin = board.frame.to_board(origin);
    line.direction = {along.dot(board.frame.e1), along.dot(board.frame.e2)};
    line.plate = line.wood = line_inside(board.sawn, line.origin, line.direction, false);
    for (const Opening& opening : board.openings)
        line.wood =
            without(line.wood, line_inside(opening_outline(opening, n_arc), line.origin, line.direction, false));
    return line;
}

/// Where the two slots meet: the middle of the common wood, or of the window it falls into.
double meeting_place(const std::vector<Interval>& wood)
{
    const double middle = (wood.front().first + wood.back().second) / 2;
    for (std::size_t i = 0; i + 1 < wood.size(); ++i)
        if (middle > wood[i].second && middle < wood[i + 1].first) return (wood[i].second + wood[i + 1].first) / 2;
    return middle;
}

/// @param wood  common to both plates, ascending
HalvingSlot slot_in(int board, int partner, const OnLine& line, const std::vector<Interval>& wood, bool opens_high,
                    double width)
{
    constexpr double infinity = std::numeric_limits<double>::infinity();
    const double meet = meeting_place(wood);
    const std::vector<Interval> taken = // what the partner has there
        common(wood, {opens_high ? Interval{meet, infinity} : Interval{-infinity, meet}});
    const double blind = opens_high ? taken.front().first : taken.back().second;
    const double open = opens_high ? line.high() : line.low();
    HalvingSlot slot;
    slot.board = board;
    slot.partner = partner;
    slot.open = line.at(open);
    slot.blind = line.at(blind);
    slot.width = width;
    slot.is_through = std::none_of(line.wood.begin(), line.wood.end(), [&](const Interval& part) {
        constexpr double edge = 1e-6; // [m]
        const Interval reach = opens_high ? Interval{blind, open} : Interval{open, blind};
        return opens_high ? part.first < blind - edge && part.second > reach.second - edge
                          : part.second > blind + edge && part.first < reach.first + edge;
    });
    return slot;
}

} // namespace

std::vector<HalvingSlot> halving_slots(const Cabinet& cabinet)
{
    std::vector<HalvingSlot> slots;
    std::set<std::pair<int, int>> done; // a line may be in several pieces
    for (const Junction& j : cabinet.junctions) {
        if (j.kind != Junction::Kind::Cross || !done.insert({j.passing, j.ending}).second) continue;
        const Board &a = cabinet.board(j.passing), &b = cabinet.board(j.ending);
        const Vector3d along = (j.to - j.from).normalized();
        const OnLine first = on_line(a, j.from, along), second = on_line(b, j.from, along);
        std::vector<Interval> wood = common(first.wood, second.wood);
        std::erase_if(wood, [](const Interval& part) { return part.second - part.first < least_wood; });
        if (wood.empty()) continue;
        // Whichever way round cuts less.
        const bool first_opens_high = first.high() - second.low() <= second.high() - first.low() + 1e-9;
        const double sine = std::sin(j.angle), cosine = std::abs(std::cos(j.angle));
        const auto width = [&](const Board& own, const Board& other) {
            return (other.thickness() + own.thickness() * cosine) / sine;
        };
        slots.push_back(slot_in(j.passing, j.ending, first, wood, first_opens_high, width(a, b)));
        slots.push_back(slot_in(j.ending, j.passing, second, wood, !first_opens_high, width(b, a)));
    }
    return slots;
}

Polygon slot_outline(const HalvingSlot& slot)
{
    const Vector2d along = (slot.open - slot.blind).normalized();
    const Vector2d half = slot.width / 2 * Vector2d(-along.y(), along.x());
    // Into the window, whose edge may be round.
    const Vector2d blind = slot.is_through ? Vector2d(slot.blind - slot.width / 2 * along) : slot.blind;
    return {blind + half, blind - half, slot.open - half, slot.open + half};
}

Polygon without_slot(const Polygon& outline, const HalvingSlot& slot)
{
    Polygon cut = slot_outline(slot);
    // Out past the edge, which the slot need not meet squarely.
    const Vector2d beyond = (slot.open - slot.blind).normalized() * slot.width;
    cut[2] += beyond;
    cut[3] += beyond;
    const auto rest = notched({outline, std::vector<int>(outline.size(), 0)}, cut, 0);
    return rest ? rest->corners : outline;
}

} // namespace stillwall
