#include "mesh/cabinet/chambers.h"

#include "mesh/cabinet/internal/cells.h"
#include "mesh/cabinet/opening.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <set>

namespace stillwall {
namespace {

constexpr double least_passage = 1e-6; // [m²]

/// Area that a polygon shares with a convex one [m²].
double shared_area(const Polygon& polygon, const Polygon& convex)
{
    std::vector<EdgedPolygon> parts{{polygon, std::vector<int>(polygon.size(), 0)}};
    for (std::size_t i = 0; i < convex.size(); ++i) {
        const Vector2d along = convex[(i + 1) % convex.size()] - convex[i];
        if (along.norm() < 1e-9) continue;
        const Vector2d out = Vector2d(along.y(), -along.x()).normalized();
        std::vector<EdgedPolygon> rest;
        for (const EdgedPolygon& part : parts)
            for (EdgedPolygon& piece : clip(part, out, out.dot(convex[i]), 0)) rest.push_back(std::move(piece));
        parts = std::move(rest);
    }
    double area = 0;
    for (const EdgedPolygon& part : parts) area += signed_area(part.corners);
    return area;
}

/// Room that a brace leaves in a cell between its faces: area [m²], and as a share.
struct Room
{
    double area = 0, share = 1;
};

Room room_beside(const Board& brace, const Cells::Cell& cell)
{
    Plane level{brace.frame.n, brace.frame.n.dot(cell.middle)};
    Polygon face;
    for (const Vector3d& p : section(cell.faces, level)) face.push_back(brace.frame.to_board(p));
    if (face.size() < 3) return {0, 0};
    if (signed_area(face) < 0) std::reverse(face.begin(), face.end());
    const double whole = signed_area(face);
    double wood = shared_area(brace.outline, face);
    constexpr int fine_arc = 720; // chords: 1e-5 of the radius off the true edge
    for (const Opening& opening : brace.openings)
        if (is_open(opening)) wood -= shared_area(opening_outline(opening, fine_arc), face);
    const double area = std::max(0.0, whole - wood);
    return {area, std::min(1.0, area / whole)};
}

Vector3d before(const Board& board, const Opening& opening, double side)
{
    constexpr double off = 1e-3; // [m] clear of the face
    return board.frame.to_space(opening.centre) + side * (board.thickness() / 2 + off) * board.frame.n;
}

std::string joined_names(const std::vector<std::string>& names)
{
    std::string text;
    for (std::size_t i = 0; i < names.size(); ++i)
        text += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
    return text;
}

/// Cones that push its air, else whatever opens into it.
std::vector<std::string> names_into(const Cabinet& cabinet, const Chamber& chamber)
{
    std::vector<std::string> cones, others;
    for (const Chamber::Hole& hole : chamber.openings) {
        const Opening& opening = cabinet.board(hole.board).openings.at(static_cast<std::size_t>(hole.opening));
        if (cabinet.board(hole.board).kind == Board::Kind::Brace) continue;
        const bool pushes = holds_cone(opening) && !opening.insert.closed_back;
        (pushes ? cones : others).push_back(opening.name);
    }
    return cones.empty() ? others : cones;
}

/// "at the top", by the axis along which it lies farthest off the middle of all.
std::string place_word(const Hull& inner, const Vector3d& middle)
{
    constexpr std::array<std::array<const char*, 2>, 3> words{
        {{"on the left", "on the right"}, {"at the front", "at the back"}, {"at the bottom", "at the top"}}};
    Vector3d off;
    for (Eigen::Index k = 0; k < 3; ++k) {
        const auto [low, high] = extent(inner, Vector3d::Unit(k));
        off(k) = (middle(k) - (low + high) / 2) / (high - low);
    }
    Eigen::Index axis = 0;
    off.cwiseAbs().maxCoeff(&axis);
    return words[static_cast<std::size_t>(axis)][off(axis) > 0 ? 1 : 0];
}

} // namespace

struct Chambers::Inside
{
    explicit Inside(const Cabinet& cabinet) : cabinet_{cabinet}, cells{cabinet} {}

    const Cabinet& cabinet_;
    Cells cells;
    std::vector<Chamber> chambers{};
    std::vector<std::optional<int>> chamber_of{}; ///< per cell; nothing: wood

    void join();
    void add_openings();
    void add_lines();
    void add_names();

