#pragma once
// What the user wrote, in SI units and with its place in the file: the parametric description of a
// cabinet. build_cabinet() (build.h) turns it into boards in space.
//
// Cabinet axes: x across the width from the outer left, y from the outer front face to the back,
// z up from the outer bottom. Left, right, front and back as seen by a listener facing the front.

#include "mesh/cabinet/basket.h"
#include "mesh/cabinet/material.h"
#include "mesh/cabinet/small_signal.h"
#include "mesh/cabinet/sound_plan.h"

#include <Eigen/Core>

#include <optional>
#include <string>
#include <vector>

namespace stillwall {

using Eigen::Vector2d;
using Eigen::Vector3d;

/// The range as factors of the typical value, which must not be 0.
inline Quantity relative_range(const Quantity& q)
{
    return {1, q.low / q.value, q.high / q.value, q.source, q.confirmed};
}

/// A spring with its loss.
struct LossySpring
{
    Quantity stiffness; ///< [N/m], > 0
    Quantity loss;      ///< [-]
};

/// Rear of a magnet tied or pressed to another board (magnet brace, preload pad).
struct RearTie
{
    std::string board;
    double depth = 0;   ///< [m] of the magnet's rear behind the mid-plane of the driver's board
    LossySpring spring; ///< along the driver's axis
};

/// Screws of a driver, evenly round its centre, the first straight up (along its board's second axis).
struct ScrewCircle
{
    int count = 0;
    double circle = 0; ///< [m] diameter on which they stand, > 0
    double pilot = 0;  ///< [m] diameter of the pilot holes, > 0
};

/// What a driver takes up before and behind its board, as far as it is known.
struct DriverBody
{
    std::optional<double> depth{};           ///< [m] from the face its flange lies on back to the motor's rear, > 0
    std::optional<double> magnet_diameter{}; ///< [m] of the motor, > 0
    std::optional<double> flange_diameter{}; ///< [m] > the hole
    double recess = 0; ///< [m] depth of the rebate in the board's outer face that takes the flange, ≥ 0
    std::optional<ScrewCircle> screws{};
};

/// A driver, port or plate fixed in an opening; only what moves the boards.
struct InsertPlan
{
    enum class Kind
    {
        None,
        Driver,
        Port,
        Plate,
        Passive
    }; ///< Passive: a passive radiator
    Kind kind = Kind::None;
    std::string name;
    double mass = 0; ///< [kg], >= 0
    /// [kg·m²] about the opening's normal, and about an axis in the board's plane through the centre of mass, > 0;
    /// nothing: estimated from mass and size.
    std::optional<double> inertia_axial{}, inertia_radial{};
    double offset = 0; ///< [m] centre of mass behind the board's mid-plane, positive inwards
    double rim_EI = 0; ///< [N·m²] bending stiffness of the basket rim or frame, ≥ 0
    double volume = 0; ///< [m³] displaced inside the box
    DriverBody body{}; ///< of drivers; of passive radiators flange, recess and screws
    /// Soft mounting of a driver, along the axis, whole ring: the basket hangs on the rim by a gasket instead of being
    /// screwed down hard.
    std::optional<LossySpring> mount{};
    std::optional<Basket> basket{};            ///< of drivers; nothing: one rigid body on the rim
    std::optional<RearTie> rear_tie{};         ///< nothing: the rear is free
    std::optional<SmallSignal> small_signal{}; ///< of drivers (may be missing: then it is silent) and passive radiators
    bool closed_back =
        false; ///< the driver's rear is shut in its own housing (most tweeters): it does not push the air in the box
    /// Ports: from the board's outer face to the inner end [m], > 0; nothing: the board's thickness. A hole without
    /// insert is such a port.
    std::optional<double> port_length{};
    double flare = 0; ///< [m] radius of the rounding at both ends of a port, ≥ 0
};

// Structs named Written… hold what plan and cabinet (cabinet.h) share: it stays as the user wrote it.

struct WrittenOpening
{
    enum class Shape
    {
        Circle,
        Rectangle,
        RoundedRectangle,
        Slot
    };
    std::string name;
    Shape shape = Shape::Circle;
    double width = 0;         ///< [m] diameter for circles; along the board's first axis otherwise
    double height = 0;        ///< [m] along the board's second axis; = width for circles
    double corner_radius = 0; ///< [m], rounded rectangle
    double rotation = 0;      ///< [rad] in the board's plane
    InsertPlan insert;
    SourcePos where;
};

/// A hole in a board.
struct OpeningPlan : WrittenOpening
{
    std::string board;
    /// Centre on the board. In cabinet coordinates for walls (the two that lie in the board: x and z
    /// on front and back, y and z on left and right, x and y on top and bottom), taken on the outer
    /// face and carried in along the board's normal. Any wall may use `along` instead of x or y: the
    /// distance on the outer face from the wall's first corner. On a leaning wall z is measured
    /// along its face from its lower edge. For plates (braces) the two cabinet coordinates that lie in
    /// the plate; for a slanted plate x and y are distances along its own axes (the first one level)
    /// from its outline's middle. Without a centre a window sits in the middle of the plate's clear face.
    std::optional<double> x, y, z, along;
};

/// How the direction of a board's grain is given. LongerEdge: build_cabinet() turns axis 1 of the lay-up
/// along the longer side of the outline's bounding rectangle (e1 when they are equal to 0.1 mm) and
/// `grain` is ignored.
enum class GrainRule
{
    Angle,
    LongerEdge
};

/// A plate inside the cabinet: shelf, window brace, partition.
struct BracePlan
{
    enum class Plane
    {
        Horizontal,  ///< like a shelf; `at` is the z of its mid-plane
        FrontToBack, ///< upright, parallel to the sides of a box; `at` is x
        SideToSide,  ///< upright, parallel to the front of a box; `at` is y
        Slanted      ///< through `point` with `normal`
    };
    std::string name;
    Plane plane = Plane::Horizontal;
    double at = 0;                       ///< [m] position of the mid-plane
    Vector3d point = Vector3d::Zero();   ///< [m], slanted only
    Vector3d normal = Vector3d::UnitZ(); ///< slanted only
    Layup layup;
    double grain = 0; ///< [rad] direction of axis 1 from the plate's first axis
    GrainRule grain_rule = GrainRule::Angle;
    /// Cabinet-axis limits [m] of the plate, each optional: beyond them it is cut off and its edge is
    /// free. Without limits it runs to every wall it meets.
    std::optional<double> x_from, x_to, y_from, y_to, z_from, z_to;
    /// Names of other braces at which this one ends (butted against their face). The part kept is the
    /// one with `point`, or with the middle of the limits (a single limit: the part that touches it), or
    /// else the largest.
    std::vector<std::string> ends_at;
    bool notched = false; ///< cut out at its edges round what stands in its way: holes, drivers, tubes
    SourcePos where;
};

struct WrittenRod
{
    std::string name;
    std::optional<double> diameter; ///< [m] round section, > 0
    double width = 0, height = 0;   ///< [m] rectangular section when there is no diameter
    int material = 0;
    SourcePos where;
};

/// A bar between two points on boards (dowel, threaded rod, batten across the box).
struct RodPlan : WrittenRod
{
    Vector3d from = Vector3d::Zero(), to = Vector3d::Zero(); ///< [m] ends; snapped to the nearest board's mid-plane
};

struct WrittenRib
{
    std::string name;
    double width = 0;  ///< [m] glued face, across the rib
    double height = 0; ///< [m] away from the board
    int material = 0;
    SourcePos where;
};

/// A rib or cleat glued with its narrow side along a board.
struct RibPlan : WrittenRib
{
    std::string board;
    /// Ends on the board, as the opening's coordinates.
    std::optional<double> x1, y1, z1, along1, x2, y2, z2, along2;
    bool inside = true; ///< on the inner face (of a wall); for plates: on the −n face
};

struct WrittenMass
{
    std::string name;
    double mass = 0;              ///< [kg] ≥ 0
    double width = 0, height = 0; ///< [m] along the board's first and second axis it is spread over, ≥ 0; 0: a point
    SourcePos where;
};

/// Something that only weighs: a crossover's board, ballast. It adds no stiffness.
struct MassPlan : WrittenMass
{
    std::string board;
    std::optional<double> x, y, z, along; ///< its middle, as the opening's coordinates
};

struct WrittenSupport
{
    std::string name;
    bool is_clamped_edge = false;
    Vector3d stiffness = Vector3d::Zero();     ///< [N/m] per foot, along cabinet x, y, z: typical
    Quantity stiffness_range{1, 1, 1, {}, {}}; ///< [-] factors on all three; 1, 1, 1 when no range is known
    Quantity loss;                             ///< [-]
    std::string kind; ///< word of the preset the figures came from ("spikes"); empty: own figures
    SourcePos where;
};

/// A support: springs to ground at points, or a clamped edge.
struct SupportPlan : WrittenSupport
{
    std::string board;            ///< board the foot stands on, or whose edge is clamped
    std::string neighbour;        ///< the edge is the one shared with this board (clamped only)
    std::vector<Vector2d> points; ///< [m] foot positions in the board's two cabinet coordinates
    /// [m] under the cabinet's own weight, > 0: the stiffness in the cabinet follows from it.
    std::optional<double> static_deflection;
};

struct WrittenLayer
{
    std::string name;
    Layup layup; ///< listed from the board's face away from it; in the cabinet the board's grain is added to its angles
    SourcePos where;
};

/// A layer bonded to a face of a board: a damping sheet, or a film with a constraining sheet on it.
struct LayerPlan : WrittenLayer
{
    std::string board;
    bool inside = true; ///< on the inner face (of a wall); of plates the −n face
    /// Where on the clear face (between the neighbours' faces): a share of it, in its proportions about its middle …
    double cover = 1; ///< [-] of the area, 0 < cover ≤ 1
    /// … or, when all given, the rectangle between two corners (coordinates as RibPlan's ends), cut to the clear face.
    std::optional<double> x1, y1, z1, along1, x2, y2, z2, along2;
};

/// A joint that is not glued. Per metre of the line it acts as springs between the two contact faces, see LineSpring.
struct JointPlan
{
    enum class Kind
    {
        Glued,   ///< as when nothing is said; overrides what is said of the whole board
        Screwed, ///< wood on wood held by screws
        Gasket,  ///< a soft strip clamped by screws
        Springs  ///< stiffness per metre given
    };
    std::string name;
    Kind kind = Kind::Screwed;
    std::string board; ///< the board that can be taken off
    std::string
        neighbour;      ///< the other board; empty: every board the first meets at its edges or on whose edges it lies
    double spacing = 0; ///< [m] between screws; screwed and gasket
    Quantity screw_axial, screw_shear;           ///< [N/m] of one screw in this wood; screwed and gasket
    Quantity strip_E;                            ///< [Pa] Young's modulus of the strip; gasket
    double strip_thickness = 0, strip_width = 0; ///< [m] gasket
    Quantity normal, shear;                      ///< [N/m per m] springs
    Quantity loss;       ///< [-] of the whole joint; gasket: of the strip, the screws count as screw_loss
    Quantity screw_loss; ///< [-]
    double lip = 0;      ///< [m] wood left standing outside the board in a rebate; 0: nothing, as at a butt joint
    SourcePos where;
};

/// Saw cuts across a board's inner face, along the generator, that let it bend.
struct Kerfs
{
    double pitch = 0;       ///< [m] from cut to cut, > width
    double depth = 0;       ///< [m] 0 < depth < thickness
    double width = 0;       ///< [m] of the saw, > 0
    bool is_filled = false; ///< glue with wood dust in them after bending: the board is whole again
};

/// A wall and what it is made of.
struct WallPlan
{
    std::string name;
    Layup layup;
    double grain = 0; ///< [rad] axis 1 from the wall's first axis (e1)
    GrainRule grain_rule = GrainRule::Angle;
    SourcePos where;
    double bulge = 0; ///< [m] sagitta of the outer face as an arc over the outline's side, > 0 outwards; 0: flat
    std::optional<Kerfs> kerfs{}; ///< of curved walls; the lay-up already has them
};

struct WrittenCabinet
{
    std::string name;
    std::string file;
    std::vector<Material> materials;
    double f_max = 1500;     ///< [Hz] upper frequency of the mode search
    double temperature = 20; ///< [°C] at which damping layers are taken
};

/// The whole description.
struct CabinetPlan : WrittenCabinet
{
    /// Outer outline seen from above, anticlockwise, [m]; side i of the outline is walls[i]. A box
    /// has four: front (0,0)-(W,0), right, back, left; a taper differs in the rear corners.
    std::vector<Vector2d> outline;
    double height = 0;           ///< [m] outer
    std::vector<WallPlan> walls; ///< as many as outline has sides
    WallPlan top, bottom;
    /// Lean of walls[0] about its lower outer edge [rad]; positive leans the top backwards.
    double baffle_slope = 0;
    /// "first covers the end of second", by board name; fallback: front and back cover the sides,
    /// the sides cover top and bottom; in a prism an earlier wall covers a later one. Walls that turn by
    /// less than 30° at their corner are mitred.
    struct Lap
    {
        std::string over, under;
        SourcePos where;
    };
    std::vector<Lap> laps;

    std::vector<OpeningPlan> openings;
    std::vector<BracePlan> braces;
    std::vector<RodPlan> rods;
    std::vector<RibPlan> ribs;
    std::vector<MassPlan> masses;
    std::vector<SupportPlan> supports;
    std::vector<LayerPlan> layers;
    std::vector<JointPlan> joints;
    SoundPlan sound;
    SourcePos where; ///< of the `cabinet` key
};

} // namespace stillwall
