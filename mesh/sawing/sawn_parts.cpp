#include "mesh/cabinet/opening.h"
#include "mesh/cabinet/polygon.h"
#include "mesh/sawing/sheet_layout.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace stillwall {
namespace {

std::string in_mm(double length)
{
    const double tenths = std::round(length * 1e4);
    std::string text = std::to_string(static_cast<long>(tenths) / 10);
    if (const long rest = static_cast<long>(tenths) % 10; rest != 0) text += '.' + std::to_string(rest);
    return text;
}

bool is_stiffer_one_way(const Board& board, const std::vector<Material>& materials)
{
    return std::any_of(board.layup.plies.begin(), board.layup.plies.end(), [&](const Ply& ply) {
        const Material& m = materials.at(static_cast<std::size_t>(ply.material));
        return std::abs(m.E1.value / m.E2.value - 1) > 1e-6;
    });
}

double cross(const Vector2d& a, const Vector2d& b)
{
    return a.x() * b.y() - a.y() * b.x();
}

/// The side of a polygon that runs along a line and lies nearest to it; nothing when none does.
std::optional<std::size_t> side_along(const Polygon& polygon, const Vector2d& from, const Vector2d& to)
{
    const Vector2d along = (to - from).normalized(), middle = 0.5 * (from + to);
    std::optional<std::size_t> best;
    double nearest = 0.2; // [m]: farther off it is another one
    for (std::size_t i = 0; i < polygon.size(); ++i) {
        const Vector2d &a = polygon[i], &b = polygon[(i + 1) % polygon.size()];
        const double length = (b - a).norm();
        if (length < 1e-6 || std::abs(cross((b - a) / length, along)) > 0.05) continue;
        const double off = std::abs(cross((b - a) / length, middle - a));
        if (off < nearest) {
            nearest = off;
            best = i;
        }
    }
    return best;
}

/// Moves a side of an anticlockwise polygon outwards; its neighbours keep their lines.
void move_side(Polygon& polygon, std::size_t side, double outwards)
{
    const std::size_t n = polygon.size();
    const std::size_t next = (side + 1) % n, before = (side + n - 1) % n, after = (next + 1) % n;
    const Vector2d direction = (polygon[next] - polygon[side]).normalized();
    const Vector2d shift = outwards * Vector2d(direction.y(), -direction.x());
    const auto meet = [&](const Vector2d& corner, const Vector2d& neighbour) -> Vector2d {
        const Vector2d other = corner - neighbour;
        const double turn = cross(direction, other);
        if (std::abs(turn) < 1e-9 * other.norm()) return corner + shift;
        return corner + other * (cross(direction, shift) / turn);
    };
    const Vector2d first = meet(polygon[side], polygon[before]), second = meet(polygon[next], polygon[after]);
    polygon[side] = first;
    polygon[next] = second;
}

struct Rebate
{
    int board = 0, neighbour = 0; ///< the one that lies in it; the one it is cut into
    double lip = 0;
    Vector3d from, to;
};

std::vector<Rebate> rebates_of(const CabinetPlan& plan, const Cabinet& cabinet)
{
    std::vector<Rebate> rebates;
    for (const Junction& j : cabinet.junctions) {
        if (!j.spring || j.kind != Junction::Kind::Corner || j.passing != j.spring->removable) continue;
        for (const JointPlan& joint : plan.joints)
            if (joint.name == j.spring->name && joint.lip > 0)
                rebates.push_back({j.passing, j.ending, joint.lip, j.from, j.to});
    }
    return rebates;
}

std::string in_degrees(double angle)
{
    std::string text = std::to_string(std::lround(angle * 1800 / std::numbers::pi));
    if (text.size() == 1) text.insert(0, 1, '0');
    if (text.back() == '0') return text.substr(0, text.size() - 1) + "°";
    return text.insert(text.size() - 1, 1, '.') + "°";
}

/// A face by where it looks.
std::string face_word(const Board& board, bool is_plus)
{
    if (board.kind == Board::Kind::Wall) return is_plus ? "outer" : "inner";
    const Vector3d looks = is_plus ? board.frame.n : Vector3d(-board.frame.n);
    Vector3d::Index axis = 0;
    looks.cwiseAbs().maxCoeff(&axis);
    constexpr std::array<std::array<const char*, 2>, 3> words{
        {{"left", "right"}, {"front", "rear"}, {"lower", "upper"}}};
    return words[static_cast<std::size_t>(axis)][looks[axis] > 0];
}

std::vector<std::string> bevel_notes(const Board& board, const BevelledBoard& bevelled)
{
    std::vector<std::string> notes;
    for (const Bevel& bevel : bevelled.edges)
        notes.push_back("edge at " + bevel.at + ": saw tilted by " + in_degrees(bevel.angle) + ", longer on the " +
                        face_word(board, bevel.is_long_on_plus) + " face");
    if (notes.empty()) return notes;
    const auto size = [](const Vector2d& s) { return in_mm(s.maxCoeff()) + " × " + in_mm(s.minCoeff()); };
    notes.push_back(face_word(board, true) + " face " + size(bevelled.faces[1]) + ", " + face_word(board, false) +
                    " face " + size(bevelled.faces[0]));
    return notes;
}

/// Places are told from the lower left corner of the part's drawing.
std::string slot_note(const Cabinet& cabinet, const HalvingSlot& slot, const Bounds2& around)
{
    const Vector2d along = slot.blind - slot.open, middle = slot.open - around.low;
    const bool is_along_x = std::abs(along.x()) > std::abs(along.y());
    return "slot for " + cabinet.board(slot.partner).name + ": " + in_mm(slot.width) + " wide, " +
           in_mm(slot.length()) + " long from the edge" + (slot.is_through ? ", right through into the window" : "") +
           ", its middle at " + (is_along_x ? "y " + in_mm(middle.y()) : "x " + in_mm(middle.x()));
}

void cut_slots(const Cabinet& cabinet, std::vector<SawnPart>& parts)
{
    for (const HalvingSlot& slot : halving_slots(cabinet)) {
        SawnPart& part = parts[static_cast<std::size_t>(slot.board)];
        part.notes.push_back(slot_note(cabinet, slot, bounds(part.outline)));
        part.slots.push_back(slot);
        if (!slot.is_through) part.outline = without_slot(part.outline, slot);
    }
}

/// Rebates, screws and notches, in words.
void add_driver_notes(const Board& board, SawnPart& part)
{
    for (const Opening& o : board.openings) {
        const DriverBody& body = o.insert.body;
        if (!rebate_region(o).empty())
            part.notes.push_back("rebate for " + o.name + ", " + in_mm(*body.flange_diameter) + " across and " +
                                 in_mm(body.recess) + " mm deep");
        if (body.screws)
            part.notes.push_back(std::to_string(body.screws->count) + " pilot holes of " + in_mm(body.screws->pilot) +
                                 " mm for " + o.name + " on a circle of " + in_mm(body.screws->circle) +
                                 " mm, the first straight up");
    }
    if (!board.notches.empty())
        part.notes.push_back("cut out at its edge round what sits there: " + std::to_string(board.notches.size()) +
                             (board.notches.size() == 1 ? " notch" : " notches"));
}

/// How a curved board is bent; its sizes are those of the board rolled out at the neutral fibre, taken as its middle.
void add_bend_notes(const Board& board, SawnPart& part)
{
    if (!board.frame.is_curved()) return;
    const double middle = 1 / std::abs(board.frame.curvature), half = board.thickness() / 2;
    part.notes.push_back("bent to a radius of " + in_mm(middle) + " at its middle, " + in_mm(middle + half) +
                         " on the " + (board.frame.curvature > 0 ? "outer" : "inner") + " face, round the upright; " +
                         in_mm(bounds(part.outline).size().x()) + " long rolled out");
    if (!board.kerfs) return;
    const Kerfs& kerfs = *board.kerfs;
    part.notes.push_back("kerfs upright on the hollow face, every " + in_mm(kerfs.pitch) + ", " + in_mm(kerfs.width) +
                         " wide and " + in_mm(kerfs.depth) + " deep" + (kerfs.is_filled ? ", filled with glue" : ""));
}

} // namespace

