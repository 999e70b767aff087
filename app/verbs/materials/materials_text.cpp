#include "app/verbs/materials/materials_text.h"

#include "app/input/stock_material.h"
#include "app/write/numbers.h"
#include "app/write/text_table.h"
#include "app/write/thickness.h"
#include "mesh/cabinet/units.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::app {
namespace {

using enum Align;

/// "3.2 (2.5–4)" in the given unit; without brackets when no range is known.
std::string with_range(const Quantity& quantity, double unit, int digits = 3)
{
    const auto number = [&](double value) { return shortest(value / unit, digits); };
    if (quantity.low == quantity.high) return number(quantity.value);
    return fmt::format("{} ({}–{})", number(quantity.value), number(quantity.low), number(quantity.high));
}

std::string thickness_list(const std::vector<double>& thicknesses)
{
    std::string text;
    for (const double t : thicknesses) {
        if (!text.empty()) text += ' ';
        text += thickness_mm(t);
    }
    return text;
}

/// The usual thickness nearest to the commonest of cabinet walls.
double typical_thickness(const StockInfo& info)
{
    constexpr double commonest = 18 * units::mm;
    if (info.thicknesses.empty()) return std::clamp(commonest, info.thinnest, info.thickest);
    return *std::min_element(info.thicknesses.begin(), info.thicknesses.end(),
                             [](double a, double b) { return std::abs(a - commonest) < std::abs(b - commonest); });
}

struct BoardFigures
{
    double thickness = 0; ///< [m] for which they hold
    BendingModuli moduli; ///< [Pa]
    Material material;    ///< of the face
};

BoardFigures board_figures(const MaterialLibrary& library, const Stock& stock)
{
    std::vector<Material> materials;
    const double thickness = typical_thickness(stock.info);
    const Layup layup = make_stock_layup(library, stock.info.name, thickness, materials);
    const auto face = static_cast<std::size_t>(layup.plies.front().material);
    return {thickness, effective_bending_moduli(layup, materials), materials[face]};
}

/// Of the bare board and, where they differ, of boards bolted or glued together.
std::string loss_words(const Stock& stock, const BoardFigures& board)
{
    const std::string bare = with_range(board.material.eta, 1, 2);
    const auto lossy = assembled_loss(stock, board.thickness);
    return lossy ? fmt::format("{}; assembled {}", bare, with_range(*lossy, 1, 2)) : bare;
}

std::vector<std::string> board_row(const MaterialLibrary& library, const Stock& stock)
{
    const BoardFigures board = board_figures(library, stock);
    const double along_GPa = board.moduli.along / units::GPa, across_GPa = board.moduli.across / units::GPa;
    std::string E = significant(along_GPa, 2);
    if (std::abs(across_GPa / along_GPa - 1) > 0.01) E += " / " + significant(across_GPa, 2);
    // The range of the face's wood, as parts of its typical value.
    const Quantity& E1 = board.material.E1;
    if (E1.low < E1.high) {
        const std::string plus = fmt::format("{:.0f}", (E1.high / E1.value - 1) * 100);
        const std::string minus = fmt::format("{:.0f}", (1 - E1.low / E1.value) * 100);
        E += plus == minus ? fmt::format(" (±{} %)", plus) : fmt::format(" (+{}/−{} %)", plus, minus);
    }
    return {
        stock.info.name, E, with_range(board.material.rho, 1), loss_words(stock, board), thickness_mm(board.thickness),
        stock.info.title};
}

std::vector<std::string> layer_row(const Stock& stock)
{
    const DampingPoint& point = stock.damping[stock.damping.size() / 2];
    return {stock.info.name, with_range(point.G, units::MPa, 2), with_range(point.eta, 1, 2),
            fmt::format("{:.0f} °C, {:.0f} Hz", point.temperature, point.frequency), stock.info.title};
}

/// Soft layers have a shear modulus at a temperature and frequency; all others bend like boards.
bool is_told_as_layer(const Stock& stock)
{
    return !stock.damping.empty();
}

TextTable empty_table(bool is_layer)
{
    TextTable table;
    if (is_layer)
        table.columns = {{"Damping layer", Left}, {"G MPa", Left}, {"Loss factor", Left}, {"At", Left}, {"", Left}};
    else
        table.columns = {{"Board", Left},         {"E GPa along / across", Left},
                         {"Density kg/m³", Left}, {"Loss factor", Left},
                         {"For mm", Right},       {"", Left}};
    return table;
}

std::string kind_words(StockKind kind)
{
    switch (kind) {
    case StockKind::Homogeneous:
        return "the same through the thickness";
    case StockKind::Solid:
        return "sawn wood: it swells and shrinks across the grain";
    case StockKind::Plywood:
        return "plywood: figures of the veneer, boards follow from the plies";
    case StockKind::Damping:
        return "a soft layer to be bonded to a wall";
    }
    return {};
}

std::string figures_table(const FigureGroup& group)
{
    TextTable table;
    table.columns = {
        {"Figure", Left}, {"Value (range)", Left}, {"Unit", Left}, {"Confirmed", Left, 26}, {"Source", Left}};
    for (const Figure& figure : group.figures)
        table.rows.push_back({figure.key, with_range(figure.quantity, figure.scale), figure.unit,
                              figure.quantity.confirmed, figure.quantity.source});
    table.columns.back().max_width = std::max(30, page_width - table.width_without_last());
    return table.text();
}

std::string use_words(Fixing::Use use)
{
    switch (use) {
    case Fixing::Use::Screw:
        return "joint: screws";
    case Fixing::Use::Strip:
        return "joint: strip of a gasket";
    case Fixing::Use::Mount:
        return "mount of a driver";
    case Fixing::Use::Filling:
        return "filling of the air";
    case Fixing::Use::Support:
        break;
    }
    return "support, one foot";
}

/// Where the word is written in a cabinet file, and what its figures mean.
std::string use_explanation(Fixing::Use use)
{
    switch (use) {
    case Fixing::Use::Screw:
        return "Used by 'joints' of kind screwed and gasket. shear and axial: factors on a screw's stiffness in shear "
               "by "
               "formula.";
    case Fixing::Use::Strip:
        return "Written as 'material' of a gasket's 'strip' in 'joints'. E: Young's modulus of the strip.";
    case Fixing::Use::Mount:
        return "Written as 'mount' of a 'driver'. stiffness: of the whole ring along the driver's axis.";
    case Fixing::Use::Filling:
        return "Written as 'material' of a 'filling' in 'air'. flow_resistivity: at that density; packed to a share of "
               "it (amount) "
               "it is flow_resistivity times amount^1.53.";
    case Fixing::Use::Support:
        break;
    }
    return "Written as 'kind' in 'supports'. stiffness: of one foot along x (width), y (depth) and z (height).";
}

std::string fixings_text(const MaterialLibrary& library)
{
    std::string text;
    for (std::size_t i = 0; i < library.fixings.size();) {
        const std::string& family = library.fixings[i].family;
        text += '\n' + family + '\n';
        TextTable table;
        table.columns = {{"Word", Left}, {"For", Left}, {"Typical figures (range)", Left, 46}, {"", Left}};
        for (; i < library.fixings.size() && library.fixings[i].family == family; ++i) {
            const Fixing& fixing = library.fixings[i];
            std::string figures;
            for (const Figure& figure : fixing.figures.figures)
                figures +=
                    fmt::format("{}{} {}{}", figures.empty() ? "" : ", ", figure.key,
                                with_range(figure.quantity, figure.scale), figure.unit == "-" ? "" : ' ' + figure.unit);
            table.rows.push_back({fixing.name, use_words(fixing.use), figures, fixing.title});
        }
        table.columns.back().max_width = std::max(20, page_width - table.width_without_last());
        text += table.text();
    }
    return text;
}

} // namespace

