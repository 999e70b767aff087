// Which stock of the library a measured board is most like.

#include "app/input/stock_material.h"
#include "app/verbs/strip/strip_report.h"

namespace stillwall::app {
namespace {

/// Whether a stock is of this kind of board.
bool is_of(const Stock& stock, BoardKind board, bool has_grain)
{
    if (stock.info.kind == StockKind::Damping) return false;
    const StockSymmetry symmetry = symmetry_of(stock);
    switch (board) {
    case BoardKind::Mdf:
        return stock.info.family == "Fibreboard";
    case BoardKind::Particleboard:
        return stock.info.family == "Particle and strand board" && has_grain == (symmetry == StockSymmetry::Grain);
    case BoardKind::Plywood:
        return stock.info.kind == StockKind::Plywood;
    case BoardKind::SolidWood:
        return stock.info.kind == StockKind::Solid;
    case BoardKind::Other:
        return symmetry == StockSymmetry::InPlane;
    }
    return false;
}

/// A board of kind "other" is taken as alike in every direction of space unless its modes show otherwise.
bool shows_soft_shear(const solver::StripResult& result)
{
    constexpr double isotropic = 3; // E/G of any isotropic stuff is at most 2 (1 + 1/2)
    const bool is_known =
        result.ratio_source == solver::RatioSource::Fitted || result.ratio_source == solver::RatioSource::Given;
    return is_known && result.E_over_G.value - 2 * result.E_over_G.error > isotropic;
}

BoardLook look_of(const StripReport& report)
{
    BoardLook look;
    for (std::size_t i = 0; i < report.results.size(); ++i) {
        const solver::StripResult& result = report.results[i];
        const StripDirection direction = report.plan.strips[i].direction;
        if (direction != StripDirection::Across) look.E1 = result.E.value;
        if (direction != StripDirection::Along) look.E2 = result.E.value;
        look.rho += result.rho.value / static_cast<double>(report.results.size());
    }
    look.thickness = report.plan.strips.front().data.thickness.value;
    return look;
}

} // namespace

const Stock* stock_for(const StripReport& report, const MaterialLibrary& library)
{
    const StripPlan& plan = report.plan;
    if (!plan.like.empty()) {
        try {
            return &find_stock(library, plan.like);
        } catch (const MaterialError& error) {
            throw InputError(plan.like_place.where, plan.like_place.path, error.what());
        }
    }
    const bool has_grain = plan.strips.front().direction != StripDirection::Any;
    if (plan.board == BoardKind::Other && (has_grain || !shows_soft_shear(report.results.front()))) return nullptr;
    return nearest_stock(library, look_of(report),
                         [&](const Stock& stock) { return is_of(stock, plan.board, has_grain); });
}

} // namespace stillwall::app
