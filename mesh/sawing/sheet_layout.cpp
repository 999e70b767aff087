#include "mesh/sawing/sheet_layout.h"

#include <algorithm>
#include <array>
#include <limits>
#include <map>
#include <numeric>

namespace stillwall {
namespace {

constexpr double slack = 1e-7; ///< [m] against rounding

struct Room
{
    double x = 0, y = 0, length = 0, width = 0; ///< [m], a kerf more than is free at the far sides
};

struct Sheet
{
    UsedSheet used;
    std::vector<Room> rooms;
};

enum class Split
{
    ShorterFirst, ///< the cut runs along the shorter rest: leaves one large piece
    LongerFirst
};

enum class Turning
{
    BestFit,     ///< whichever way leaves less beside the part
    LengthAlong, ///< turned only where it does not fit otherwise
    LengthAcross
};

/// One way of packing: an order of the parts and a rule for the cuts.
struct Attempt
{
    std::vector<Sheet> sheets;
    double largest_rest = 0; ///< [m²]
};

class Packing
{
public:
    Packing(const std::vector<SawnPart>& parts, const WorkshopPlan& plan, std::size_t stock, Split split,
            Turning turning)
        : parts_(parts), plan_(plan), stock_(stock), split_(split), turning_(turning)
    {
    }

    void place(std::size_t part)
    {
        Choice best = find(part);
        if (best.sheet == sheets_.size()) {
            sheets_.push_back(new_sheet());
            best = find(part);
        }
        put(part, best);
    }

    [[nodiscard]] Attempt take()
    {
        Attempt attempt{std::move(sheets_), 0};
        for (const Sheet& sheet : attempt.sheets)
            for (const Room& room : sheet.rooms)
                attempt.largest_rest = std::max(attempt.largest_rest, room.length * room.width);
        return attempt;
    }

private:
    struct Choice
    {
        std::size_t sheet = 0, room = 0;
        bool turned = false;
        double rest = std::numeric_limits<double>::infinity(); ///< [m] beside the part, on its tighter side
    };

    [[nodiscard]] Sheet new_sheet() const
    {
        const SheetStock& stock = plan_.sheets[stock_];
        Sheet sheet;
        sheet.used.stock = stock_;
        sheet.used.n_cuts = plan_.trim > 0 ? 4 : 0;
        sheet.rooms.push_back({plan_.trim, plan_.trim, stock.length - 2 * plan_.trim + plan_.kerf,
                               stock.width - 2 * plan_.trim + plan_.kerf});
        return sheet;
    }
    [[nodiscard]] Vector2d size_of(std::size_t part, bool turned) const
    {
        const Vector2d size(parts_[part].length + plan_.kerf, parts_[part].width + plan_.kerf);
        return turned ? Vector2d(size.y(), size.x()) : size;
    }
    [[nodiscard]] Choice find(std::size_t part) const
    {
        Choice best;
        best.sheet = sheets_.size();
        const bool may_turn = !(plan_.keeps_grain && parts_[part].has_grain);
        for (std::size_t s = 0; s < sheets_.size(); ++s)
            for (std::size_t r = 0; r < sheets_[s].rooms.size(); ++r)
                for (const bool turned : {false, true}) {
                    if (turned && !may_turn) continue;
                    const Vector2d size = size_of(part, turned);
                    const Room& room = sheets_[s].rooms[r];
                    double rest = std::min(room.length - size.x(), room.width - size.y());
                    if (rest < -slack) continue;
                    constexpr double far = 100; // [m] more than any board: the other way goes first
                    if (turned ? turning_ == Turning::LengthAlong : turning_ == Turning::LengthAcross) rest += far;
                    if (rest > -slack && rest < best.rest - slack) best = {s, r, turned, rest};
                }
        return best;
    }
    void put(std::size_t part, const Choice& at)
    {
        Sheet& sheet = sheets_[at.sheet];
        const Room room = sheet.rooms[at.room];
        const Vector2d size = size_of(part, at.turned);
        sheet.used.parts.push_back({part, room.x, room.y, size.x() - plan_.kerf, size.y() - plan_.kerf});
        sheet.used.used += parts_[part].length * parts_[part].width;
        sheet.rooms.erase(sheet.rooms.begin() + static_cast<std::ptrdiff_t>(at.room));
        const double beside = room.length - size.x(), above = room.width - size.y();
        if (beside > slack) ++sheet.used.n_cuts;
        if (above > slack) ++sheet.used.n_cuts;
        // The first cut runs right across the room, the second only beside the part.
        const bool cut_along = (above < beside) == (split_ == Split::LongerFirst);
        if (cut_along) {
            if (above > slack) sheet.rooms.push_back({room.x, room.y + size.y(), room.length, above});
            if (beside > slack) sheet.rooms.push_back({room.x + size.x(), room.y, beside, size.y()});
        } else {
            if (beside > slack) sheet.rooms.push_back({room.x + size.x(), room.y, beside, room.width});
            if (above > slack) sheet.rooms.push_back({room.x, room.y + size.y(), size.x(), above});
        }
    }

