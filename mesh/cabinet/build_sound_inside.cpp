// Sources in their holes, tubes of ports, fillings.

#include "mesh/cabinet/build_hull.h"
#include "mesh/cabinet/build_sound.h"
#include "mesh/cabinet/internal/build_sound_steps.h"
#include "mesh/cabinet/internal/build_steps.h"
#include "mesh/cabinet/opening.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <limits>
#include <numbers>

namespace stillwall {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

std::string in_cm2(double area)
{
    char text[40];
    std::snprintf(text, sizeof text, "%.4g cm2", area * 1e4);
    return text;
}

/// Distance along a ray to a board's wood; infinite when it passes beside.
/// @param along  unit vector
double distance_to_wood(const Board& board, const Vector3d& from, const Vector3d& along)
{
    const double half = board.thickness() / 2, height = board.frame.height_of(from), slope = board.frame.n.dot(along);
    if (std::abs(slope) < 1e-9) {
        // In the plane of a brace; a wall so is one beside the tube, which the hole's own place was checked against.
        if (board.kind == Board::Kind::Wall || std::abs(height) >= half) return infinity;
        const Vector2d direction(along.dot(board.frame.e1), along.dot(board.frame.e2));
        std::vector<Interval> wood = line_inside(board.outline, board.frame.to_board(from), direction, false);
        for (const Opening& hole : board.openings) {
            if (!is_open(hole)) continue;
            wood = without(wood, line_inside(opening_outline(hole, 72), board.frame.to_board(from), direction, false));
        }
        for (const Interval& part : wood)
            if (part.second > 0) return std::max(0.0, part.first);
        return infinity;
    }
    const double s = ((height > 0 ? half : -half) - height) / slope;
    if (s < 0) return infinity;
    const Vector2d foot = board.frame.to_board(from + s * along);
    return contains(board.outline, foot) && !is_in_window(board, foot) ? s : infinity;
}

struct Obstacle
{
    double distance = infinity; ///< [m] behind the outer face
    std::string name;
};

/// The first board that a tube behind an opening meets with its rim or axis.
Obstacle first_obstacle(const Cabinet& cabinet, int index, const Opening& opening)
{
    constexpr int n_rim = 32;
    const Board& own = cabinet.board(index);
    std::vector<Vector2d> points = opening_outline(opening, n_rim);
    points.push_back(opening.centre);
    Obstacle first;
    for (const Vector2d& point : points) {
        const Vector3d from = own.frame.to_space(point) + own.thickness() / 2 * own.frame.n;
        for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
            if (static_cast<int>(b) == index) continue;
            const double distance = distance_to_wood(cabinet.boards[b], from, -own.frame.n);
            if (distance < first.distance) first = {distance, cabinet.boards[b].name};
        }
    }
    return first;
}

/// What a tube keeps before its inner end: nearer than this the end correction of a free end no longer holds.
double free_end(const Opening& opening)
{
    return std::sqrt(opening_area(opening) / std::numbers::pi) / 2;
}

void check_tube(const Cabinet& cabinet, int index, const Opening& opening)
{
    if (!opening.insert.port_length) return;
    const double length = *opening.insert.port_length;
    const std::string key = "openings." + opening.name + ".port.length";
    const double thickness = cabinet.board(index).thickness();
    if (length < thickness - 1e-9)
        throw InputError(opening.where, key,
                         "is less than the board's thickness of " + in_mm(thickness) + ", got " + in_mm(length) +
                             "; leave it out for a bare hole");
    const Obstacle first = first_obstacle(cabinet, index, opening);
    const double least = free_end(opening);
    const double gap = first.distance - length;
    if (gap >= least) return;
    const double longest = first.distance - least;
    throw InputError(
        opening.where, key,
        in_mm(length) + (gap > 0 ? " leaves " + in_mm(gap) + " to '" : " runs " + in_mm(-gap) + " into '") +
            first.name + "'; " +
            (longest > thickness
                 ? "at most " + in_mm(longest) + " is possible, which leaves half the port's radius, " + in_mm(least)
                 : "half the port's radius, " + in_mm(least) + ", must stay free: there is no room for a tube"));
}

