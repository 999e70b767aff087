#pragma once
// What a board is made of: elastic constants with their ranges, plies, lay-ups. Plain data.

#include "mesh/cabinet/error.h"

#include <string>
#include <vector>

namespace stillwall {

/// A material figure: typical value and the range within which good practice finds it. SI units.
struct Quantity
{
    double value = 0;
    double low = 0;        ///< = value when no range is known
    double high = 0;       ///< = value when no range is known
    std::string source;    ///< where the figure comes from
    std::string confirmed; ///< how it was confirmed, e.g. "from memory"
};

/// Shear modulus and loss of a soft layer at one temperature and frequency.
struct DampingPoint
{
    double temperature = 0; ///< [°C]
    double frequency = 0;   ///< [Hz]
    Quantity G;             ///< [Pa]
    Quantity eta;           ///< [-]
};

/// Orthotropic elastic material. Axis 1 runs along the grain (or the face grain, or the press
/// direction), 2 across it in the plane of the board, 3 through the thickness.
/// Isotropic materials have equal constants and G = E/(2(1+ν)).
struct Material
{
    std::string name;          ///< the key users write, e.g. "mdf_18"
    std::string title;         ///< one line for people
    Quantity E1, E2, E3;       ///< Young's moduli [Pa], > 0
    Quantity G12, G13, G23;    ///< shear moduli [Pa], > 0
    Quantity nu12, nu13, nu23; ///< Poisson ratios [-]; nu_ij is the strain in j per strain in i
    Quantity rho;              ///< density [kg/m³], > 0
    Quantity eta;              ///< loss factor in bending along the grain [-], >= 0
    Quantity eta2;             ///< loss factor across the grain; = eta when not known apart
    bool is_isotropic = false;
    /// Soft layers: modulus and loss over temperature and frequency, in any order; empty when the figures above hold
    /// everywhere. Only of isotropic materials; ν stays.
    std::vector<DampingPoint> damping;
    std::string caution; ///< what to mind when working it, one line; may be empty
};

/// One layer of a board.
struct Ply
{
    int material = 0;     ///< index into Cabinet::materials
    double thickness = 0; ///< [m]
    double angle = 0;     ///< [rad] from the board's e1 axis to the ply's axis 1, positive towards e2
};

/// What a board is glued up from, as it is bought.
struct LaidSheet
{
    std::string label;    ///< "mdf 12 mm"
    double thickness = 0; ///< [m]
};

/// The layers of a board, listed from the face on the −n side (inside, for a wall) to the +n side.
struct Layup
{
    std::vector<Ply> plies;
    std::string label;               ///< what the user asked for, e.g. "birch plywood 18 mm"
    std::vector<LaidSheet> sheets{}; ///< in the order of the plies; empty: bought as one

    [[nodiscard]] double thickness() const
    {
        double t = 0;
        for (const Ply& ply : plies) t += ply.thickness;
        return t;
    }
};

} // namespace stillwall