std::vector<SawnPart> sawn_parts(const CabinetPlan& plan, const Cabinet& cabinet, const Bookkeeping& books)
{
    std::vector<Polygon> sawn;
    for (const Board& board : cabinet.boards) sawn.push_back(board.sawn);
    std::vector<SawnPart> parts(cabinet.boards.size());
    for (const Rebate& rebate : rebates_of(plan, cabinet)) {
        const auto shift = [&](int index, double outwards) {
            const Frame& frame = cabinet.board(index).frame;
            Polygon& polygon = sawn[static_cast<std::size_t>(index)];
            if (const auto side = side_along(polygon, frame.to_board(rebate.from), frame.to_board(rebate.to)))
                move_side(polygon, *side, outwards);
        };
        const Board& inset = cabinet.board(rebate.board);
        const Board& cut = cabinet.board(rebate.neighbour);
        shift(rebate.board, -rebate.lip);
        shift(rebate.neighbour, inset.thickness());
        parts[static_cast<std::size_t>(rebate.neighbour)].notes.push_back(
            "rebate for " + inset.name + ", " + in_mm(inset.thickness()) + " deep and " +
            in_mm(cut.thickness() - rebate.lip) + " wide, leaving a lip of " + in_mm(rebate.lip) + " mm");
    }
    const std::vector<BevelledBoard> bevelled = bevels_of(cabinet);
    for (std::size_t b = 0; b < cabinet.boards.size(); ++b) {
        const Board& board = cabinet.boards[b];
        SawnPart& part = parts[b];
        part.name = board.name;
        part.material = board.layup.label;
        part.sheets = board.layup.sheets;
        part.thickness = board.thickness();
        part.has_grain = is_stiffer_one_way(board, cabinet.materials);
        part.outline = sawn[b];
        part.n_cutouts = static_cast<int>(board.openings.size());
        add_driver_notes(board, part);
        part.mass = books.parts.at(b).mass;
        const double turn = part.has_grain ? board.grain : 0;
        Polygon turned;
        for (const Vector2d& p : sawn[b])
            turned.push_back(
                {std::cos(turn) * p.x() + std::sin(turn) * p.y(), -std::sin(turn) * p.x() + std::cos(turn) * p.y()});
        const Vector2d size = bounds(turned).size();
        part.is_rectangle = std::abs(std::abs(signed_area(turned)) / size.prod() - 1) < 1e-6;
        part.length = part.has_grain ? size.x() : size.maxCoeff();
        part.width = part.has_grain ? size.y() : size.minCoeff();
        part.bevels = bevelled[b];
        for (std::string& note : bevel_notes(board, part.bevels)) part.notes.push_back(std::move(note));
    }
    cut_slots(cabinet, parts);
    for (std::size_t b = 0; b < parts.size(); ++b) add_bend_notes(cabinet.boards[b], parts[b]);
    return parts;
}

} // namespace stillwall
