#pragma once
// A mode shape in words: the one place where every verb takes the name of a mode from.

#include "solver/modes/analysis.h"

namespace stillwall::solver {

/// A board's share of a mode's energy: the mean of its shares of kinetic and of strain energy, what is screwed to it
/// included.
[[nodiscard]] double energy_share(const BoardShare& share);

/// The boards a mode is named after, in the cabinet's order: the one with most energy, and those with over 0.7 of that.
[[nodiscard]] std::vector<int> leading_boards(const Mode& mode);

/// Half-waves of a board's motion along e1 and e2.
struct HalfWaves
{
    int along_1 = 1, along_2 = 1;
    friend bool operator==(const HalfWaves&, const HalfWaves&) = default;
};

/// Names of the modes of one cabinet.
///
/// Half-waves are counted on the clear panel, the board without what lies over the thickness of its neighbours. Its
/// normal motion w on a grid is split into products (singular values); the first product u(x) v(y) tells the counts,
/// where it holds over six tenths of Σw²: runs of one sign in u and in v that reach a quarter of the largest value.
/// Neither count may exceed what frequency and stiffness allow, L/(λ/2) + 1 with λ the wavelength of free bending along
/// that axis, the mass of inserts spread over the board, and ½ more where an end is free: a free beam's lobes. Where
/// that does not hold, or the boards named hold less than a third of the energy, no pattern is claimed.
class ShapeNames
{
public:
    /// @param f_highest  [Hz] of all modes to be named: sets the grid
    ShapeNames(const Cabinet& cabinet, const ShellMesh& mesh, double f_highest);

    /// "right and left bulge together, 1×1", "front 2×1", "front 2×1 and top 1×1", "mixed, mostly back".
    /// @param mode  f_Hz and boards
    /// @param displacement  [any scale] on the mesh, shape (3, n_nodes)
    [[nodiscard]] std::string of(const Mode& mode, const Eigen::Matrix3Xd& displacement) const;

    /// No name twice in one cabinet. Bodies that move as one and meet in a name all say how they move: the cabinet on
    /// its supports (", up and down", ", turning"), a driver on its mount or basket (", along its axis", ", rocking").
    /// Of boards the lowest mode keeps the plain name, so that it does not hang on how far up one looks; a higher one
    /// adds the first of these that none of the lower ones shares:
    ///     a board not in the name that holds at least 5 % more of the energy      "front 1×2 with left"
    ///     walls that breathe the other way round to each other                    "… against left", "… in step with
    ///     left" a board not in the name that holds at least 5 % less                    "front 1×2 with less of left"
    /// and only where nothing of that differs its turn: "front 1×2, second".
    /// @param modes   ascending, named; all of the cabinet's below some frequency
    /// @param shapes  translations on the mesh, shape (3 n_nodes, n_modes)
    void tell_apart(std::vector<Mode>& modes, const Eigen::MatrixXd& shapes) const;

private:
    static constexpr double moves_as_one = 0.3; ///< mean over root mean square

    /// The grid over a board's bounding rectangle.
    struct Grid
    {
        int n_1 = 0, n_2 = 0;
        double length_1 = 0, length_2 = 0; ///< [m] of the clear panel
        double free_1 = 0, free_2 = 0;     ///< free ends along the axis, 0 … 2
        struct Sample
        {
            int row = 0, column = 0;
            std::array<int, 9> node{};
            std::array<double, 9> weight{};
            Vector3d normal = Vector3d::UnitZ(); ///< of the board there
        };
        std::vector<Sample> samples; ///< where the clear panel is; a hole moves as its rim
    };
    /// What a board does in a mode.
    struct Motion
    {
        std::optional<HalfWaves> waves; ///< nothing when no pattern is honest
        double mean = 0;                ///< mean / root mean square of the normal motion, −1 … 1, outward positive
    };

    [[nodiscard]] static Grid grid_on(const Cabinet& cabinet, const ShellMesh& mesh, int board, double f_highest);
    [[nodiscard]] Motion motion_of(int board, double f_Hz, const Eigen::Matrix3Xd& displacement) const;
    [[nodiscard]] std::string words(const std::vector<int>& boards, const std::vector<Motion>& motions) const;
    /// What may be added to a mode's name, best first.
    /// @param lower  those below it that have the same
    [[nodiscard]] std::vector<std::string> what_differs(const std::vector<Mode>& modes,
                                                        const std::vector<std::size_t>& lower, std::size_t m,
                                                        const Eigen::MatrixXd& shapes) const;

    const Cabinet& cabinet_;
    const ShellMesh& mesh_;
    std::vector<Grid> grids_; ///< per board
};

} // namespace stillwall::solver
