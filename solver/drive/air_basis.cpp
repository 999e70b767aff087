#include "solver/drive/air_basis.h"

#include "solver/linalg/orthonormal.h"
#include "solver/linalg/parallel.h"
#include "solver/linalg/static_response.h"

#include <Eigen/Cholesky>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;

/// [Pa·s/m²]; 0: open air.
double resistivity_of(const RegionMatrices& region, const std::vector<Filling>& fillings)
{
    return region.filling ? fillings[*region.filling].flow_resistivity : 0;
}

Fluid fluid_of(double flow_resistivity, double f_Hz, const Air& air)
{
    return flow_resistivity > 0 ? miki(f_Hz, flow_resistivity, air) : open_air(air);
}

/// Sum of the regions, each with its weight for H and for V.
AirMatrices weighted(const std::vector<RegionMatrices>& regions, const std::vector<std::pair<double, double>>& weights)
{
    AirMatrices sum;
    for (std::size_t r = 0; r < regions.size(); ++r) {
        if (!(regions[r].volume > 0)) continue;
        if (sum.H.rows() == 0) {
            sum.H = weights[r].first * regions[r].H;
            sum.Q = weights[r].second * regions[r].V;
        } else {
            sum.H += weights[r].first * regions[r].H;
            sum.Q += weights[r].second * regions[r].V;
        }
    }
    sum.H.makeCompressed();
    sum.Q.makeCompressed();
    return sum;
}

/// Uniform pressures that the modes' solver mixed, each in its own chamber and in the mesh's order.
void part_chambers(const AirMesh& mesh, const SparseMatrix& Q, MatrixXd& phi)
{
    if (mesh.n_chambers < 2) return;
    MatrixXd within = MatrixXd::Zero(mesh.n_nodes(), mesh.n_chambers);
    for (std::size_t t = 0; t < mesh.tets.size(); ++t)
        for (const int node : mesh.tets[t]) within(node, mesh.chamber[t]) = 1;
    for (Index k = 0; k < within.cols(); ++k)
        phi.col(k) = within.col(k) / std::sqrt(within.col(k).dot(Q * within.col(k)));
}

/// The air as its fillings make it at one frequency, losses left out.
AirMatrices filled_air(const std::vector<RegionMatrices>& regions, const std::vector<Filling>& fillings, double f_Hz,
                       const Air& air)
{
    std::vector<std::pair<double, double>> weights;
    for (const RegionMatrices& region : regions) {
        const Fluid fluid = fluid_of(resistivity_of(region, fillings), f_Hz, air);
        weights.emplace_back((air.density / fluid.density).real(), (air.density / fluid.bulk).real());
    }
    return weighted(regions, weights);
}

constexpr double near_field_shift = 0.2; ///< of the top frequency
constexpr double filled_range = 0.75;    ///< of the top frequency: kinks matter where a lining is thin against the wave

/// Pressure before what pushes slowly; the shift, well inside the modes' range, takes the uniform pressure out of it.
MatrixXd near_fields(const AirMatrices& matter, const MatrixXd& pushes, const RigidWallAir& rigid)
{
    if (pushes.cols() == 0) return MatrixXd(pushes.rows(), 0);
    return static_response(matter.H, matter.Q, pushes, near_field_shift * rigid.f_top, rigid.ordering, 1);
}

} // namespace

Eigen::MatrixXcd AirBasis::compressibility(double f_Hz) const
{
    Eigen::MatrixXcd sum = Eigen::MatrixXcd::Zero(size(), size());
    for (const Region& region : regions) sum += (1.0 / fluid_of(region.flow_resistivity, f_Hz, air).bulk) * region.V;
    return sum;
}

Eigen::MatrixXcd AirBasis::stiffness(double f_Hz, double face_admittance) const
{
    const double omega = 2 * std::numbers::pi * f_Hz;
    Eigen::MatrixXcd A = -omega * omega * compressibility(f_Hz);
    for (const Region& region : regions) A += (1.0 / fluid_of(region.flow_resistivity, f_Hz, air).density) * region.H;
    return A + std::complex<double>(0, omega * face_admittance) * B;
}

