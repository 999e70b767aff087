#include "tests/published/shell_grid.h"

#include "mesh/cabinet/error.h"

#include <Eigen/Geometry>
#include <Eigen/SparseCholesky>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::published {

using Eigen::Index;
using Eigen::VectorXd;

solver::SystemMatrices assemble(const ShellModel& model)
{
    std::vector<std::vector<int>> groups;
    groups.reserve(model.elements.size());
    for (const auto& element : model.elements) groups.push_back(element.nodes);
    solver::SystemBuilder builder(static_cast<int>(model.nodes.cols()), groups);
    for (const auto& element : model.elements) {
        const auto section = static_cast<std::size_t>(element.section);
        const solver::ElementMatrices e =
            shell_matrices(*element.family, solver::element_nodes(model.nodes, element.nodes), model.axes[section],
                           model.sections[section]);
        builder.add(element.nodes, e.K, e.M);
    }
    return builder.take();
}

ShellGrid::ShellGrid(const ElementFamily& family, Section section, const Vector3d& axis) : family_(family)
{
    model_.sections = {std::move(section)};
    model_.axes = {axis};
}

int ShellGrid::node_at(const Vector3d& x)
{
    for (std::size_t i = 0; i < nodes_.size(); ++i)
        if ((nodes_[i] - x).squaredNorm() < tolerance_ * tolerance_) return static_cast<int>(i);
    nodes_.push_back(x);
    return static_cast<int>(nodes_.size()) - 1;
}

void ShellGrid::add_block(int nr, int ns, const Map& map)
{
    if (tolerance_ == 0) tolerance_ = 1e-6 * (map(1, 1) - map(0, 0)).norm();
    const std::size_t n_nodes = family_.nodes.size();
    const int step = n_nodes == 9 ? 2 : 1, width = step * nr + 1;
    std::vector<int> id;
    for (int j = 0; j <= step * ns; ++j)
        for (int i = 0; i <= step * nr; ++i)
            id.push_back(node_at(map(double(i) / (step * nr), double(j) / (step * ns))));
    const auto at = [&](int i, int j) { return id[static_cast<std::size_t>(j * width + i)]; };
    for (int j = 0; j < ns; ++j)
        for (int i = 0; i < nr; ++i) {
            const int p = step * i, q = step * j;
            const int a = at(p, q), b = at(p + step, q), c = at(p + step, q + step), d = at(p, q + step);
            if (n_nodes == 9)
                model_.elements.push_back(
                    {&family_,
                     {a, b, c, d, at(p + 1, q), at(p + 2, q + 1), at(p + 1, q + 2), at(p, q + 1), at(p + 1, q + 1)},
                     0});
            else if (n_nodes == 4)
                model_.elements.push_back({&family_, {a, b, c, d}, 0});
            else if ((i + j) % 2 == 0) {
                model_.elements.push_back({&family_, {a, b, c}, 0});
                model_.elements.push_back({&family_, {a, c, d}, 0});
            } else {
                model_.elements.push_back({&family_, {a, b, d}, 0});
                model_.elements.push_back({&family_, {b, c, d}, 0});
            }
        }
    model_.nodes.resize(3, static_cast<Index>(nodes_.size()));
    for (std::size_t i = 0; i < nodes_.size(); ++i) model_.nodes.col(static_cast<Index>(i)) = nodes_[i];
}

ShellGrid rectangle(const ElementFamily& family, const Section& section, double a, double b, double cell)
{
    const auto count = [&](double side) { return std::max(2, static_cast<int>(std::ceil(side / cell - 1e-9))); };
    ShellGrid grid(family, section);
    grid.add_block(count(a), count(b), [=](double r, double s) { return Vector3d(a * r, b * s, 0); });
    return grid;
}

std::vector<int> nodes_where(const ShellModel& model, const std::function<bool(const Vector3d&)>& wanted)
{
    std::vector<int> found;
    for (Index i = 0; i < model.nodes.cols(); ++i)
        if (wanted(model.nodes.col(i))) found.push_back(static_cast<int>(i));
    return found;
}

int node_near(const ShellModel& model, const Vector3d& x)
{
    Index i = 0;
    (model.nodes.colwise() - x).colwise().squaredNorm().minCoeff(&i);
    return static_cast<int>(i);
}

