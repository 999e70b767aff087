#pragma once
// A cabinet in space: boards on their mid-surfaces (flat, or bent to a part of a cylinder), where they meet, what is
// cut out of them and what is fixed to them. Plain data, SI units; made by build_cabinet() (build.h).

#include "mesh/cabinet/plan.h"

#include <cmath>
#include <memory>
#include <optional>

namespace stillwall {

/// A right-handed frame on a board's mid-surface: n = e1 × e2. For walls n points outwards. On a curved board the
/// vectors are those at the origin, e2 runs along the generators, and plane coordinates are those of the board rolled
/// out flat: the first is the length of arc from the origin's generator.
struct Frame
{
    Vector3d origin = Vector3d::Zero();
    Vector3d e1 = Vector3d::UnitX(), e2 = Vector3d::UnitY(), n = Vector3d::UnitZ();
    double curvature = 0; ///< κ [1/m] about e2; > 0: bulges to +n, the axis lies 1/κ behind; 0: flat

    [[nodiscard]] bool is_curved() const { return curvature != 0; }
    [[nodiscard]] Vector3d to_space(const Vector2d& p) const
    {
        if (curvature == 0) return origin + p.x() * e1 + p.y() * e2;
        const double angle = curvature * p.x(), half = std::sin(angle / 2);
        return origin + (std::sin(angle) * e1 - 2 * half * half * n) / curvature + p.y() * e2;
    }
    /// Coordinates of the foot of the normal.
    [[nodiscard]] Vector2d to_board(const Vector3d& p) const
    {
        const Vector3d d = p - origin;
        return {curvature == 0 ? d.dot(e1) : angle_of(d) / curvature, d.dot(e2)};
    }
    /// Above the mid-surface, towards n.
    [[nodiscard]] double height_of(const Vector3d& p) const
    {
        const Vector3d d = p - origin;
        if (curvature == 0) return d.dot(n);
        return std::copysign(std::hypot(d.dot(e1), d.dot(n) + 1 / curvature), curvature) - 1 / curvature;
    }
    /// The flat frame that touches a curved board at the foot of a point; of a flat board the frame itself.
    [[nodiscard]] Frame touching(const Vector3d& p) const
    {
        if (curvature == 0) return *this;
        const double angle = angle_of(p - origin), c = std::cos(angle), s = std::sin(angle);
        return {to_space(to_board(p)), c * e1 - s * n, e2, c * n + s * e1};
    }

private:
    [[nodiscard]] double angle_of(const Vector3d& d) const
    {
        return std::atan2(curvature * d.dot(e1), curvature * d.dot(n) + 1);
    }
};

/// A hole in the board's plane.
struct Opening : WrittenOpening
{
    Vector2d centre = Vector2d::Zero(); ///< [m] in the board's frame
};

/// A board, flat or bent; what is given in its plane is as on the board rolled out flat.
struct Board
{
    enum class Kind
    {
        Wall,
        Brace
    };
    std::string name;
    Kind kind = Kind::Wall;
    Layup layup;
    Frame frame;      ///< on the mid-plane
    double grain = 0; ///< [rad] from e1 to the lay-up's zero direction
    /// Corners of the mid-surface model [m], anticlockwise in (e1, e2): it runs to the mid-planes of
    /// the boards it meets.
    std::vector<Vector2d> outline;
    /// Side i of the outline (corner i to i + 1) lies on the mid-plane of this board; nothing: a free edge.
    std::vector<std::optional<int>> edge_on;
    /// Corners of the board as it is sawn, after laps [m]; same frame. For slanted ends the longer face.
    std::vector<Vector2d> sawn;
    std::vector<Opening> openings;
    /// Cut out of a brace at its edge, convex, anticlockwise: `outline` and `sawn` have them out already.
    std::vector<std::vector<Vector2d>> notches;
    SourcePos where;
    std::optional<Kerfs> kerfs{}; ///< cut to bend it