RigidWallAir rigid_wall_air(const Cabinet& cabinet, const AirMesh& mesh, const std::vector<Filling>& fillings,
                            const std::vector<OpeningId>& openings, double f_top)
{
    RigidWallAir rigid;
    rigid.f_top = f_top;
    rigid.air = air_at(cabinet.temperature);
    const double c2 = rigid.air.sound_speed * rigid.air.sound_speed;
    rigid.regions = assemble_regions(cabinet, mesh, fillings);
    rigid.open = weighted(rigid.regions, std::vector<std::pair<double, double>>(rigid.regions.size(), {1, 1 / c2}));
    const auto n_held =
        std::count_if(rigid.regions.begin(), rigid.regions.end(), [](const auto& r) { return r.volume > 0; });
    if (n_held > 1) rigid.filled = filled_air(rigid.regions, fillings, f_top / 3, rigid.air);
    // Side by side with the open air's.
    internal::Aside<MatrixXd> filled_modes([&] {
        return rigid.filled ? air_modes(*rigid.filled, filled_range * f_top).phi : MatrixXd(mesh.n_nodes(), 0);
    });
    const EigenResult modes = air_modes(rigid.open, f_top);
    rigid.ordering = modes.ordering;
    rigid.Psi = modes.phi;
    rigid.mode_Hz = modes.lambda.cwiseMax(0).cwiseSqrt() / (2 * std::numbers::pi);
    part_chambers(mesh, rigid.open.Q, rigid.Psi);
    rigid.inputs.resize(mesh.n_nodes(), static_cast<Index>(openings.size()));
    for (std::size_t i = 0; i < openings.size(); ++i)
        rigid.inputs.col(static_cast<Index>(i)) = opening_input(cabinet, mesh, openings[i].board, openings[i].opening);
    const MatrixXd phi = filled_modes.get();
    if (openings.empty()) return rigid; // a shut box: no near fields
    if (phi.cols() > 0) {
        internal::add_to_basis(rigid.Psi, rigid.open.Q, phi);
        internal::add_to_basis(rigid.Psi, rigid.open.Q, near_fields(*rigid.filled, rigid.inputs, rigid));
    }
    internal::add_to_basis(rigid.Psi, rigid.open.Q, near_fields(rigid.open, rigid.inputs, rigid));
    return rigid;
}

AirBasis air_basis(const AirMesh& mesh, const std::vector<Filling>& fillings, const RigidWallAir& rigid)
{
    AirBasis basis;
    basis.air = rigid.air;
    basis.mode_Hz = rigid.mode_Hz;
    basis.Psi = rigid.Psi;
    const SparseMatrix faces = assemble_faces(mesh);
    basis.B = internal::reduced(faces, basis.Psi);
    basis.face_area = faces.sum();
    basis.inputs = basis.Psi.transpose() * rigid.inputs;
    for (const RegionMatrices& region : rigid.regions) {
        if (!(region.volume > 0)) continue;
        basis.volume += region.volume;
        const double resistivity = resistivity_of(region, fillings);
        const auto same = std::find_if(basis.regions.begin(), basis.regions.end(),
                                       [&](const AirBasis::Region& r) { return r.flow_resistivity == resistivity; });
        // All regions share the whole mesh's pattern; most of it is zero.
        const MatrixXd H = internal::reduced(region.H.pruned(), basis.Psi),
                       V = internal::reduced(region.V.pruned(), basis.Psi);
        if (same == basis.regions.end()) {
            basis.regions.push_back({resistivity, H, V});
        } else {
            same->H += H;
            same->V += V;
        }
    }
    return basis;
}

MatrixXd carried_mass(const RigidWallAir& rigid, const MatrixXd& walls)
{
    const double omega = 2 * std::numbers::pi * near_field_shift * rigid.f_top;
    const MatrixXd all = walls.transpose() * near_fields(rigid.open, walls, rigid);
    const MatrixXd held = rigid.Psi.transpose() * walls;
    const MatrixXd K =
        internal::reduced(rigid.open.H, rigid.Psi) + omega * omega * internal::reduced(rigid.open.Q, rigid.Psi);
    const MatrixXd in_basis = held.transpose() * K.ldlt().solve(held);
    const MatrixXd rest = rigid.air.density * (all - in_basis);
    return 0.5 * (rest + rest.transpose());
}

} // namespace stillwall::solver
