#pragma once
// A meshed cabinet as a finite-element structure: leaves and films with their joint strips, attachments, system
// matrices.

#include "mesh/core/cover.h"
#include "mesh/core/shell_mesh.h"
#include "solver/linalg/complex_modes.h"
#include "solver/structure/joint/strip_law.h"
#include "solver/structure/section/stack.h"
#include "solver/structure/shell/assembly.h"
#include "solver/structure/shell/element.h"

#include <optional>
#include <string>
#include <vector>

namespace stillwall::solver {

/// One strip acting on a group of elements.
struct StripUse
{
    StripLaw law;
    double direction = 0; ///< [rad] of n from the board's e1, away from the junction line
    double side = 0;      ///< see with_strip
};

/// Elements of one leaf that share a section.
struct SectionGroup
{
    int board = 0;
    std::vector<int> layers;     ///< face layers bonded here (index into Cabinet::layers)
    std::vector<PlyOrigin> soft; ///< plies at which the stack is cut
    PlyOrigin leaf;
    bool is_base = true;
    std::vector<StripUse> strips;
    int rebate = -1; ///< opening of the board whose driver's flange is let in here; −1: none
};

/// Film elements with the same film.
struct FilmGroup
{
    int board = 0;
    PlyOrigin film;
    int material = 0;
    double z_bottom = 0, thickness = 0; ///< [m] in the board's frame
};

/// A shell element of one leaf; where several groups share an element, each has its share of every integration cell.
struct ShellPiece
{
    std::array<int, 9> node{};
    int quad = 0;
    int group = 0;
    std::optional<Cover> share; ///< nothing: all of it
};

/// A film element: nodes of the leaf below, then above.
struct FilmPiece
{
    std::array<int, 18> node{};
    int quad = 0;
    int group = 0;
    std::optional<Cover> share;
};

/// The group's section for a cabinet, nominal or varied in materials and lay-ups. A leaf carries half the mass of each
/// film beside it.
[[nodiscard]] Section group_section(const SectionGroup& group, const Cabinet& cabinet,
                                    const std::vector<Material>& materials);

/// Something fixed to the boards.
struct Attachment
{
    enum class Kind
    {
        Insert,
        Rim,
        Rib,
        Rod,
        Tie,
        Joint,
        Support,
        Mount,
        RearTie,
        Spring,
        Basket,       ///< legs of a driver's frame along its axis, between flange and motor
        BasketRocking ///< the same against rocking and sideways
    };
    Kind kind = Kind::Insert;
    std::string name;  ///< of the driver, rod, support or joint
    int board = -1;    ///< board its mass is counted with
    int material = -1; ///< of ribs, rods and joints' blocks
    double loss = 0;   ///< loss factor of its stiffness
    std::vector<int> nodes;
    Eigen::MatrixXd K, M;                      ///< over the nodes' unknowns; empty when none
    Quantity stiffness_range{1, 1, 1, {}, {}}; ///< relative
    Quantity loss_range{};                     ///< [-], low = high = value when not known
    /// ∂ln (its K and M)/∂ln s, s the share of its driver's mass that lies along the rim; 0: no such thing
    double by_rim_share = 0;
    Quantity rim_share_range{1, 1, 1, {}, {}}; ///< of s, relative
};

/// Axial motion of what sits in an opening, outward positive: of a driver's motor, else of the body on the rim.
struct RimTap
{
    std::string name;
    int board = 0;
    bool is_driver = false;
    std::vector<int> nodes;
    Eigen::RowVectorXd row; ///< over 6 unknowns per node
    /// Over the same unknowns: the motor's against the flange's; empty where they are one body.
    Eigen::RowVectorXd stretch;
    double width = 0; ///< [m] smaller side of the opening
    double area = 0;  ///< [m²] of the opening
};

/// Axial motion of a tap in each mode (columns of phi).
[[nodiscard]] Eigen::RowVectorXd tap_motion(const RimTap& tap, const Eigen::MatrixXd& phi);
/// Its stretch likewise; 0 where motor and flange are one.
[[nodiscard]] Eigen::RowVectorXd tap_stretch(const RimTap& tap, const Eigen::MatrixXd& phi);

/// The rows of phi that belong to the nodes, shape (6 n_nodes, n_modes).
[[nodiscard]] Eigen::MatrixXd rows_of(const Eigen::MatrixXd& phi, std::span<const int> nodes);

struct Structure
{
    Eigen::Matrix3Xd nodes; ///< the mesh's nodes, then those of loosened boards, leaves, rods, drivers that hang [m]
    std::vector<Material> materials; ///< damping layers at the reference frequency
    double reference_Hz = 0;
    std::vector<SectionGroup> groups;
    std::vector<Section> sections; ///< per group
    std::vector<FilmGroup> films;
    std::vector<ShellPiece> pieces;
    std::vector<FilmPiece> film_pieces;
    std::vector<Attachment> attachments;
    std::vector<RimTap> taps;                   ///< one per insert
    std::vector<std::array<int, 9>> base_nodes; ///< per quad: the base leaf's nodes
    std::vector<int> held;                      ///< nodes held (clamped edges)
    int n_drawn = 0;                            ///< the first nodes: those of the mesh and of loosened boards
};

/// Everything but matrices.
/// @param reference_Hz  frequency at which damping layers are taken
/// @throws DomainError, MeshError
[[nodiscard]] Structure build_structure(const Cabinet& cabinet, const ShellMesh& mesh, double reference_Hz,
                                        LawCache& known_laws);

/// The mesh with the nodes that loosened boards have of their own along their joints: what a shape is drawn on.
[[nodiscard]] ShellMesh drawn_mesh(const ShellMesh& mesh, const Structure& structure);

/// K, M and loss of a structure.
struct StructureMatrices
{
    SystemMatrices system;
    /// The loss factor when it is the same everywhere; then system.K_loss is empty.
    std::optional<double> uniform_loss;
    std::vector<DependentStiffness> dependent;
    double mass = 0; ///< [kg] rigid translation
};

[[nodiscard]] StructureMatrices assemble_structure(const Cabinet& cabinet, const ShellMesh& mesh,
                                                   const Structure& structure);

/// Strain operators of a quad of the mesh, in its board's axes.
[[nodiscard]] std::vector<StrainPoint> quad_points(const Cabinet& cabinet, const ShellMesh& mesh, int quad);

/// The board's first axis at the middle of an element: on a curved board it follows the curve.
[[nodiscard]] Eigen::Vector3d quad_axis(const Cabinet& cabinet, const ShellMesh& mesh, int quad);

/// Scales the points' weights by an element's share.
[[nodiscard]] std::vector<StrainPoint> shared(std::vector<StrainPoint> points, const std::optional<Cover>& share);

} // namespace stillwall::solver
