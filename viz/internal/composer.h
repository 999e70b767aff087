#pragma once
// Lays out the pictures of one cabinet: a large one per mode, and a small one for the contact sheet.

#include "viz/internal/drawing.h"
#include "viz/internal/flat_layout.h"
#include "viz/internal/surface.h"
#include "viz/internal/view.h"

namespace stillwall::viz {

class Composer
{
public:
    /// @param scene    kept by reference
    /// @param measure  measures type of the size that will be set
    Composer(const Scene& scene, const PictureOptions& options, TextMeasure measure);

    /// One mode on a page of its own: the closed box, the opened box, every board flat, and the colour bar.
    [[nodiscard]] Drawing picture(const ModeFrame& frame) const;

    /// A small picture: closed and opened box, two lines of text; lower left corner at (0, 0).
    [[nodiscard]] Drawing sheet_cell(const ModeFrame& frame, int width_px, int height_px) const;

    /// A height [px] that suits small pictures of this box.
    [[nodiscard]] int sheet_cell_height(int width_px) const;

    /// What stands below the cells of a contact sheet.
    [[nodiscard]] Drawing sheet_legend(int width_px, int height_px) const;

private:
    /// Places that do not change from mode to mode.
    struct Panel
    {
        View view;
        Rectangle area;
        std::vector<bool> is_drawn; ///< shape (n_boards)
        std::vector<Text> names;
    };

    /// Areas of the two box views and of the flat boards, and the layout of the latter.
    struct Page
    {
        std::array<Rectangle, 2> boxes;
        Rectangle flat_area;
        FlatLayout flat;
    };

    [[nodiscard]] Page best_page() const;
    [[nodiscard]] std::array<Rectangle, 2> split(const Rectangle& area, double gap) const;
    [[nodiscard]] Panel make_panel(const Rectangle& area, bool is_open) const;
    void name_boards(Panel& panel) const;
    void draw_panel(Drawing& drawing, const Panel& panel, const Shape& shape, double line_px) const;
    void draw_flat(Drawing& drawing, const Shape& shape) const;
    void draw_flat_board(Drawing& drawing, const Shape& shape, std::size_t board) const;
    void draw_scale(Drawing& drawing, const Rectangle& area) const;
    [[nodiscard]] double px(double at_1200) const { return at_1200 * unit_; }
    [[nodiscard]] TextStyle style(int size_at_1200, const Rgb& colour = palette::ink, bool is_bold = false) const;

    const Scene& scene_;
    PictureOptions options_;
    TextMeasure measure_;
    Surface surface_;
    double unit_; ///< [px] what 1 px of a 1200 × 900 picture is in this one
    Extent seen_; ///< of the box in both views, with room for its motion
    Page page_;
    Panel closed_, open_;
};

} // namespace stillwall::viz
