#include "solver/drive/line_name.h"

#include "mesh/cabinet/opening.h"

#include <Eigen/Geometry>
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <complex>
#include <numbers>

namespace stillwall::solver {
namespace {

constexpr int most_waves = 8;

std::string wave_words(int n, bool is_open)
{
    constexpr std::array<const char*, most_waves> quarters{"a quarter wave", "three quarters of a wave",
                                                           "1 1/4 waves",    "1 3/4 waves",
                                                           "2 1/4 waves",    "2 3/4 waves",
                                                           "3 1/4 waves",    "3 3/4 waves"},
        halves{"half a wave", "a whole wave", "1 1/2 waves", "2 waves",
               "2 1/2 waves", "3 waves",      "3 1/2 waves", "4 waves"};
    return (is_open ? quarters : halves)[static_cast<std::size_t>(n)];
}

/// p turned in phase so that most of it is real.
Eigen::VectorXd real_part(const Eigen::VectorXcd& p)
{
    const std::complex<double> square = (p.transpose() * p)(0);
    return (p * std::polar(1.0, -std::arg(square) / 2)).real();
}

} // namespace

bool LineMouth::is_open_end(const AirLine& line) const
{
    constexpr double near_end = 0.15, wide = 0.3;
    return std::min(share, 1 - share) < near_end && area > wide * line.section();
}

std::optional<LineMouth> mouth_of(const Cabinet& cabinet, const Chambers& chambers, int chamber, const AirLine& line)
{
    std::optional<LineMouth> mouth;
    for (const Chamber::Hole& hole : chambers.all()[static_cast<std::size_t>(chamber)].openings) {
        const Board& board = cabinet.board(hole.board);
        const Opening& opening = board.openings.at(static_cast<std::size_t>(hole.opening));
        const bool is_mouth = is_open(opening) || opening.insert.kind == InsertPlan::Kind::Port;
        if (board.kind != Board::Kind::Wall || !is_mouth || (mouth && opening_area(opening) <= mouth->area)) continue;
        const double inner = opening.insert.port_length.value_or(board.thickness()) - board.thickness() / 2;
        const auto share = line.at(board.frame.to_space(opening.centre) - (inner + 1e-3) * board.frame.n);
        if (share) mouth = LineMouth{opening_area(opening), *share};
    }
    return mouth;
}

LineNames::LineNames(const Cabinet& cabinet, const AirMesh& mesh)
{
    const Chambers chambers(cabinet);
    const std::map<int, AirLine> lines = air_lines(cabinet, chambers);
    if (lines.empty()) return;
    std::map<int, int> number;
    std::vector<bool> is_turned; // its open end lies at share 0
    for (const auto& [chamber, line] : lines) {
        const auto mouth = mouth_of(cabinet, chambers, chamber, line);
        number[chamber] = static_cast<int>(lines_.size());
        lines_.push_back({line.length(), mouth && mouth->is_open_end(line)});
        is_turned.push_back(mouth && mouth->share < 0.5);
    }
    for (const auto& tet : mesh.tets) {
        Piece piece;
        piece.nodes = tet;
        const Vector3d o = mesh.nodes.col(tet[0]), a = mesh.nodes.col(tet[1]) - o, b = mesh.nodes.col(tet[2]) - o,
                       c = mesh.nodes.col(tet[3]) - o, middle = o + (a + b + c) / 4;
        piece.volume = std::abs(a.cross(b).dot(c)) / 6;
        const auto chamber = chambers.at(middle);
        if (const auto found = chamber ? number.find(*chamber) : number.end(); found != number.end())
            if (const auto share = lines.at(*chamber).at(middle)) {
                piece.line = found->second;
                piece.share = is_turned[static_cast<std::size_t>(found->second)] ? 1 - *share : *share;
            }
        pieces_.push_back(piece);
    }
}

std::optional<std::string> LineNames::name(const Eigen::VectorXcd& p) const
{
    constexpr double nearly_all = 0.9, least_like = 0.6;
    const Eigen::VectorXd real = real_part(p);
    std::vector<double> value; // at each piece's middle
    double all = 0;
    for (const Piece& piece : pieces_) {
        double sum = 0;
        for (std::size_t i = 0; i < 10; ++i) sum += (i < 4 ? -0.125 : 0.25) * real[piece.nodes[i]];
        value.push_back(sum);
        all += piece.volume * sum * sum;
    }
    for (std::size_t l = 0; l < lines_.size(); ++l) {
        double held = 0;
        std::array<double, most_waves> overlap{}, norm{};
        for (std::size_t i = 0; i < pieces_.size(); ++i) {
            const Piece& piece = pieces_[i];
            if (piece.line != static_cast<int>(l)) continue;
            held += piece.volume * value[i] * value[i];
            for (std::size_t n = 0; n < most_waves; ++n) {
                const double halves = static_cast<double>(n) + (lines_[l].is_open ? 0.5 : 1.0);
                const double wave = std::cos(halves * std::numbers::pi * piece.share);
                overlap[n] += piece.volume * value[i] * wave;
                norm[n] += piece.volume * wave * wave;
            }
        }
        if (held < nearly_all * all) continue;
        for (int n = 0; n < most_waves; ++n) {
            const auto at = static_cast<std::size_t>(n);
            if (overlap[at] * overlap[at] < least_like * norm[at] * held) continue;
            return fmt::format("air: {} along the line, {:.2g} m", wave_words(n, lines_[l].is_open), lines_[l].length);
        }
    }
    return std::nullopt;
}

} // namespace stillwall::solver