void check_cone(const Opening& opening)
{
    constexpr double largest_share = 1.5; // half the surround counts as cone, and a cone may stand before its hole
    const double area = opening_area(opening), Sd = opening.insert.small_signal->Sd;
    if (Sd <= largest_share * area) return;
    const bool is_passive = opening.insert.kind == InsertPlan::Kind::Passive;
    throw InputError(opening.where, "openings." + opening.name + (is_passive ? ".passive_radiator.Sd" : ".driver.Sd"),
                     in_cm2(Sd) + " is more than 1.5 times the hole of " + in_cm2(area) + "; check both");
}

void set_region(const FillingPlan& item, const Hull& inner, const std::string& key, Filling& filling)
{
    constexpr std::array<const char*, 3> names{"x", "y", "z"};
    const std::array<const std::optional<double>*, 3> from{&item.x_from, &item.y_from, &item.z_from},
        to{&item.x_to, &item.y_to, &item.z_to};
    for (std::size_t i = 0; i < 3; ++i) {
        const auto k = static_cast<Eigen::Index>(i);
        const auto [low, high] = extent(inner, Vector3d::Unit(k));
        filling.low(k) = std::max(low, from[i]->value_or(-infinity));
        filling.high(k) = std::min(high, to[i]->value_or(infinity));
        if (filling.high(k) - filling.low(k) >= least_land) continue;
        throw InputError(item.where, key,
                         std::string("its region has no room along ") + names[i] + ": the air inside reaches from " +
                             in_mm(low) + " to " + in_mm(high));
    }
}

/// The first cone with figures or port in a brace, and the brace.
std::pair<const Opening*, const Board*> source_inside(const Cabinet& cabinet)
{
    for (const Board& board : cabinet.boards) {
        if (board.kind != Board::Kind::Brace) continue;
        for (const Opening& opening : board.openings)
            if (opening.insert.small_signal || opening.insert.kind == InsertPlan::Kind::Port) return {&opening, &board};
    }
    return {nullptr, nullptr};
}

} // namespace

double longest_tube(const Cabinet& cabinet, std::string_view opening)
{
    const OpeningIndex index = find_opening(cabinet, opening).value();
    const Opening& own = opening_at(cabinet, index);
    return first_obstacle(cabinet, index.board, own).distance - free_end(own);
}

void check_sources(const Cabinet& cabinet)
{
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
        if (cabinet.boards[b].kind == Board::Kind::Brace) continue;
        for (const Opening& opening : cabinet.boards[b].openings) {
            if (opening.insert.small_signal) check_cone(opening);
            if (opening.insert.kind == InsertPlan::Kind::Port) check_tube(cabinet, static_cast<int>(b), opening);
        }
    }
}

bool has_source_inside(const Cabinet& cabinet)
{
    return source_inside(cabinet).first != nullptr;
}

void refuse_sources_inside(const Cabinet& cabinet)
{
    const auto [opening, board] = source_inside(cabinet);
    if (!opening) return;
    throw InputError(opening->where, "openings." + opening->name,
                     "sits in '" + board->name +
                         "' inside the cabinet; cones and ports are computed in outer walls only");
}

void add_fillings(const CabinetPlan& plan, const Cabinet& cabinet, SoundSetting& setting)
{
    constexpr double packing_exponent = 1.53; // see FillingPlan::amount
    const Hull inner = make_hull(cabinet.boards, Hull::Surface::Inner);
    for (const FillingPlan& item : plan.sound.fillings) {
        const std::string key = "air.filling." + item.name;
        if (!(item.amount > 0 && item.amount <= 1))
            throw InputError(item.where, key + ".amount", "must be above 0 and at most 100 %");
        if (!(item.flow_resistivity.value > 0))
            throw InputError(item.where, key, "its flow resistivity must be above zero");
        Filling filling{item};
        filling.flow_resistivity = item.flow_resistivity.value * std::pow(item.amount, packing_exponent);
        if (item.board.empty()) {
            set_region(item, inner, key, filling);
        } else {
            filling.board = find_board(cabinet, item.board, item.where, key + ".board");
            const auto [low, high] = extent(inner, cabinet.board(*filling.board).frame.n);
            const double room = high - low;
            if (!(item.thickness > 0) || item.thickness > room / 2 + 1e-9)
                throw InputError(item.where, key + ".thickness",
                                 "must be above 0 and at most half the clear " + in_mm(room) + " before '" +
                                     item.board + "', got " + in_mm(item.thickness) +
                                     "; fill a region from … to … instead");
        }
        setting.fillings.push_back(std::move(filling));
    }
}

} // namespace stillwall