    [[nodiscard]] double thickness() const { return layup.thickness(); }
};

/// How far a joint's strip reaches beyond the neighbour's face, in thicknesses of its own board. The joint's give sits
/// around the re-entrant corner, half of it outside the solid block; a strip that ended at the face could not carry it.
inline constexpr double strip_extension = 0.25;

/// A joint as springs along its line between the two contact faces, per metre of line.
///     screws  k_n = k_axial/s, k_s = k_shear/s; turning about the line: the contact bears at one edge while the screw
///     in
///             the middle stretches, k_θ = k_n (w/2)²
///     strip   k_n = E w/h, k_s = E w/(3 h) and k_θ = k_n w²/12, added to the screws' (the strip is incompressible in
///     shear: G = E/3)
struct LineSpring
{
    std::string name;       ///< of the joint
    Quantity normal, shear; ///< [N/m²] across the contact; along it, both ways
    Quantity turning;       ///< [N/rad] about the line: N·m/rad per metre
    Quantity loss;          ///< [-]
    double width = 0;       ///< [m] of the contact
    int removable = 0;      ///< index of the board that can be taken off
    SourcePos where;
};

/// A straight line on which boards meet: the intersection of their mid-planes. Across a curved board runs a chain of
/// short ones, from facet to facet (FacetedCabinet).
struct Junction
{
    enum class Kind
    {
        Corner, ///< both boards end here
        Tee,    ///< `ending` ends on the face of `passing`
        Cross   ///< both pass (crossing braces, half-lapped)
    };
    Kind kind = Kind::Corner;
    int passing = 0; ///< Corner: the board that covers the other's end grain
    int ending = 0;
    Vector3d from = Vector3d::Zero(), to = Vector3d::Zero(); ///< ends of the line [m]
    /// Half-widths of the solid overlap [m], measured from the line in the plane of each board: inside
    /// this strip the board is part of a solid block.
    double overlap_passing = 0, overlap_ending = 0;
    /// Half-widths of the rows of elements that carry the joint's law [m]: the overlap and a quarter of the board's own
    /// thickness.
    double strip_passing = 0, strip_ending = 0;
    /// [rad] the smaller angle between the boards, in (0, π), π/2 for a square joint. At a corner it is
    /// the angle inside the box, at a re-entrant corner of the outline the one outside; at most π/2
    /// for Tee and Cross.
    double angle = 0;
    std::optional<LineSpring> spring; ///< nothing: glued
};

/// A layer bonded to a face, in the board's plane.
struct FaceLayer : WrittenLayer
{
    int board = 0;
    double side = -1; ///< −1: on the −n face, +1: on the +n face
    /// Covered region in the board's frame [m], anticlockwise, inside the clear face; openings are not taken out.
    std::vector<Vector2d> region{};
    double area = 0; ///< [m²] covered, openings taken out
};

/// A bar tied to two boards.
struct Rod : WrittenRod
{
    Vector3d from = Vector3d::Zero(), to = Vector3d::Zero(); ///< [m] on the boards' mid-planes
    int board_from = 0, board_to = 0;
};

/// A bar glued along a board, its centre line off the mid-plane.
struct Rib : WrittenRib
{
    int board = 0;
    Vector2d from = Vector2d::Zero(), to = Vector2d::Zero(); ///< [m] in the board's frame
    double side = -1;                                        ///< −1: on the −n face, +1: on the +n face
};

/// A weight on a board's mid-plane.
struct PointMass : WrittenMass
{
    int board = 0;
    Vector2d at = Vector2d::Zero(); ///< [m] its middle in the board's frame
};

/// A support resolved onto boards.
struct Support : WrittenSupport
{
    int board = 0;
    std::optional<int> neighbour{}; ///< clamped edges
    std::vector<Vector2d> points{}; ///< in the board's frame
};

/// Porous stuff in the air inside, resolved.
struct Filling : WrittenFilling
{
    double flow_resistivity = 0; ///< [Pa·s/m²] as packed
    /// A lining within `thickness` of this board's inner face (walls) or of both faces (braces); nothing: a region.
    std::optional<int> board{};
    Vector3d low = Vector3d::Zero(), high = Vector3d::Zero(); ///< [m] corners of the region
};

struct Listener
{
    std::string name;
    Vector3d at = Vector3d::Zero(); ///< [m] outside the cabinet and before every rigid plane
};

/// Drivers on one voltage.
struct Way : WrittenWay
{
    struct Driver
    {
        int board = 0, opening = 0; ///< indices
        double sign = 1;            ///< −1: terminals swapped
    };
    std::vector<Driver> drivers{};
};

/// A rigid plane outside; air on the side to which the normal points.
struct OuterPlane
{
    std::string name; ///< "floor" or "wall"
    Vector3d point = Vector3d::Zero(), normal = Vector3d::UnitZ();
};

/// How the cabinet is played and heard, resolved.
struct SoundSetting : WrittenSound ///< with either volts or level
{
    Vector3d level_at = Vector3d::Zero(); ///< [m] where the level holds: 1 m before the reference point
    std::vector<double> frequencies{};    ///< [Hz] ascending
    std::vector<Listener> listeners{};
    std::vector<Way> ways{};
    std::optional<OuterPlane> plane{};
    std::vector<Filling> fillings{};
};

struct FacetedCabinet;

/// The resolved cabinet.
struct Cabinet : WrittenCabinet
{
    std::vector<Board> boards{}; ///< walls in outline order, top, bottom, then braces
    std::vector<Junction> junctions{};
    std::vector<Rod> rods{};
    std::vector<Rib> ribs{};
    std::vector<PointMass> masses{};
    std::vector<Support> supports{};
    std::vector<FaceLayer> layers{};
    /// Curved walls as rows of flat facets, for all that is drawn with planes; nothing where every board is flat.
    std::shared_ptr<const FacetedCabinet> facets{};

