#include "mesh/gmsh/internal/canonical.h"

#include "mesh/gmsh/internal/curve.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace stillwall::mesh {

namespace {

constexpr double lattice = 1e-11; ///< [m] far above round-off, far below what is drawn

double rounded(double x)
{
    const double on_lattice = std::round(x / lattice) * lattice;
    return on_lattice == 0 ? 0.0 : on_lattice; // no −0
}

template <class Vector> Vector rounded_vector(const Vector& v)
{
    return v.unaryExpr([](double x) { return rounded(x); });
}

bool is_before(const Vector3d& p, const Vector3d& q)
{
    return std::lexicographical_compare(p.begin(), p.end(), q.begin(), q.end());
}

/// A right-handed frame that follows from the normal and the outline's corners.
Frame frame_of(const Vector3d& n, const std::vector<Vector3d>& corners)
{
    Frame frame;
    frame.n = n;
    const Vector3d up = std::abs(n.z()) > 0.9 ? Vector3d::UnitY() : Vector3d::UnitZ();
    frame.e2 = (up - up.dot(n) * n).normalized();
    frame.e1 = frame.e2.cross(n);
    frame.origin = *std::min_element(corners.begin(), corners.end(), is_before);
    return frame;
}

/// What sorts things that have no order of their own.
using Key = std::vector<double>;

void append(Key& key, const Vector3d& v)
{
    key.insert(key.end(), v.begin(), v.end());
}

} // namespace

/// The drawing with one of the two signs of x.
struct CanonicalCabinet::Draft
{
    Draft(const Cabinet& cabinet, double drawn_over_true, double mirror_plane, double sign_of_x)
        : source(cabinet), scale(drawn_over_true), middle(mirror_plane), sign(sign_of_x)
    {
        sort_boards();
        for (const int b : board) add_board(source.boards[static_cast<std::size_t>(b)]);
        add_junctions();
        add_rest();
    }

    [[nodiscard]] Vector3d map(const Vector3d& x) const
    {
        return rounded_vector(Vector3d(scale * sign * (x.x() - middle), scale * x.y(), scale * x.z()));
    }
    [[nodiscard]] Vector3d turned(const Vector3d& v) const { return {sign * v.x(), v.y(), v.z()}; }
    [[nodiscard]] int drawn_board(int true_board) const
    {
        return static_cast<int>(std::find(board.begin(), board.end(), true_board) - board.begin());
    }

    void sort_boards()
    {
        std::vector<Key> keys;
        for (const Board& b : source.boards) {
            Vector3d low = Vector3d::Constant(1e300), high = -low;
            for (const Vector2d& p : b.outline) {
                low = low.cwiseMin(map(b.frame.to_space(p)));
                high = high.cwiseMax(map(b.frame.to_space(p)));
            }
            keys.push_back({b.kind == Board::Kind::Wall ? 0.0 : 1.0});
            append(keys.back(), rounded_vector(Vector3d(low + high)));
            append(keys.back(), low);
            keys.back().push_back(rounded(scale * b.thickness()));
        }
        board.resize(keys.size());
        std::iota(board.begin(), board.end(), 0);
        std::stable_sort(board.begin(), board.end(), [&](int p, int q) { return keys[p] < keys[q]; });
        for (const int b : board) key.insert(key.end(), keys[b].begin(), keys[b].end());
    }

    void add_board(const Board& from)
    {
        Board to;
        to.name = from.name;
        to.kind = from.kind;
        std::vector<Vector3d> corners;
        for (const Vector2d& p : from.outline) corners.push_back(map(from.frame.to_space(p)));
        Vector3d n = turned(from.frame.n);
        if (from.kind == Board::Kind::Brace)
            for (const double part : {n.z(), n.y(), n.x()}) {
                if (std::abs(part) < 1e-6) continue;
                if (part < 0) n = -n; // either will do, but always the same
                break;
            }
        to.frame = frame_of(n, corners);
        // Mirrored once and turned over once, it runs as before.
        const bool turns = (sign < 0) != (n.dot(turned(from.frame.n)) < 0);
        if (turns) std::reverse(corners.begin(), corners.end());
        std::rotate(corners.begin(), std::min_element(corners.begin(), corners.end(), is_before), corners.end());
        for (const Vector3d& x : corners) to.outline.push_back(rounded_vector(to.frame.to_board(x)));
        add_openings(from, to);
        is_turned.push_back(turns);
        for (const Vector2d& p : to.outline) key.insert(key.end(), p.begin(), p.end());
        drawn.boards.push_back(std::move(to));
    }

