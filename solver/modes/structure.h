#pragma once
// A meshed cabinet as a finite-element structure: sections with their joint strips, attachments, system matrices.

#include "mesh/core/shell_mesh.h"
#include "solver/joint/strip_law.h"
#include "solver/shell/assembly.h"

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

/// Elements that share a section.
struct SectionGroup
{
    int board = 0;
    std::vector<StripUse> strips;
};

/// The group's section for a board's (possibly varied) lay-up and materials.
[[nodiscard]] Section group_section(const SectionGroup& group, const Board& board, const Layup& layup,
                                    const std::vector<Material>& materials);

/// Something fixed to the boards.
struct Attachment
{
    enum class Kind { Insert, Rim, Rib, Rod, Tie, Joint, Support };
    Kind kind = Kind::Insert;
    std::string name;
    int board = -1;    ///< board its mass is counted with
    int material = -1; ///< of ribs, rods and joints' blocks
    double loss = 0;   ///< loss factor of its stiffness
    std::vector<int> nodes;
    Eigen::MatrixXd K, M; ///< over the nodes' unknowns; empty when none
};

/// Axial motion of what sits in an opening, over its rim nodes, outward positive.
struct RimTap
{
    std::string name;
    int board = 0;
    bool is_driver = false;
    std::vector<int> nodes;
    Eigen::RowVectorXd row; ///< over 6 unknowns per node
    double width = 0;       ///< [m] smaller side of the opening
    double area = 0;        ///< [m²] of the opening
};

/// Axial motion of a tap in each mode (columns of phi).
[[nodiscard]] Eigen::RowVectorXd tap_motion(const RimTap& tap, const Eigen::MatrixXd& phi);

/// The rows of phi that belong to the nodes, shape (6 n_nodes, n_modes).
[[nodiscard]] Eigen::MatrixXd rows_of(const Eigen::MatrixXd& phi, std::span<const int> nodes);

struct Structure
{
    Eigen::Matrix3Xd nodes;         ///< the mesh's nodes, then those of rods [m]
    std::vector<SectionGroup> groups;
    std::vector<Section> sections;  ///< per group
    std::vector<int> element_group; ///< per quad of the mesh
    std::vector<Attachment> attachments;
    std::vector<RimTap> taps; ///< one per insert
    SystemMatrices system;
    double mass = 0; ///< [kg] rigid translation
};

/// @throws DomainError, MeshError
[[nodiscard]] Structure build_structure(const Cabinet& cabinet, const ShellMesh& mesh);

} // namespace stillwall::solver