    const std::vector<SawnPart>& parts_;
    const WorkshopPlan& plan_;
    std::size_t stock_;
    Split split_;
    Turning turning_;
    std::vector<Sheet> sheets_;
};

bool fits(const SawnPart& part, const SheetStock& stock, const WorkshopPlan& plan)
{
    const double length = stock.length - 2 * plan.trim + slack, width = stock.width - 2 * plan.trim + slack;
    if (part.length <= length && part.width <= width) return true;
    return !(plan.keeps_grain && part.has_grain) && part.width <= length && part.length <= width;
}

/// The best of several ways on one kind of board.
Attempt pack(const std::vector<SawnPart>& parts, const WorkshopPlan& plan, std::size_t stock,
             const std::vector<std::size_t>& group)
{
    using Measure = double (*)(const SawnPart&);
    constexpr std::array<Measure, 4> measures{[](const SawnPart& p) { return p.length * p.width; },
                                              [](const SawnPart& p) { return std::max(p.length, p.width); },
                                              [](const SawnPart& p) { return std::min(p.length, p.width); },
                                              [](const SawnPart& p) { return p.length + p.width; }};
    constexpr std::array<std::pair<Split, Turning>, 6> ways{{{Split::ShorterFirst, Turning::BestFit},
                                                             {Split::LongerFirst, Turning::BestFit},
                                                             {Split::ShorterFirst, Turning::LengthAlong},
                                                             {Split::LongerFirst, Turning::LengthAlong},
                                                             {Split::ShorterFirst, Turning::LengthAcross},
                                                             {Split::LongerFirst, Turning::LengthAcross}}};
    Attempt best;
    for (const Measure measure : measures)
        for (const auto& [split, turning] : ways) {
            std::vector<std::size_t> order = group;
            std::stable_sort(order.begin(), order.end(),
                             [&](std::size_t a, std::size_t b) { return measure(parts[a]) > measure(parts[b]); });
            Packing packing(parts, plan, stock, split, turning);
            for (const std::size_t part : order) packing.place(part);
            Attempt attempt = packing.take();
            const bool is_better =
                best.sheets.empty() || attempt.sheets.size() < best.sheets.size() ||
                (attempt.sheets.size() == best.sheets.size() && attempt.largest_rest > best.largest_rest + slack);
            if (is_better) best = std::move(attempt);
        }
    return best;
}

/// What the boards of an attempt cost; their area where they have no price.
double cost(const Attempt& attempt, const SheetStock& stock)
{
    const double each = stock.price.value_or(stock.length * stock.width);
    return each * static_cast<double>(attempt.sheets.size());
}

} // namespace

SheetLayout lay_out(const std::vector<SawnPart>& parts, const WorkshopPlan& plan)
{
    SheetLayout layout;
    std::map<std::string, std::vector<std::size_t>> groups;
    for (std::size_t p = 0; p < parts.size(); ++p) groups[parts[p].material].push_back(p);
    for (const auto& [material, all] : groups) {
        std::vector<std::size_t> stocks;
        for (std::size_t s = 0; s < plan.sheets.size(); ++s)
            if (plan.sheets[s].material == material) stocks.push_back(s);
        if (stocks.empty()) {
            layout.without_stock.insert(layout.without_stock.end(), all.begin(), all.end());
            continue;
        }
        // Parts that some board holds but not this one count against it.
        const auto holds = [&](std::size_t stock, std::size_t part) {
            return fits(parts[part], plan.sheets[stock], plan);
        };
        std::vector<std::size_t> group;
        for (const std::size_t part : all) {
            const bool is_possible =
                std::any_of(stocks.begin(), stocks.end(), [&](std::size_t s) { return holds(s, part); });
            (is_possible ? group : layout.too_large).push_back(part);
        }
        std::optional<Attempt> best;
        double least = 0;
        for (const std::size_t stock : stocks) {
            std::vector<std::size_t> here;
            std::copy_if(group.begin(), group.end(), std::back_inserter(here),
                         [&](std::size_t part) { return holds(stock, part); });
            if (here.empty()) continue;
            Attempt attempt = pack(parts, plan, stock, here);
            const double price = cost(attempt, plan.sheets[stock]) * static_cast<double>(group.size()) /
                                 static_cast<double>(here.size());
            if (best && price >= least) continue;
            least = price;
            best = std::move(attempt);
        }
        if (!best) continue;
        std::vector<bool> is_placed(parts.size(), false);
        for (Sheet& sheet : best->sheets) {
            for (const PlacedPart& placed : sheet.used.parts) is_placed[placed.part] = true;
            layout.sheets.push_back(std::move(sheet.used));
        }
        // What the chosen kind does not hold goes on the first kind that does.
        for (const std::size_t stock : stocks) {
            std::vector<std::size_t> rest;
            std::copy_if(group.begin(), group.end(), std::back_inserter(rest),
                         [&](std::size_t part) { return !is_placed[part] && holds(stock, part); });
            if (rest.empty()) continue;
            for (Sheet& sheet : pack(parts, plan, stock, rest).sheets) {
                for (const PlacedPart& placed : sheet.used.parts) is_placed[placed.part] = true;
                layout.sheets.push_back(std::move(sheet.used));
            }
        }
    }
    return layout;
}

double SheetLayout::waste(const WorkshopPlan& plan) const
{
    double bought = 0, used = 0;
    for (const UsedSheet& sheet : sheets) {
        bought += plan.sheets[sheet.stock].length * plan.sheets[sheet.stock].width;
        used += sheet.used;
    }
    return bought > 0 ? 1 - used / bought : 0;
}

std::optional<double> price_by_area(const std::vector<SawnPart>& parts, const WorkshopPlan& plan)
{
    double price = 0;
    for (const SawnPart& part : parts) {
        std::optional<double> per_area;
        for (const SheetStock& stock : plan.sheets)
            if (stock.material == part.material && stock.price) {
                const double here = *stock.price / (stock.length * stock.width);
                per_area = std::min(per_area.value_or(here), here);
            }
        if (!per_area) return std::nullopt;
        price += *per_area * part.length * part.width;
    }
    return price;
}

} // namespace stillwall
