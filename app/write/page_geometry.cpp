#include "app/write/page_geometry.h"

#include "app/write/finite.h"
#include "app/write/internal/base64.h"
#include "mesh/cabinet/opening.h"
#include "mesh/cabinet/units.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>

namespace stillwall::app {
namespace {

using Json = nlohmann::ordered_json;

void append(std::vector<std::uint8_t>& bytes, std::uint32_t value, int n_bytes)
{
    for (int k = 0; k < n_bytes; ++k) bytes.push_back(static_cast<std::uint8_t>(value >> (8 * k) & 0xFFU));
}

Json in_mm(const Vector3d& at)
{
    // A tenth of a millimetre is finer than any screen.
    const auto rounded = [](double metres) { return std::round(10 * finite(metres, "a place") / units::mm) / 10; };
    return {rounded(at.x()), rounded(at.y()), rounded(at.z())};
}

Json direction(const Vector3d& n)
{
    return {n.x(), n.y(), n.z()};
}

/// On a curved board with points between, along its curve.
Json corners(const Frame& frame, const std::vector<Vector2d>& outline)
{
    const int pieces = frame.is_curved() ? 16 : 1;
    Json list = Json::array();
    for (std::size_t i = 0; i < outline.size(); ++i) {
        const Vector2d &a = outline[i], &b = outline[(i + 1) % outline.size()];
        const int n = std::abs(b.x() - a.x()) > std::abs(b.y() - a.y()) ? pieces : 1;
        for (int k = 0; k < n; ++k) list.push_back(in_mm(frame.to_space(a + (b - a) * k / n)));
    }
    return list;
}

Json boards(const Cabinet& cabinet)
{
    constexpr int chords = 32;
    Json list = Json::array();
    for (const Board& board : cabinet.boards) {
        Json openings = Json::array();
        for (const Opening& opening : board.openings)
            openings.push_back({{"name", opening.name},
                                {"holds", insert_word(opening.insert.kind)},
                                {"outline_mm", corners(board.frame, opening_outline(opening, chords))}});
        list.push_back({{"name", board.name},
                        {"is_brace", board.kind == Board::Kind::Brace},
                        {"thickness_mm", board.thickness() / units::mm},
                        {"normal", direction(board.frame.n)},
                        {"sawn_mm", corners(board.frame, board.sawn)},
                        {"openings", std::move(openings)}});
    }
    return list;
}

Json rods(const Cabinet& cabinet)
{
    Json list = Json::array();
    for (const Rod& rod : cabinet.rods) list.push_back({in_mm(rod.from), in_mm(rod.to)});
    return list;
}

Json nodes(const ShellMesh& mesh)
{
    constexpr double steps = 65535;
    const Vector3d low = mesh.nodes.rowwise().minCoeff();
    const double extent = (mesh.nodes.rowwise().maxCoeff() - low).maxCoeff();
    const double step = extent > 0 ? extent / steps : 1;
    std::vector<std::uint8_t> bytes;
    for (const double metres : (mesh.nodes.colwise() - low).reshaped())
        append(bytes, static_cast<std::uint32_t>(std::lround(metres / step)), 2);
    return {{"count", mesh.n_nodes()},
            {"low_mm", {low.x() / units::mm, low.y() / units::mm, low.z() / units::mm}},
            {"step_mm", finite(step, "a step") / units::mm},
            {"uint16", base64(bytes)}};
}

Json quads(const ShellMesh& mesh)
{
    std::vector<std::uint8_t> places, of_board;
    for (const ShellMesh::Quad& quad : mesh.quads) {
        for (const int node : quad.node) append(places, static_cast<std::uint32_t>(node), 4);
        append(of_board, static_cast<std::uint32_t>(quad.board), 2);
    }
    return {{"count", mesh.quads.size()}, {"nodes_uint32", base64(places)}, {"boards_uint16", base64(of_board)}};
}

Json shape(const PageShape& wanted, const Eigen::MatrixXd& shapes)
{
    constexpr double steps = 32767;
    const auto u = shapes.col(wanted.column);
    const double largest = finite(u.cwiseAbs().maxCoeff(), "a displacement");
    const double scale = largest > 0 ? largest / steps : 1;
    std::vector<std::uint8_t> bytes;
    for (const double value : u) append(bytes, static_cast<std::uint32_t>(std::lround(value / scale)), 2);
    return {{"mode", wanted.number}, {"scale", scale}, {"int16", base64(bytes)}};
}

} // namespace

std::string page_geometry(const Cabinet& cabinet, const ShellMesh& mesh, const Eigen::MatrixXd& shapes,
                          const std::vector<PageShape>& wanted, std::size_t most_bytes)
{
    Json document = {{"geometry", 1},
                     {"boards", boards(cabinet)},
                     {"rods", rods(cabinet)},
                     {"nodes", nodes(mesh)},
                     {"quads", quads(mesh)}};
    const std::size_t per_shape = static_cast<std::size_t>(mesh.n_nodes()) * 8 + 64; // 6 bytes a node, 4/3 in base64
    const std::size_t plain = document.dump().size();
    const std::size_t room = most_bytes > plain ? (most_bytes - plain) / per_shape : 0;
    Json list = Json::array();
    for (const PageShape& one : wanted)
        if (list.size() < std::max<std::size_t>(room, 1)) list.push_back(shape(one, shapes));
    document["shapes"] = std::move(list);
    document["shapes_left_out"] = wanted.size() - document["shapes"].size();
    return document.dump();
}

} // namespace stillwall::app
