#include "solver/structure/internal/attachments.h"
#include "solver/structure/shell/beam.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <array>
#include <cmath>

namespace stillwall::solver::internal {
namespace {

using Eigen::Matrix3d;
using Eigen::Vector3d;

constexpr double stiff = 10; ///< times the block's own shear stiffness: stiff beside the boards, harmless to the factor

/// Share of a corner bar's mass that is its own: where three boards meet, a third of the cube belongs to each bar, of
/// which the bar on the mid-lines covers half.
double own_share(const Cabinet& cabinet, const Junction& junction)
{
    double spare = 0;
    for (const Junction& other : cabinet.junctions) {
        if (other.kind != Junction::Kind::Corner || &other == &junction) continue;
        if (other.passing == junction.passing && other.ending == junction.ending) continue; // round a curved board
        const bool shares_passing = other.passing == junction.passing || other.ending == junction.passing;
        if (!shares_passing) continue; // each third board meets the passing one in exactly one other corner at an end
        const int third = other.passing == junction.passing ? other.ending : other.passing;
        for (const Vector3d& end : {junction.from, junction.to})
            if ((end - other.from).norm() < 1e-6 || (end - other.to).norm() < 1e-6)
                spare += cabinet.board(third).thickness() / 6;
    }
    return std::max(0.0, 1 - spare / (junction.to - junction.from).norm());
}

/// A passing board's section with axis 1 along the junction line.
Section section_along(const Cabinet& cabinet, const Junction& junction)
{
    const Board& passing = cabinet.board(junction.passing);
    return make_section(passing.layup, cabinet.materials, passing.grain - edge_direction(passing, junction));
}

/// The solid block of a corner: a bar on the junction line, of the passing board's wood, free to contract across.
BarSection corner_block(const Cabinet& cabinet, const Junction& junction, const Section& along)
{
    const double height = along.thickness;
    const double width = cabinet.board(junction.ending).thickness() / std::sin(junction.angle);
    const Matrix3d compliance = along.C.topLeftCorner<3, 3>().inverse();
    // Between the perpendiculars through the inner and the outer corner; 1 for a square joint.
    const double area =
        junction.overlap_passing * height + junction.overlap_ending * cabinet.board(junction.ending).thickness();
    const double density = along.mass / height * own_share(cabinet, junction) * area / (width * height);
    BarSection block =
        rectangle_bar(width, height, 1 / (compliance(0, 0) * height), along.C(6, 6) * 1.2 / height, density);
    block.shear = stiff;
    return block;
}

/// Round a curved board the middle node stands off the chord on which the bar lies; it carries the bar's by a rigid
/// arm.
/// @param X  its middle is moved onto the chord
/// @return   the bar's unknowns from the nodes', shape (18, 18); empty where the middle is on the chord
Eigen::MatrixXd onto_chord(Matrix3d& X)
{
    constexpr double off_chord = 1e-9; // [m]
    const Vector3d arm = (X.col(0) + X.col(2)) / 2 - X.col(1);
    if (arm.norm() < off_chord) return {};
    X.col(1) += arm;
    Eigen::MatrixXd T = Eigen::MatrixXd::Identity(18, 18);
    T.block<3, 3>(6, 9) << 0, arm.z(), -arm.y(), -arm.z(), 0, arm.x(), arm.y(), -arm.x(), 0; // θ × arm
    return T;
}

/// The ply that most of a lay-up consists of: its ranges stand for the block's.
int main_material(const Layup& layup)
{
    const auto thickest = std::max_element(layup.plies.begin(), layup.plies.end(),
                                           [](const Ply& a, const Ply& b) { return a.thickness < b.thickness; });
    return thickest->material;
}

} // namespace

void attach_junctions(const Cabinet& cabinet, const ShellMesh& mesh, const BoardNodes& nodes, LawTable& laws,
                      Structure& structure)
{
    for (const Junction& junction : cabinet.junctions) {
        if (junction.spring || junction.kind == Junction::Kind::Cross) continue; // loose, or no board ends here
        const Board& passing = cabinet.board(junction.passing);
        const Board& ending = cabinet.board(junction.ending);
        const Section section = make_section(ending.layup, cabinet.materials, ending.grain);
        const bool is_corner = junction.kind == Junction::Kind::Corner;
        const Section along = section_along(cabinet, junction);
        BarSection block{1, 1, 1e-30, 0, 0, 0, 0, 1};
        if (is_corner) block = corner_block(cabinet, junction, along);
        block.J = laws.of(junction).torsion / block.G;
        for (const auto& side : sides_on_line(cabinet, mesh, junction)) {
            Attachment a{Attachment::Kind::Joint,
                         ending.name,
                         is_corner ? junction.passing : junction.ending,
                         main_material(passing.layup),
                         along.C_loss(0, 0) / along.C(0, 0),
                         nodes.base(junction.ending, {side.begin(), side.end()}),
                         {},
                         {}};
            Matrix3d X = element_nodes(structure.nodes, a.nodes);
            const Vector3d middle = X.col(1);
            const Eigen::MatrixXd T = onto_chord(X);
            const BarMatrices bar = bar_matrices(block, X, passing.frame.touching(middle).n, Vector3d::Zero());
            a.K = bar.K;
            if (is_corner)
                a.M = bar.M;
            else
                a.K += edge_shear(stiff * section.C(6, 6) * passing.thickness(), X, ending.frame.touching(middle).n);
            if (T.size() > 0) {
                a.K = T.transpose() * a.K * T;
                if (a.M.size() > 0) a.M = T.transpose() * a.M * T;
            }
            structure.attachments.push_back(std::move(a));
        }
    }
}

} // namespace stillwall::solver::internal