    /// Corners of the inner cavity's floor outline and heights are not kept: see Bookkeeping.
    [[nodiscard]] std::optional<int> board_index(std::string_view board_name) const;
    [[nodiscard]] const Board& board(int index) const { return boards.at(static_cast<std::size_t>(index)); }
};

/// A cabinet with curved walls, and the same with each of them as a row of flat facets. A facet's plane lies on the
/// curve's side where the row bounds the area the curve does; it leaves the curve by 0.4 mm,
/// where plates stand by 2 mm at most. All facets of a
/// wall have its name.
struct FacetedCabinet
{
    Cabinet flat;
    std::vector<int> board;    ///< [board of `flat`] → of the cabinet
    std::vector<int> junction; ///< [junction of `flat`] → of the cabinet; −1: between two facets, or where a curved
                               ///< wall goes on smoothly
    std::vector<int> first;    ///< [board of the cabinet] → its (first) board in `flat`
};

/// What the workshop and the designer ask of the drawing.
struct PartLine
{
    std::string name;
    std::string material;                        ///< lay-up label
    double length = 0, width = 0, thickness = 0; ///< [m] sawn blank (bounding rectangle along e1, e2)
    double area = 0;                             ///< [m²] of the finished face, openings taken out
    double mass = 0;                             ///< [kg]
};

/// Totals of the cabinet as drawn.
struct Bookkeeping
{
    std::vector<PartLine> parts; ///< boards, then rods, ribs and layers
    double board_mass = 0;       ///< [kg] exact solid volume × density
    double insert_mass = 0;      ///< [kg] drivers, ports, plates, weights
    double layer_mass = 0;       ///< [kg] layers bonded to faces
    double mass = 0;             ///< [kg] all
    double gross_volume_m3 = 0;  ///< inside the walls, before braces and inserts
    double net_volume_m3 = 0;    ///< less braces, rods, ribs, inner layers and inserts
    double board_area = 0;       ///< [m²]
};

} // namespace stillwall