void Holds::at(const std::vector<int>& nodes, const std::vector<Unknown>& unknowns)
{
    for (int node : nodes)
        for (Unknown unknown : unknowns) unknowns_.push_back(6 * node + unknown);
}

void Holds::in_plane()
{
    at(nodes_where(model_, [](const Vector3d&) { return true; }), {ux, uy, rz});
}

void Holds::bending()
{
    at(nodes_where(model_, [](const Vector3d&) { return true; }), {uz, rx, ry});
}

void Holds::edges(const std::string& letters, double a, double b)
{
    for (std::size_t k = 0; k < 4; ++k) {
        const Index axis = k % 2;
        const double place = k < 2 ? 0.0 : k == 2 ? a : b;
        const auto nodes =
            nodes_where(model_, [&](const Vector3d& x) { return std::abs(x[axis] - place) < 1e-9 * (a + b); });
        // An edge x = const turns freely about y; θ_x there is the rotation along the edge.
        if (letters.at(k) == 'C') at(nodes, {uz, rx, ry});
        if (letters.at(k) == 'S') at(nodes, {uz, axis == 0 ? rx : ry});
        if (letters.at(k) == 'W') at(nodes, {uz});
    }
}

std::vector<double> frequencies(const ShellModel& model, const Holds& holds, int n_rigid, int n, double f_top,
                                const std::vector<PointMass>& masses)
{
    solver::SystemMatrices system = assemble(model);
    for (const PointMass& p : masses) system.M.coeffRef(6 * p.node + uz, 6 * p.node + uz) += p.mass;
    solver::hold(system, holds.unknowns());
    solver::EigenOptions options;
    options.f_max = 1.2 * f_top;
    options.f_shift = 0.1 * f_top;
    const solver::EigenResult result = solver::lowest_modes(system.K, system.M, options);
    if (!result.is_proved) throw SolverError("modes not proved complete");
    if (result.lambda.size() < n_rigid + n) throw SolverError("fewer modes than asked for below the limit");
    std::vector<double> f_Hz;
    for (int i = n_rigid; i < n_rigid + n; ++i)
        f_Hz.push_back(std::sqrt(std::max(result.lambda[i], 0.0)) / (2 * std::numbers::pi));
    return f_Hz;
}

VectorXd solve_static(const ShellModel& model, const Holds& holds, const VectorXd& f)
{
    solver::SystemMatrices system = assemble(model);
    solver::hold(system, holds.unknowns());
    VectorXd load = f;
    for (int i : holds.unknowns()) load[i] = 0;
    const Eigen::SimplicialLLT<solver::SparseMatrix> factor(system.K);
    if (factor.info() != Eigen::Success) throw SolverError("static problem: stiffness not positive definite");
    return factor.solve(load);
}

VectorXd area_load(const ShellModel& model, const Vector3d& load)
{
    VectorXd f = VectorXd::Zero(6 * model.nodes.cols());
    for (const auto& e : model.elements)
        for (const auto& p :
             solver::strain_points(*e.family, solver::element_nodes(model.nodes, e.nodes), model.axes[0]))
            for (std::size_t i = 0; i < e.nodes.size(); ++i)
                f.segment<3>(6 * e.nodes[i]) += p.weight * p.N[static_cast<Index>(i)] * load;
    return f;
}

VectorXd line_load(const ShellModel& model, const std::vector<int>& nodes, const Vector3d& total)
{
    VectorXd f = VectorXd::Zero(6 * model.nodes.cols());
    const bool is_quadratic = model.elements.front().nodes.size() == 9;
    const std::vector<double> weights =
        is_quadratic ? std::vector<double>{1.0 / 6, 4.0 / 6, 1.0 / 6} : std::vector<double>{0.5, 0.5};
    const std::size_t step = weights.size() - 1, n_sides = (nodes.size() - 1) / step;
    for (std::size_t side = 0; side < n_sides; ++side)
        for (std::size_t k = 0; k <= step; ++k)
            f.segment<3>(6 * nodes[step * side + k]) += weights[k] / double(n_sides) * total;
    return f;
}

} // namespace stillwall::published
