#include "mesh/cabinet/build.h"
#include "mesh/cabinet/internal/build_steps.h"
#include "mesh/cabinet/opening.h"

#include <cmath>

namespace stillwall {
namespace {

constexpr double rear_reach = 0.03; // [m] farthest a magnet's rear may lie from the mid-plane it touches
constexpr double g = 9.80665;       // [m/s²] standard acceleration of free fall

void check_rear_tie(const Cabinet& cabinet, const Board& own, const Opening& opening)
{
    const RearTie& tie = *opening.insert.rear_tie;
    const std::string key = "openings." + opening.name + ".driver.rear";
    const Board& other = cabinet.board(find_board(cabinet, tie.board, opening.where, key + ".touches"));
    if (&other == &own)
        throw InputError(opening.where, key + ".touches", "must be another board than the driver's own");
    if (!(tie.depth > 0)) throw InputError(opening.where, key + ".depth", "must be greater than 0");
    const Vector3d axis = -own.frame.n;
    const double cosine = other.frame.n.dot(axis);
    constexpr double flattest = 0.2; // a board nearly along the axis cannot be leaned on
    if (std::abs(cosine) < flattest)
        throw InputError(opening.where, key, "'" + other.name + "' lies along the driver's axis and cannot be touched");
    const Vector3d centre = own.frame.to_space(opening.centre);
    const double distance = -other.frame.height_of(centre) / cosine; // along the axis to the other mid-plane
    const double gap = distance - tie.depth;
    if (!(std::abs(gap) <= rear_reach))
        throw InputError(opening.where, key + ".depth",
                         "the magnet's rear lies " + in_mm(std::abs(gap)) + (gap > 0 ? " in front of" : " behind") +
                             " the middle of '" + other.name + "', at most " + in_mm(rear_reach) +
                             " is possible; the middle is " + in_mm(distance) + " behind that of '" + own.name + "'");
    const Vector2d foot = other.frame.to_board(centre + distance * axis);
    if (!contains(other.outline, foot))
        throw InputError(opening.where, key,
                         "the driver's axis passes " + in_mm(distance_to_boundary(other.outline, foot)) + " beside '" +
                             other.name + "'");
    for (const Opening& hole : other.openings) {
        if (land_to_segment(hole, foot, foot) <= 0)
            throw InputError(opening.where, key,
                             "the driver's axis meets the opening '" + hole.name + "' of '" + other.name + "'");
    }
}

} // namespace

void check_rear_ties(const Cabinet& cabinet)
{
    for (const Board& board : cabinet.boards) {
        for (const Opening& opening : board.openings) {
            if (opening.insert.rear_tie) check_rear_tie(cabinet, board, opening);
        }
    }
}

void set_deflections(const CabinetPlan& plan, Cabinet& cabinet)
{
    std::size_t n_feet = 0;
    bool is_asked = false;
    for (const SupportPlan& item : plan.supports) {
        n_feet += item.points.size();
        is_asked = is_asked || item.static_deflection;
    }
    if (!is_asked) return;
    const double weight = bookkeeping(cabinet).mass * g;
    for (std::size_t i = 0; i < plan.supports.size(); ++i) {
        const std::optional<double>& deflection = plan.supports[i].static_deflection;
        if (!deflection) continue;
        const double k = weight / (static_cast<double>(n_feet) * *deflection);
        Vector3d& stiffness = cabinet.supports[i].stiffness;
        // A preset keeps its proportions between sideways and upright.
        stiffness = stiffness.z() > 0 ? Vector3d(stiffness * (k / stiffness.z())) : Vector3d::Constant(k);
    }
}

} // namespace stillwall
