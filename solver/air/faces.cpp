// Faces of the air: what absorbs, and what pushes.

#include "mesh/cabinet/error.h"
#include "mesh/cabinet/opening.h"
#include "solver/air/face_points.h"
#include "solver/air/regions.h"

#include <cmath>
#include <functional>
#include <numbers>
#include <string>

namespace stillwall::solver {
namespace {

using Face = AirMesh::Face;
using On = AirMesh::Face::On;

using IsMeant = std::function<bool(const Face&)>;

/// ∫ N dS over the faces meant; its sum is their area.
Eigen::VectorXd uniform(const AirMesh& mesh, const IsMeant& is_meant)
{
    Eigen::VectorXd w = Eigen::VectorXd::Zero(mesh.n_nodes());
    for (const Face& face : mesh.faces) {
        if (!is_meant(face)) continue;
        for (const internal::FacePoint& q : internal::face_points(mesh, face)) {
            const double dS = q.dA.norm();
            for (std::size_t a = 0; a < 6; ++a) w[face.node[a]] += q.N[static_cast<Eigen::Index>(a)] * dS;
        }
    }
    return w;
}

/// α of a face of real admittance β for sound from all sides: ∫ 4βμ/(μ + β)² 2μ dμ over the cosine μ = 0 … 1.
double absorption_of(double beta)
{
    if (beta <= 0) return 0;
    return 8 * beta * (1 + beta / (1 + beta) - 2 * beta * std::log1p(1 / beta));
}

} // namespace

SparseMatrix assemble_faces(const AirMesh& mesh)
{
    std::vector<Eigen::Triplet<double>> entries;
    for (const Face& face : mesh.faces) {
        if (face.on != On::Board && face.on != On::Layer && face.on != On::Rod && face.on != On::Rib) continue;
        Eigen::Matrix<double, 6, 6> B = Eigen::Matrix<double, 6, 6>::Zero();
        for (const internal::FacePoint& q : internal::face_points(mesh, face)) B += q.dA.norm() * q.N * q.N.transpose();
        for (std::size_t a = 0; a < 6; ++a)
            for (std::size_t b = 0; b < 6; ++b)
                entries.emplace_back(face.node[a], face.node[b],
                                     B(static_cast<Eigen::Index>(a), static_cast<Eigen::Index>(b)));
    }
    SparseMatrix B(mesh.n_nodes(), mesh.n_nodes());
    B.setFromTriplets(entries.begin(), entries.end());
    return B;
}

double admittance_of(double absorption)
{
    constexpr double greatest = 0.9;
    if (!(absorption >= 0 && absorption <= greatest))
        throw DomainError("absorption must lie between 0 and 0.9, got " + std::to_string(absorption));
    double low = 0, high = 0.6; // α rises from 0 to 0.951 at β = 0.64
    for (int step = 0; step < 60; ++step) {
        const double middle = (low + high) / 2;
        (absorption_of(middle) < absorption ? low : high) = middle;
    }
    return absorption > 0 ? (low + high) / 2 : 0;
}

Eigen::VectorXd opening_input(const Cabinet& cabinet, const AirMesh& mesh, int board, int opening)
{
    const Board& b = cabinet.board(board);
    const Opening& o = b.openings.at(static_cast<std::size_t>(opening));
    const auto is_on = [&](const Face& face, On what) {
        return face.board == board && face.opening == opening && face.on == what;
    };
    const auto is_flank = [&, still = std::cos(std::numbers::pi / 10)](const Face& face) { // more than 18° off the axis
        return std::abs(area_vector(mesh, face).normalized().dot(b.frame.n)) < still;
    };
    std::vector<IsMeant> choices; // the first of them that has faces holds
    if (holds_cone(o)) {
        choices.push_back([&](const Face& face) { return is_on(face, On::Body) && is_flank(face); });
        choices.push_back([&](const Face& face) { return is_on(face, On::Body); }); // flat: all of it faces the axis
    }
    const On end = o.insert.kind == InsertPlan::Kind::Port ? On::Mouth : On::Hole;
    choices.push_back([&](const Face& face) { return is_on(face, end) && face.side <= 0; });
    for (const IsMeant& is_meant : choices) {
        const Eigen::VectorXd w = uniform(mesh, is_meant);
        if (const double area = w.sum(); area > 0) return w / area;
    }
    throw MeshError("opening " + o.name + ": the air has no face there");
}

} // namespace stillwall::solver