    void add_openings(const Board& from, Board& to)
    {
        std::vector<Opening> list;
        std::vector<Key> keys;
        for (const Opening& opening : from.openings) {
            Opening o = opening;
            o.centre = rounded_vector(to.frame.to_board(map(from.frame.to_space(opening.centre))));
            const Vector3d along = turned(std::cos(opening.rotation) * from.frame.e1 + // of its width
                                          std::sin(opening.rotation) * from.frame.e2);
            o.rotation = rounded(std::atan2(along.dot(to.frame.e2), along.dot(to.frame.e1)));
            if (o.rotation < 0) o.rotation += pi; // every shape is the same from behind
            if (o.rotation > pi - 1e-6) o.rotation = 0;
            for (double* length : {&o.width, &o.height, &o.corner_radius}) *length = rounded(scale * *length);
            keys.push_back({o.centre.x(), o.centre.y(), o.width, o.height, o.rotation});
            list.push_back(std::move(o));
        }
        std::vector<int> order(list.size());
        std::iota(order.begin(), order.end(), 0);
        std::stable_sort(order.begin(), order.end(), [&](int p, int q) { return keys[p] < keys[q]; });
        for (const int k : order) {
            to.openings.push_back(std::move(list[k]));
            key.insert(key.end(), keys[k].begin(), keys[k].end());
        }
        opening_order.push_back(std::move(order));
    }

    void add_junctions()
    {
        std::vector<Junction> list;
        std::vector<Key> keys;
        for (const Junction& from : source.junctions) {
            Junction to = from;
            to.passing = drawn_board(from.passing);
            to.ending = drawn_board(from.ending);
            to.from = map(from.from);
            to.to = map(from.to);
            if (is_before(to.to, to.from)) std::swap(to.from, to.to);
            for (double* w : {&to.overlap_passing, &to.overlap_ending, &to.strip_passing, &to.strip_ending})
                *w = rounded(scale * *w);
            if (to.kind == Junction::Kind::Cross && to.passing > to.ending) {
                std::swap(to.passing, to.ending);
                std::swap(to.overlap_passing, to.overlap_ending);
                std::swap(to.strip_passing, to.strip_ending);
            }
            keys.push_back({static_cast<double>(to.passing), static_cast<double>(to.ending)});
            append(keys.back(), to.from);
            list.push_back(std::move(to));
        }
        junction.resize(list.size());
        std::iota(junction.begin(), junction.end(), 0);
        std::stable_sort(junction.begin(), junction.end(), [&](int p, int q) { return keys[p] < keys[q]; });
        for (const int j : junction) drawn.junctions.push_back(std::move(list[j]));
    }

    void add_rest()
    {
        for (const Rib& from : source.ribs) {
            Rib to = from;
            const Frame& old = source.boards[static_cast<std::size_t>(from.board)].frame;
            to.board = drawn_board(from.board);
            const Frame& frame = drawn.boards[static_cast<std::size_t>(to.board)].frame;
            to.from = rounded_vector(frame.to_board(map(old.to_space(from.from))));
            to.to = rounded_vector(frame.to_board(map(old.to_space(from.to))));
            drawn.ribs.push_back(std::move(to));
        }
        for (const Support& from : source.supports) {
            Support to = from;
            to.board = drawn_board(from.board);
            if (to.neighbour) to.neighbour = drawn_board(*from.neighbour);
            drawn.supports.push_back(std::move(to));
        }
    }

    const Cabinet& source;
    double scale, middle, sign;
    Cabinet drawn;
    std::vector<int> board, junction;
    std::vector<std::vector<int>> opening_order;
    std::vector<bool> is_turned;
    Key key; ///< tells the drawing from its mirror image
};

