#include "solver/structure/internal/law_table.h"

#include <cmath>
#include <numbers>

namespace stillwall::solver::internal {

double edge_direction(const Board& board, const Junction& junction)
{
    const Eigen::Vector3d s = (junction.to - junction.from).normalized();
    const Frame frame = board.frame.touching((junction.from + junction.to) / 2);
    return std::atan2(s.dot(frame.e2), s.dot(frame.e1));
}

Eigen::Vector3d middle_of(const Board& board)
{
    Eigen::Vector2d sum = Eigen::Vector2d::Zero();
    for (const Eigen::Vector2d& p : board.outline) sum += p;
    return board.frame.to_space(sum / static_cast<double>(board.outline.size()));
}

const JointLaw& LawTable::of(const Junction& junction)
{
    const JointPiece piece = piece_of(junction);
    std::vector<double> key = {piece.t_row, piece.t_column, double(piece.has_left), double(piece.has_down)};
    for (const SliceMaterial* m : {&piece.row, &piece.column})
        for (double x : {m->E_n, m->E_3, m->nu_n3, m->G_n3, m->G_ns, m->G_s3}) key.push_back(x);
    const auto found = laws_.find(key);
    if (found != laws_.end()) return found->second;
    return laws_.emplace(std::move(key), strip_law(piece)).first->second;
}

SliceMaterial LawTable::slice(int board_index, const Junction& junction) const
{
    const Board& board = cabinet_.board(board_index);
    const double across = edge_direction(board, junction) + std::numbers::pi / 2;
    return slice_material(board.layup, cabinet_.materials, board.grain, across);
}

JointPiece LawTable::piece_of(const Junction& junction) const
{
    JointPiece piece;
    piece.t_row = cabinet_.board(junction.passing).thickness();
    piece.t_column = cabinet_.board(junction.ending).thickness();
    piece.row = slice(junction.passing, junction);
    piece.column = slice(junction.ending, junction);
    piece.has_left = junction.kind != Junction::Kind::Corner;
    piece.has_down = junction.kind == Junction::Kind::Cross;
    return piece;
}

} // namespace stillwall::solver::internal