    [[nodiscard]] std::optional<int> at(const Vector3d& p) const
    {
        const auto cell = cells.at(p);
        return cell ? chamber_of[*cell] : std::nullopt;
    }
    [[nodiscard]] std::optional<int> behind(int board, int opening, double side) const
    {
        const Board& own = cabinet_.board(board);
        return at(before(own, own.openings.at(static_cast<std::size_t>(opening)), side));
    }
};

void Chambers::Inside::join()
{
    const std::vector<Cells::Cell>& all = cells.all();
    std::vector<double> air(all.size());
    std::vector<bool> is_air(all.size());
    for (std::size_t c = 0; c < all.size(); ++c) {
        Room least;
        bool is_slab = false;
        for (const int brace : cells.slabs_of(all[c])) {
            const Room room = room_beside(cabinet_.board(brace), all[c]);
            if (!is_slab || room.share < least.share) least = room;
            is_slab = true;
        }
        is_air[c] = !is_slab || least.area > least_passage;
        air[c] = all[c].volume * least.share;
    }
    std::vector<std::size_t> head(all.size());
    std::iota(head.begin(), head.end(), std::size_t{0});
    const auto root = [&](std::size_t c) {
        while (head[c] != c) c = head[c] = head[head[c]];
        return c;
    };
    for (std::size_t c = 0; c < all.size(); ++c)
        for (std::size_t plane = 0; is_air[c] && plane < cells.n_planes(); ++plane)
            if (const auto other = cells.beyond(c, plane); other && is_air[*other]) head[root(c)] = root(*other);

    std::map<std::size_t, int> number;
    chamber_of.assign(all.size(), std::nullopt);
    for (std::size_t c = 0; c < all.size(); ++c) {
        if (!is_air[c]) continue;
        const auto [found, is_new] = number.emplace(root(c), static_cast<int>(chambers.size()));
        if (is_new) chambers.emplace_back();
        Chamber& chamber = chambers[static_cast<std::size_t>(found->second)];
        if (is_new) chamber.low = chamber.high = all[c].middle;
        chamber.volume += air[c];
        chamber.middle += air[c] * all[c].middle;
        for (const auto& face : all[c].faces)
            for (const Vector3d& p : face) {
                chamber.low = chamber.low.cwiseMin(p);
                chamber.high = chamber.high.cwiseMax(p);
            }
        chamber_of[c] = found->second;
    }
    for (Chamber& chamber : chambers) chamber.middle /= chamber.volume;
}

void Chambers::Inside::add_openings()
{
    for (std::size_t b = 0; b < cabinet_.boards.size(); ++b) {
        const Board& board = cabinet_.boards[b];
        const bool is_brace = board.kind == Board::Kind::Brace;
        for (std::size_t o = 0; o < board.openings.size(); ++o) {
            if (is_brace && is_open(board.openings[o])) continue;
            for (const double side : {-1.0, 1.0}) {
                if (side > 0 && !is_brace) continue;
                const auto found = behind(static_cast<int>(b), static_cast<int>(o), side);
                if (found)
                    chambers[static_cast<std::size_t>(*found)].openings.push_back(
                        {static_cast<int>(b), static_cast<int>(o)});
            }
        }
    }
}

void Chambers::Inside::add_lines()
{
    for (Chamber& chamber : chambers) chamber.lines.push_back({"between its boards", "walls", chamber.volume, {}});
    for (const VolumeLine& line : volume_lines(cabinet_)) {
        if (line.at.empty()) continue; // walls and braces: the cells are without them
        std::vector<double> share(chambers.size(), 0);
        for (const Vector3d& p : line.at)
            if (const auto chamber = at(p)) share[static_cast<std::size_t>(*chamber)] += 1;
        double sum = std::accumulate(share.begin(), share.end(), 0.0);
        if (sum == 0) { // all of it before wood
            for (std::size_t i = 0; i < chambers.size(); ++i) sum += share[i] = chambers[i].lines.front().volume;
        }
        for (std::size_t i = 0; i < chambers.size(); ++i) {
            if (share[i] == 0) continue;
            chambers[i].lines.push_back({line.name, line.kind, line.volume * share[i] / sum, {}});
            chambers[i].volume += chambers[i].lines.back().volume;
        }
    }
}

void Chambers::Inside::add_names()
{
    const Hull inner = make_hull(cabinet_.boards, Hull::Surface::Inner);
    std::set<std::string> taken;
    for (Chamber& chamber : chambers) {
        const std::vector<std::string> names = names_into(cabinet_, chamber);
        const std::string name =
            names.empty() ? "chamber " + place_word(inner, chamber.middle) : "chamber of " + joined_names(names);
        chamber.name = name;
        for (int n = 2; !taken.insert(chamber.name).second; ++n) chamber.name = name + ", no " + std::to_string(n);
    }
}

Chambers::Chambers(const Cabinet& cabinet) : facets_(cabinet.facets)
{
    auto inside = std::make_unique<Inside>(facets_ ? facets_->flat : cabinet); // planes are what cuts
    if (!inside->cells.all().empty()) {
        inside->join();
        inside->add_openings();
        inside->add_lines();
        inside->add_names();
    }
    if (facets_)
        for (Chamber& chamber : inside->chambers)
            for (Chamber::Hole& hole : chamber.openings)
                hole.board = facets_->board.at(static_cast<std::size_t>(hole.board));
    inside_ = std::move(inside);
}

Chambers::~Chambers() = default;
Chambers::Chambers(Chambers&&) noexcept = default;

const std::vector<Chamber>& Chambers::all() const
{
    return inside_->chambers;
}

std::optional<int> Chambers::at(const Vector3d& p) const
{
    return inside_->at(p);
}

std::optional<int> Chambers::behind(int board, int opening) const
{
    // Openings lie in flat boards only.
    return inside_->behind(facets_ ? facets_->first.at(static_cast<std::size_t>(board)) : board, opening, -1);
}

} // namespace stillwall