CanonicalCabinet::CanonicalCabinet(const Cabinet& cabinet, double element_size)
{
    for (const Board& board : cabinet.boards) frames_.push_back(board.frame);
    scale_ = drawn_element / element_size;
    double low = 1e300, high = -1e300;
    for (const Board& board : cabinet.boards)
        for (const Vector2d& p : board.outline) {
            low = std::min(low, board.frame.to_space(p).x());
            high = std::max(high, board.frame.to_space(p).x());
        }
    middle_ = (low + high) / 2;
    Draft plain(cabinet, scale_, middle_, 1), mirrored(cabinet, scale_, middle_, -1);
    take(mirrored.key < plain.key ? std::move(mirrored) : std::move(plain));
}

void CanonicalCabinet::take(Draft draft)
{
    sign_ = draft.sign;
    drawn_ = std::move(draft.drawn);
    board_ = std::move(draft.board);
    junction_ = std::move(draft.junction);
    opening_ = std::move(draft.opening_order);
    is_turned_ = std::move(draft.is_turned);
}

Vector3d CanonicalCabinet::to_true(const Vector3d& drawn) const
{
    return {sign_ * drawn.x() / scale_ + middle_, drawn.y() / scale_, drawn.z() / scale_};
}

/// Takes out what rounding has left: nodes go back onto the planes of their boards.
void CanonicalCabinet::lay_on_boards(ShellMesh& mesh) const
{
    std::vector<std::vector<int>> boards(static_cast<std::size_t>(mesh.n_nodes()));
    for (const ShellMesh::Quad& quad : mesh.quads)
        for (const int node : quad.node) {
            auto& list = boards[static_cast<std::size_t>(node)];
            if (std::find(list.begin(), list.end(), quad.board) == list.end()) list.push_back(quad.board);
        }
    constexpr int rounds = 60; // plane after plane, until slanted ones agree as well
    for (int node = 0; node < mesh.n_nodes(); ++node) {
        const auto& list = boards[static_cast<std::size_t>(node)];
        for (int round = 0; round < (list.size() > 1 ? rounds : 1); ++round)
            for (const int b : list) {
                const Frame& frame = frames_[static_cast<std::size_t>(b)];
                mesh.nodes.col(node) -= frame.height_of(mesh.nodes.col(node)) * frame.n;
            }
    }
}

ShellMesh CanonicalCabinet::to_true(const ShellMesh& drawn) const
{
    ShellMesh mesh = drawn;
    for (Eigen::Index k = 0; k < mesh.nodes.cols(); ++k) mesh.nodes.col(k) = to_true(Vector3d(drawn.nodes.col(k)));
    for (ShellMesh::Quad& quad : mesh.quads) {
        constexpr std::array backwards{0, 3, 2, 1, 7, 6, 5, 4, 8};
        if (is_turned_[static_cast<std::size_t>(quad.board)]) {
            const auto node = quad.node;
            for (std::size_t k = 0; k < 9; ++k) quad.node[k] = node[static_cast<std::size_t>(backwards[k])];
        }
        quad.board = board_[static_cast<std::size_t>(quad.board)];
    }
    for (ShellMesh::Zone& zone : mesh.zones) {
        zone.board = board_[static_cast<std::size_t>(zone.board)];
        for (int& j : zone.strips) j = junction_[static_cast<std::size_t>(j)];
        std::sort(zone.strips.begin(), zone.strips.end());
    }
    mesh.rims.assign(frames_.size(), {});
    for (std::size_t b = 0; b < frames_.size(); ++b) {
        auto& rims = mesh.rims[static_cast<std::size_t>(board_[b])];
        rims.resize(drawn.rims[b].size());
        for (std::size_t o = 0; o < rims.size(); ++o) {
            auto rim = drawn.rims[b][o];
            if (is_turned_[b]) std::reverse(rim.begin(), rim.end());
            // It begins with a corner node, as before.
            if (is_turned_[b] && !rim.empty()) std::rotate(rim.begin(), rim.end() - 1, rim.end());
            rims[static_cast<std::size_t>(opening_[b][o])] = std::move(rim);
        }
    }
    lay_on_boards(mesh);
    return mesh;
}

} // namespace stillwall::mesh
