// What a driver's flange and screws meet on its board.

#include "mesh/cabinet/build_hull.h"
#include "mesh/cabinet/internal/build_steps.h"
#include "mesh/cabinet/internal/fit_steps.h"
#include "mesh/cabinet/opening.h"

namespace stillwall {
namespace {

class Flanges
{
public:
    Flanges(const Cabinet& cabinet, double spare, std::vector<Clash>& found)
        : cabinet_(cabinet), outer_(make_hull(cabinet.boards, Hull::Surface::Outer)), spare_(spare), found_(found)
    {
    }

    void add()
    {
        for (std::size_t b = 0; b < cabinet_.boards.size(); ++b)
            for (std::size_t o = 0; o < cabinet_.boards[b].openings.size(); ++o) {
                const Opening& opening = cabinet_.boards[b].openings[o];
                if (const auto flange = flange_of(opening)) add_flange(static_cast<int>(b), o, *flange);
                add_screws(cabinet_.boards[b], opening);
            }
    }

private:
    void tell(const Opening& opening, const std::string& key, const std::string& other, const std::string& problem)
    {
        const std::string part = "openings." + opening.name;
        const bool is_passive = opening.insert.kind == InsertPlan::Kind::Passive;
        found_.push_back(
            {part, other, part + (is_passive ? ".passive_radiator." : ".driver.") + key, problem, opening.where, true});
    }

    /// The face on which a flange may lie: of a wall with its neighbours' end grain beside it.
    [[nodiscard]] Polygon face_of(int index) const
    {
        const Board& board = cabinet_.board(index);
        if (board.kind == Board::Kind::Brace) return board.sawn;
        Polygon face;
        for (const auto& [k, level] : face_corners(outer_, index))
            face.push_back(
                board.frame.to_board(outer_.corners[static_cast<std::size_t>(k)][static_cast<std::size_t>(level)]));
        return face;
    }

    void add_flange(int index, std::size_t own, const Opening& flange)
    {
        constexpr double flush = 1e-6; // [m] edges may touch
        const Board& board = cabinet_.board(index);
        const bool is_let_in = flange.insert.body.recess > 0;
        if (const double land = land_inside(face_of(index), flange); land < spare_ - flush)
            tell(flange, "flange_diameter", "edge of '" + board.name + "'",
                 "the flange stands " + in_mm(-land) + " over the edge of '" + board.name + "'; move it in");
        else if (const double wood = land_inside(board.sawn, flange); is_let_in && wood < spare_ + least_land)
            tell(flange, "recess", "edge of '" + board.name + "'",
                 "the rebate leaves " + in_mm(wood) + " to the edge of '" + board.name + "' as sawn, at least " +
                     in_mm(least_land) + " is needed; move it in by " + in_mm(least_land - wood));
        for (std::size_t o = 0; o < board.openings.size(); ++o) {
            const Opening& other = board.openings[o];
            if (o == own) continue;
            const auto rim = flange_of(other);
            if (rim && o < own) continue; // told of the other
            const double land = land_between(flange, rim.value_or(other));
            if (land >= spare_ - flush) continue;
            tell(flange, "flange_diameter", (rim ? "flange of '" : "hole '") + other.name + "'",
                 "the flange lies " + in_mm(-land) + " over the " + (rim ? "flange of '" : "hole '") + other.name +
                     "'; move them apart by " + in_mm(-land));
        }
        add_on_face(index, flange);
    }

    void add_on_face(int index, const Opening& flange)
    {
        for (const Rib& rib : cabinet_.ribs) {
            if (rib.board != index || rib.side < 0) continue;
            const double land = land_to_segment(flange, rib.from, rib.to) - rib.width / 2;
            if (land < spare_)
                tell(flange, "flange_diameter", "rib '" + rib.name + "'",
                     "the flange lies under the rib '" + rib.name + "'; move the rib away by " + in_mm(-land));
        }
        const Polygon region = rebate_region(flange);
        for (const FaceLayer& layer : cabinet_.layers) {
            if (region.empty() || layer.board != index || layer.side < 0 || !overlap(layer.region, region)) continue;
            tell(flange, "recess", "layer '" + layer.name + "'",
                 "its rebate is cut through the layer '" + layer.name +
                     "' on the same face; give that layer a rectangle beside the flange, or make it a layer of the "
                     "board");
        }
    }

    void add_screws(const Board& board, const Opening& opening)
    {
        if (!opening.insert.body.screws) return;
        Opening pilot = opening;
        pilot.shape = OpeningPlan::Shape::Circle;
        pilot.width = pilot.height = opening.insert.body.screws->pilot;
        int number = 0;
        for (const Vector2d& place : screw_places(opening)) {
            pilot.centre = place;
            const std::string screw = "screw " + std::to_string(++number) + " (of " +
                                      std::to_string(opening.insert.body.screws->count) +
                                      ", round from straight up by the left)";
            if (const double land = land_inside(board.sawn, pilot); land < least_land + spare_)
                tell(opening, "screws", "edge of '" + board.name + "'",
                     screw + " leaves " + in_mm(land) + " to the edge of '" + board.name + "', at least " +
                         in_mm(least_land) + " is needed; move the driver in or take a smaller circle");
            for (const Opening& hole : board.openings) {
                const double land = land_between(pilot, hole);
                if (land >= least_land) continue;
                tell(opening, "screws", "hole '" + hole.name + "'",
                     screw + " leaves " + in_mm(land) + " to the hole '" + hole.name + "', at least " +
                         in_mm(least_land) + " is needed; " +
                         (hole.name == opening.name ? "take a larger circle" : "move the holes apart"));
            }
        }
    }

    const Cabinet& cabinet_;
    Hull outer_;
    double spare_;
    std::vector<Clash>& found_;
};

} // namespace

void add_flange_clashes(const Cabinet& cabinet, double spare, std::vector<Clash>& found)
{
    Flanges(cabinet, spare, found).add();
}

} // namespace stillwall