std::string materials_list_text(const MaterialLibrary& library)
{
    std::string text;
    for (std::size_t i = 0; i < library.stocks.size();) {
        const std::string& family = library.stocks[i].info.family;
        if (i == 0 || library.stocks[i - 1].info.family != family) text += (i > 0 ? "\n" : "") + family + '\n';
        // A table for each run of stocks that are told by the same columns.
        const bool is_layer = is_told_as_layer(library.stocks[i]);
        TextTable table = empty_table(is_layer);
        for (; i < library.stocks.size(); ++i) {
            const Stock& stock = library.stocks[i];
            if (stock.info.family != family || is_told_as_layer(stock) != is_layer) break;
            table.rows.push_back(is_layer ? layer_row(stock) : board_row(library, stock));
        }
        table.columns.back().max_width = page_width - table.width_without_last();
        text += table.text();
    }
    return text + fixings_text(library) +
           "\nTypical value and, in brackets, the range good practice finds. E: bending modulus of the board.\n"
           "'stillwall materials NAME' shows every figure with its source and how it was confirmed.\n";
}

std::string stock_text(const MaterialLibrary& library, const Stock& stock)
{
    const StockInfo& info = stock.info;
    std::string text = fmt::format("{}: {}\n  {}; {}\n", info.name, info.title, info.family, kind_words(info.kind));
    if (!info.thicknesses.empty()) text += wrapped("Made in mm: " + thickness_list(info.thicknesses));
    if (!is_told_as_layer(stock)) {
        const BoardFigures board = board_figures(library, stock);
        text += fmt::format("  A board of {} mm bends with {} GPa along and {} GPa across its first direction.\n",
                            thickness_mm(board.thickness), significant(board.moduli.along / units::GPa, 3),
                            significant(board.moduli.across / units::GPa, 3));
    }
    if (!info.note.empty()) text += wrapped(info.note);
    for (const FigureGroup& group : info.figures)
        text += '\n' + (group.label.empty() ? std::string() : "  " + group.label + '\n') + figures_table(group);
    text += "\n  1 along the grain or face grain, 2 across it, 3 through the thickness; E and G moduli, nu Poisson "
            "ratios,\n"
            "  rho density, eta and eta2 loss factors along and across.\n";
    if (!stock.classes.empty() && stock.classes.front().assembled_loss)
        text += "  eta_assembled: of boards bolted or glued together, as they are unless a cabinet says welded: yes.\n";
    if (!info.caution.empty()) text += wrapped(info.caution);
    return text;
}

std::string fixing_text(const Fixing& fixing)
{
    std::string text =
        fmt::format("{}: {}\n  {}; {}\n", fixing.name, fixing.title, fixing.family, use_words(fixing.use));
    if (!fixing.note.empty()) text += wrapped(fixing.note);
    text += '\n' + figures_table(fixing.figures) + '\n' + wrapped(use_explanation(fixing.use));
    if (!fixing.caution.empty()) text += wrapped(fixing.caution);
    return text;
}

} // namespace stillwall::app
