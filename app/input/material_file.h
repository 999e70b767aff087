#pragma once
// The materials library: files of materials/ → stocks one can buy, and from a stock and a thickness the
// lay-up of a board. The format of the files is told in materials/README.md.

#include "mesh/cabinet/material.h"

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stillwall::app {

/// A material that does not exist, is not made so thick, or has impossible constants. what() is one
/// sentence with the hint and without a place; readers put the place in front of it.
class MaterialError : public Error
{
public:
    using Error::Error;
};

// --- What the library holds ---------------------------------------------------------------------

/// One figure as it stands in the file, for listings.
struct Figure
{
    std::string key;   ///< "E1", "rho", "ply" …
    std::string unit;  ///< "GPa", "MPa", "kg/m3", "mm" or "-"
    double scale = 1;  ///< [SI unit per unit]
    Quantity quantity; ///< in SI units
};

/// Figures that hold together: of a thickness class, a veneer, one temperature and frequency.
struct FigureGroup
{
    std::string label; ///< empty for a stock with one set of figures
    std::vector<Figure> figures;
};

enum class StockKind
{
    Homogeneous, ///< one material through the thickness
    Solid,       ///< the same, sawn from wood or bamboo: it swells and shrinks across the grain
    Plywood,     ///< plies in alternate directions
    Damping      ///< a soft layer to be bonded to a wall
};

/// What people read about a stock.
struct StockInfo
{
    std::string name;    ///< what users write
    std::string title;   ///< one line
    std::string family;  ///< heading in listings
    std::string caution; ///< safety of the family, may be empty
    std::string note;    ///< may be empty
    StockKind kind = StockKind::Homogeneous;
    std::vector<double> thicknesses;   ///< [m] usual in the trade; all there are, for plywood
    double thinnest = 0, thickest = 0; ///< [m] limits within which the figures hold
    std::vector<FigureGroup> figures;
};

/// The material of boards from `above` (exclusive, but for the thinnest class) up to `up_to`.
struct MaterialClass
{
    double above = 0, up_to = 0; ///< [m]
    Material material;
    std::optional<Quantity> assembled_loss; ///< loss factor of boards of it that are bolted or glued together
};

/// Plies in alternate directions, the first and the last along the face grain.
struct PlywoodRule
{
    struct Board
    {
        double nominal = 0; ///< [m] as sold
        int n_plies = 0;    ///< odd
    };
    Material veneer;
    Quantity ply, face_ply; ///< [m]
    std::vector<Board> boards;
    bool is_scaled = false; ///< plies in these proportions, pressed to the nominal thickness

    [[nodiscard]] double true_thickness(const Board& board) const; ///< [m]
};

/// A thin sheet of another stock on the outer side of a damping layer.
struct Facing
{
    std::string stock;
    double thickness = 0; ///< [m]
};

struct Stock
{
    StockInfo info;
    std::vector<MaterialClass> classes; ///< in order of thickness; empty for plywood
    std::optional<PlywoodRule> plywood;
    std::vector<DampingPoint> damping; ///< damping layers only
    std::optional<Facing> facing;
};

/// What is no board: a way of joining, mounting or standing, or stuff to fill the air with; with its usual figures.
struct Fixing
{
    enum class Use
    {
        Screw,   ///< figures: diameter, spacing, shear and axial (times the stiffness in shear by formula), loss
        Strip,   ///< under a clamped board: E, loss
        Mount,   ///< of a driver, the whole ring: stiffness, loss
        Support, ///< one foot: stiffness_x, stiffness_y, stiffness_z, loss
        Filling  ///< porous stuff: flow_resistivity at its density, density
    };
    Use use = Use::Screw;
    std::string name;    ///< what users write
    std::string title;   ///< one line
    std::string family;  ///< heading in listings
    std::string caution; ///< of the family, may be empty
    std::string note;    ///< may be empty
    FigureGroup figures;

    [[nodiscard]] const Quantity& figure(std::string_view key) const; ///< one of those its use has, in SI units
};

struct MaterialLibrary
{
    std::vector<Stock> stocks; ///< families in order of their file names, stocks as written
    std::vector<Fixing>
        fixings; ///< likewise, of the folder's own folders `fixings` and `filling`; empty when there are none
};

// --- Reading ------------------------------------------------------------------------------------

/// Where the library lies: the environment variable STILLWALL_MATERIALS, else share/stillwall/materials
/// beside the program's folder, else the source tree the program was built from.
[[nodiscard]] std::filesystem::path default_materials_dir();

/// Reads every *.yaml file of a folder, and of its folders `fixings` and `filling` if it has them.
/// @throws InputError with file, line and column; also when the folder or its files are missing
[[nodiscard]] MaterialLibrary load_materials(const std::filesystem::path& dir);

// --- From names to boards -----------------------------------------------------------------------

/// @throws MaterialError with the nearest names when there is no such stock
[[nodiscard]] const Stock& find_stock(const MaterialLibrary& library, std::string_view name);

/// @throws MaterialError with the known names when there is no such fixing of this use
[[nodiscard]] const Fixing& find_fixing(const MaterialLibrary& library, Fixing::Use use, std::string_view name);

/// Lay-up of a board. Appends the materials it needs to `materials`, or reuses entries of the same name.
/// @param thickness  [m] nominal; for plywood also the true thickness ("17.6 mm" for 18 mm birch plywood)
/// @throws MaterialError  when the stock does not exist or is not made so thick
[[nodiscard]] Layup make_stock_layup(const MaterialLibrary& library, const std::string& name, double thickness,
                                     std::vector<Material>& materials);

/// Material of a rod or rib; plywood is smeared over its plies, face grain along the bar.
/// @param thickness  [m] the smaller side or the diameter; chooses the thickness class or the plywood
/// @return index into `materials`, to which it is appended unless an entry of the same name exists
/// @throws MaterialError
[[nodiscard]] int add_bar_material(const MaterialLibrary& library, const std::string& name, double thickness,
                                   std::vector<Material>& materials);

/// Appends a material that the user described.
/// @return its index
/// @throws MaterialError  when the name is taken or the constants are not positive definite
[[nodiscard]] int add_inline_material(const Material& material, std::vector<Material>& materials);

/// Which constants are independent; the others follow from them.
enum class Symmetry
{
    Isotropic,        ///< E or G; nu, rho, eta
    InPlaneIsotropic, ///< E1, E3, G13, nu12, nu13, rho, eta: the same in every direction of the board
    Orthotropic       ///< E1, E2, E3, G12, G13, G23, nu12, nu13, nu23, rho, eta; eta2 optional
};

/// A material from its independent constants.
/// @param figures  [SI] by key, as listed at Symmetry
/// @throws MaterialError  when one is missing or superfluous, or the whole is not positive definite
[[nodiscard]] Material make_material(const std::string& name, Symmetry symmetry,
                                     const std::map<std::string, Quantity>& figures);

/// Whether the 6×6 stiffness exists and every strain costs energy.
[[nodiscard]] bool is_positive_definite(const Material& material);

/// What a bending test on a strip of the board gives, along and across its zero direction.
struct BendingModuli
{
    double along = 0, across = 0; ///< [Pa], 12 / (t³ d11) and 12 / (t³ d22) with d the bending compliance
};
[[nodiscard]] BendingModuli effective_bending_moduli(const Layup& layup, const std::vector<Material>& materials);

} // namespace stillwall::app
