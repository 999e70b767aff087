#pragma once
// A stock as one material, and which stock a measured board is most like.

#include "app/input/material_file.h"

namespace stillwall::app {

/// How many directions in its plane a stock knows.
enum class StockSymmetry
{
    Isotropic, ///< the same in every direction of space
    InPlane,   ///< the same in every direction of the board, softer through it
    Grain      ///< orthotropic, plywood too
};
[[nodiscard]] StockSymmetry symmetry_of(const Stock& stock);

/// The one material that bends and shears as a board of this stock does: its thickness class's, or for plywood the
/// plies' bending stiffness smeared, which is off by some per cent where the board is stretched instead.
/// @throws MaterialError  as make_stock_layup(), when it is not made so thick
[[nodiscard]] Material board_material(const MaterialLibrary& library, const std::string& name, double thickness);

/// Loss factor of boards of this thickness [m] that are bolted or glued together; nothing: as the material's own.
/// @throws MaterialError  as make_stock_layup(), when it is not made so thick
[[nodiscard]] std::optional<Quantity> assembled_loss(const Stock& stock, double thickness);

/// The material as boards of an assembly lose energy, named after it: "steel (assembled)".
[[nodiscard]] Material assembled(Material bare, const Quantity& loss);

/// Whether a material is one of assembled boards.
[[nodiscard]] bool is_assembled(const Material& material);

/// Thickness [m] at which a stock is had, nearest to the one wanted; some of its own when that is 0.
[[nodiscard]] double made_thickness(const Stock& stock, double wanted);

/// What is known of a board of unknown stock; what is not known is 0.
struct BoardLook
{
    double E1 = 0, E2 = 0; ///< [Pa] in the plane
    double rho = 0;        ///< [kg/m³]
    double thickness = 0;  ///< [m]; 0: any
};

/// Sum of squares over what is known of the board, each difference of logarithms over the half width of the stock's own
/// range; the stock's figures at its thickness nearest to the board's.
[[nodiscard]] double distance_to(const MaterialLibrary& library, const Stock& stock, const BoardLook& look);

/// The stock whose figures lie nearest, of those for which `takes` holds; null when it holds for none.
template <class Takes>
[[nodiscard]] const Stock* nearest_stock(const MaterialLibrary& library, const BoardLook& look, const Takes& takes)
{
    const Stock* best = nullptr;
    double least = 0;
    for (const Stock& stock : library.stocks) {
        if (!takes(stock)) continue;
        const double distance = distance_to(library, stock, look);
        if (best && distance >= least) continue;
        best = &stock;
        least = distance;
    }
    return best;
}

} // namespace stillwall::app
