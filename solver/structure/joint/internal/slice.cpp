#include "solver/structure/joint/internal/slice.h"

#include <cmath>

namespace stillwall::solver::internal {
namespace {

constexpr int layers = 5; ///< graded rows on each side of a re-entrant corner
constexpr double grading = 0.35;

/// Breaks from `from` to `to`, graded towards the ends asked for.
std::vector<double> breaks(double from, double to, bool fine_from, bool fine_to)
{
    std::vector<double> unit = {0};
    if (fine_from && fine_to) {
        for (int k = layers - 1; k >= 1; --k) unit.push_back(0.5 * std::pow(grading, k));
        unit.push_back(0.5);
        for (int k = 1; k < layers; ++k) unit.push_back(1 - 0.5 * std::pow(grading, k));
    } else if (fine_from) {
        for (int k = layers - 1; k >= 1; --k) unit.push_back(std::pow(grading, k));
    } else {
        for (int k = 1; k < layers; ++k) unit.push_back(1 - std::pow(grading, k));
    }
    unit.push_back(1);
    std::vector<double> x;
    for (double u : unit) x.push_back(from + u * (to - from));
    return x;
}

/// Breaks through a leg, the block and a leg along one axis.
std::vector<double> axis(double half, bool has_low, bool has_high, double length)
{
    std::vector<double> x;
    if (has_low)
        x = breaks(-half - length, -half, false, true);
    else
        x = {-half};
    const auto block = breaks(-half, half, has_low, has_high);
    x.insert(x.end(), block.begin() + 1, block.end());
    if (has_high) {
        const auto leg = breaks(half, half + length, true, false);
        x.insert(x.end(), leg.begin() + 1, leg.end());
    }
    return x;
}

} // namespace

Slice::Slice(const JointPiece& piece) : piece_(piece)
{
    const double bx = piece.t_column / 2, by = piece.t_row / 2;
    x_ = axis(bx, piece.has_left, piece.has_right, leg_length * piece.t_row);
    y_ = axis(by, piece.has_down, piece.has_up, leg_length * piece.t_column);
    number_nodes();
}

std::vector<Slice::EndSide> Slice::end_sides(Leg leg) const
{
    std::vector<EndSide> sides;
    for (const Cell& c : cells_) {
        const auto& n = c.node;
        if (leg == Leg::left && c.x0 == x_.front()) sides.push_back({{n[0], n[3], n[6]}, c.y0, c.y1});
        if (leg == Leg::right && c.x1 == x_.back()) sides.push_back({{n[2], n[5], n[8]}, c.y0, c.y1});
        if (leg == Leg::down && c.y0 == y_.front()) sides.push_back({{n[0], n[1], n[2]}, c.x0, c.x1});
        if (leg == Leg::up && c.y1 == y_.back()) sides.push_back({{n[6], n[7], n[8]}, c.x0, c.x1});
    }
    return sides;
}

void Slice::number_nodes()
{
    const double bx = piece_.t_column / 2, by = piece_.t_row / 2;
    const std::size_t nx = 2 * x_.size() - 1, ny = 2 * y_.size() - 1;
    std::vector<int> id(nx * ny, -1);
    for (std::size_t j = 0; j + 1 < y_.size(); ++j)
        for (std::size_t i = 0; i + 1 < x_.size(); ++i) {
            const double xm = (x_[i] + x_[i + 1]) / 2, ym = (y_[j] + y_[j + 1]) / 2;
            const bool in_row = std::abs(ym) < by, in_column = std::abs(xm) < bx;
            if (!in_row && !in_column) continue;
            Cell cell{{}, x_[i], x_[i + 1], y_[j], y_[j + 1], in_row && (!in_column || piece_.is_block_row)};
            for (std::size_t b = 0; b < 3; ++b)
                for (std::size_t a = 0; a < 3; ++a) {
                    int& node = id[(2 * j + b) * nx + 2 * i + a];
                    if (node < 0) node = n_nodes_++;
                    cell.node[3 * b + a] = node;
                }
            if (in_row && in_column && first_pin_ < 0) {
                first_pin_ = cell.node[0];
                second_pin_ = cell.node[2];
            }
            cells_.push_back(cell);
        }
}

} // namespace stillwall::solver::internal
