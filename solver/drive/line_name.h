#pragma once
// Words for resonances of a folded line.

#include "mesh/cabinet/air_line.h"
#include "mesh/core/air_mesh.h"

#include <Eigen/Core>

namespace stillwall::solver {

/// Where a line opens outwards, as far as it does.
struct LineMouth
{
    double area = 0;  ///< [m²] of the largest hole or port
    double share = 0; ///< of the line's length at which it lies
    /// Whether it ends the line: within 15 % of the length from an end, and 0.3 of its section at least. Own limits.
    [[nodiscard]] bool is_open_end(const AirLine& line) const;
};

/// Nothing where only cones and plates close the chamber.
[[nodiscard]] std::optional<LineMouth> mouth_of(const Cabinet& cabinet, const Chambers& chambers, int chamber,
                                                const AirLine& line);

/// Names pressures by their course along the lines of a cabinet.
class LineNames
{
public:
    LineNames(const Cabinet& cabinet, const AirMesh& mesh);

    /// "air: half a wave along the line, 2.1 m", "air: a quarter wave along the line, 2.1 m": the nearest of
    /// cos(nπs), n ≥ 1, or with an open end at s = 1 of cos((n + ½)πs), s from 0 to 1 along the line. Nothing where
    /// less than 90 % of it lies in one line, or less than 60 % of it is that wave.
    /// @param p  at the mesh's nodes, any scale and phase
    [[nodiscard]] std::optional<std::string> name(const Eigen::VectorXcd& p) const;

private:
    struct Piece
    {
        std::array<int, 10> nodes{};
        double volume = 0; ///< [m³]
        int line = -1;     ///< −1: in none
        double share = 0;
    };
    struct Line
    {
        double length = 0; ///< [m]
        bool is_open = false;
    };
    std::vector<Piece> pieces_;
    std::vector<Line> lines_;
};

} // namespace stillwall::solver
