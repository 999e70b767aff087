#include "viz/internal/flat_layout.h"

#include <algorithm>

namespace stillwall::viz {
namespace {

struct Row
{
    std::size_t first = 0, count = 0;
    double width = 0, height = 0; ///< [px] of the boards; height without captions
};

double slot_width(const FlatItem& item, double scale)
{
    return std::max(item.width * scale, item.caption_px);
}

std::vector<Row> break_rows(const std::vector<FlatItem>& items, double scale, double width, double gap)
{
    std::vector<Row> rows;
    for (std::size_t i = 0; i < items.size(); ++i) {
        const double slot = slot_width(items[i], scale);
        if (rows.empty() || rows.back().width + gap + slot > width) rows.push_back({i, 0, -gap, 0});
        Row& row = rows.back();
        ++row.count;
        row.width += gap + slot;
        row.height = std::max(row.height, items[i].height * scale);
    }
    return rows;
}

double total_height(const std::vector<Row>& rows, const FlatSpacing& spacing)
{
    double height = -spacing.gap_px;
    for (const Row& row : rows) height += row.height + spacing.caption_px + spacing.gap_px;
    return height;
}

bool fits(const std::vector<Row>& rows, const Rectangle& area, const FlatSpacing& spacing)
{
    const bool is_narrow =
        std::all_of(rows.begin(), rows.end(), [&](const Row& row) { return row.width <= area.width; });
    return is_narrow && total_height(rows, spacing) <= area.height;
}

} // namespace

FlatLayout lay_flat(const std::vector<FlatItem>& items, const Rectangle& area, const FlatSpacing& spacing)
{
    // Whether a scale fits is not quite monotonic (row breaks jump), so the scales are tried from the
    // largest sensible one downwards, 2 % apart.
    double largest = 0;
    for (const FlatItem& item : items) largest = std::max({largest, item.width, item.height});
    if (largest <= 0) return {};
    double scale = std::max(area.width, area.height) / largest;
    std::vector<Row> rows = break_rows(items, scale, area.width, spacing.gap_px);
    constexpr double smallest_side_px = 1;
    while (!fits(rows, area, spacing)) {
        scale *= 0.98;
        if (scale * largest < smallest_side_px) return {};
        rows = break_rows(items, scale, area.width, spacing.gap_px);
    }

    FlatLayout layout;
    layout.scale = scale;
    const double spare = (area.height - total_height(rows, spacing)) / static_cast<double>(rows.size() + 1);
    double top = area.top() - spare;
    for (const Row& row : rows) {
        const double bottom = top - spacing.caption_px - row.height;
        double left = area.left;
        // A full row is spread to the edges, but never torn apart.
        const double extra = row.count > 1 ? (area.width - row.width) / static_cast<double>(row.count - 1) : 0;
        const double step = spacing.gap_px + std::min(extra, 2 * spacing.gap_px);
        for (std::size_t i = row.first; i < row.first + row.count; ++i) {
            layout.places.push_back({left, bottom, items[i].width * scale, items[i].height * scale});
            left += slot_width(items[i], scale) + step;
        }
        top = bottom - spacing.gap_px - spare;
    }
    return layout;
}

} // namespace stillwall::viz
