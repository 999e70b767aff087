#pragma once
// Shell models for the tests: blocks of mapped cells joined at coincident nodes, supports, modes and statics.

#include "solver/structure/shell/assembly.h"
#include "tests/published/shell_families.h"

#include <functional>
#include <vector>

namespace stillwall::published {

using Eigen::Vector3d;
using solver::ElementFamily;
using solver::Section;

/// A model of plain shell elements.
struct ShellModel
{
    struct Element
    {
        const ElementFamily* family = nullptr;
        std::vector<int> nodes;
        int section = 0;
    };
    Eigen::Matrix3Xd nodes; ///< [m]
    std::vector<Element> elements;
    std::vector<Section> sections;
    std::vector<Vector3d> axes; ///< direction of each section's axis 1
};

[[nodiscard]] solver::SystemMatrices assemble(const ShellModel& model);

/// Unknowns of a node.
enum Unknown
{
    ux,
    uy,
    uz,
    rx,
    ry,
    rz
};

/// Position [m] at (r, s) of the unit square.
using Map = std::function<Vector3d(double r, double s)>;

/// Collects blocks of cells; nodes closer than 1 µm per metre of the first block's size become one.
class ShellGrid
{
public:
    ShellGrid(const ElementFamily& family, Section section, const Vector3d& axis = Vector3d::UnitX());

    /// nr × ns cells over the unit square of the map; triangles come two a cell, the diagonal turning from cell to
    /// cell.
    void add_block(int nr, int ns, const Map& map);

    [[nodiscard]] const ShellModel& model() const { return model_; }

private:
    int node_at(const Vector3d& x);

    const ElementFamily& family_;
    ShellModel model_;
    std::vector<Vector3d> nodes_;
    double tolerance_ = 0;
};

/// Flat rectangle 0..a × 0..b in the x-y plane, cells of about the given side.
[[nodiscard]] ShellGrid rectangle(const ElementFamily& family, const Section& section, double a, double b, double cell);

/// Nodes at which the predicate holds.
[[nodiscard]] std::vector<int> nodes_where(const ShellModel& model, const std::function<bool(const Vector3d&)>& wanted);

/// Node nearest to a point.
[[nodiscard]] int node_near(const ShellModel& model, const Vector3d& x);

/// A set of unknowns held at zero.
class Holds
{
public:
    explicit Holds(const ShellModel& model) : model_(model) {}

    void at(const std::vector<int>& nodes, const std::vector<Unknown>& unknowns);
    /// u_x, u_y and θ_z everywhere: bending alone of a plate in the x-y plane.
    void in_plane();
    /// u_z, θ_x and θ_y everywhere: membrane alone.
    void bending();
    /// Edges of a rectangle a × b in the order x = 0, y = 0, x = a, y = b: C clamped, S simply supported with the
    /// rotation along the edge held (hard), W the deflection alone (soft), F free.
    void edges(const std::string& letters, double a, double b);

    [[nodiscard]] const std::vector<int>& unknowns() const { return unknowns_; }

private:
    const ShellModel& model_;
    std::vector<int> unknowns_;
};

struct PointMass
{
    int node = 0;
    double mass = 0; ///< [kg], moving along z
};

/// n lowest frequencies [Hz] above n_rigid rigid ones, proved complete by the Sturm count.
/// @param f_top  estimate of the n-th [Hz]
[[nodiscard]] std::vector<double> frequencies(const ShellModel& model, const Holds& holds, int n_rigid, int n,
                                              double f_top, const std::vector<PointMass>& masses = {});

/// Solves K u = f by sparse Cholesky.
/// @param f  shape (6 n_nodes)
[[nodiscard]] Eigen::VectorXd solve_static(const ShellModel& model, const Holds& holds, const Eigen::VectorXd& f);

/// Consistent nodal forces of a force per area in a fixed direction [N/m²].
[[nodiscard]] Eigen::VectorXd area_load(const ShellModel& model, const Vector3d& load);

/// Nodal forces of a total force spread evenly along a line of nodes in order; three-node sides for nine nodes.
[[nodiscard]] Eigen::VectorXd line_load(const ShellModel& model, const std::vector<int>& nodes, const Vector3d& total);

} // namespace stillwall::published
