#include "solver/choose/ideas.h"

#include "mesh/cabinet/fit.h"
#include "mesh/cabinet/polygon.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::solver {
namespace {

using Kind = Knob::Kind;

constexpr double thicker = 3e-3; ///< [m] the usual step between boards that are sold

/// The board's thickness where the file gives it as one number, for itself or for all boards.
std::optional<double> simple_thickness(const PlanSource& source, const std::string& section, const std::string& board,
                                       const Cabinet& cabinet)
{
    const bool is_given = !source.scalar_at(section + "." + board + ".thickness").empty() ||
                          !source.scalar_at("boards.all.thickness").empty();
    const auto index = cabinet.board_index(board);
    if (!is_given || !index || cabinet.board(*index).layup.plies.empty()) return std::nullopt;
    return cabinet.board(*index).thickness();
}

std::string mm(double length)
{
    return fmt::format("{:.10g} mm", std::round(length * 1e5) / 100);
}

class Ideas
{
public:
    Ideas(const PlanSource& source, const CabinetPlan& plan, const Cabinet& cabinet)
        : source_(source), plan_(plan), cabinet_(cabinet)
    {
        for (const Board& board : cabinet_.boards)
            if (board.kind == Board::Kind::Wall) walls_.push_back(board.name);
    }

    std::vector<Idea> take(const SchemeFigures& figures, const Worth& worth, std::size_t column)
    {
        for (const std::vector<std::string>& group : groups()) add_thicker(group, worth, column);
        for (const BracePlan& brace : plan_.braces)
            if (brace.plane != BracePlan::Plane::Slanted) add_moved(brace, worth, column);
        const std::vector<double> share = shares(figures, column);
        for (const std::vector<std::string>& group : groups()) add_sheets(group, share);
        add_braces(figures, share, column);
        return std::move(ideas_);
    }

private:
    /// Left and right change together, other walls by themselves.
    [[nodiscard]] std::vector<std::vector<std::string>> groups() const
    {
        std::vector<std::vector<std::string>> list;
        const auto left = cabinet_.board_index("left"), right = cabinet_.board_index("right");
        const bool is_pair =
            left && right && std::abs(cabinet_.board(*left).thickness() - cabinet_.board(*right).thickness()) < 1e-6;
        if (is_pair) list.push_back({"left", "right"});
        for (const std::string& wall : walls_)
            if (!is_pair || (wall != "left" && wall != "right")) list.push_back({wall});
        return list;
    }

    static std::string joined(const std::vector<std::string>& group, const char* separator)
    {
        std::string text;
        for (const std::string& name : group) text += (text.empty() ? "" : separator) + name;
        return text;
    }

    void add_thicker(const std::vector<std::string>& group, const Worth& worth, std::size_t column)
    {
        std::string change;
        double ln_f = 0;
        for (const std::string& board : group) {
            const auto now = simple_thickness(source_, "boards", board, cabinet_);
            if (!now) return;
            change += fmt::format("{}boards.{}.thickness: {}", change.empty() ? "" : ", ", board, mm(*now + thicker));
            for (std::size_t k = 0; k < worth.knobs.size(); ++k)
                if (worth.knobs[k].kind == Kind::Thickness && worth.knobs[k].part == board)
                    ln_f += worth.slopes[k][column].ln_f * thicker;
        }
        // A mode that rises by heavier and stiffer boards loses level by its mass: about as much as it gains frequency.
        ideas_.push_back({joined(group, " and ") + " 3 mm thicker",
                          fmt::format("{{name: thicker, change: {{{}}}}}", change),
                          20 * std::log10(1 + std::max(ln_f, -0.5))});
    }

    void add_moved(const BracePlan& brace, const Worth& worth, std::size_t column)
    {
        for (std::size_t k = 0; k < worth.knobs.size(); ++k) {
            if (worth.knobs[k].kind != Kind::BracePosition || worth.knobs[k].part != brace.name) continue;
            const double slope = worth.slopes[k][column].ln_f;
            for (const double by : {0.01, 0.02}) {
                const double signed_by = slope >= 0 ? by : -by;
                const char* way = brace.plane == BracePlan::Plane::Horizontal ? (slope >= 0 ? "up" : "down")
                                  : brace.plane == BracePlan::Plane::SideToSide
                                      ? (slope >= 0 ? "to the back" : "to the front")
                                      : (slope >= 0 ? "to the right" : "to the left");
                ideas_.push_back({fmt::format("{} {:.0f} mm {}", brace.name, by * 1e3, way),
                                  fmt::format("{{name: moved, change: {{\"braces.{}.at\": {}}}}}", brace.name,
                                              mm(brace.at + signed_by)),
                                  20 * std::log10(1 + std::abs(slope) * by)});
            }
        }
    }

    /// Share of the worst mode's motion on each board.
    [[nodiscard]] std::vector<double> shares(const SchemeFigures& figures, std::size_t column) const
    {
        std::vector<double> share;
        const auto& samples = figures.signature.samples;
        const double all = static_cast<double>(samples.col(static_cast<Eigen::Index>(column)).squaredNorm());
        for (std::size_t b = 0; b < cabinet_.boards.size(); ++b)
            share.push_back(static_cast<double>(
                                samples.col(static_cast<Eigen::Index>(column))
                                    .segment(Signature::per_board * static_cast<Eigen::Index>(b), Signature::per_board)
                                    .squaredNorm()) /
                            std::max(all, 1e-30));
        return share;
    }

    [[nodiscard]] double share_of(const std::vector<std::string>& group, const std::vector<double>& share) const
    {
        double sum = 0;
        for (const std::string& board : group)
            sum += share[static_cast<std::size_t>(cabinet_.board_index(board).value())];
        return sum;
    }

    void add_sheets(const std::vector<std::string>& group, const std::vector<double>& share)
    {
        const bool has_layer = std::any_of(cabinet_.layers.begin(), cabinet_.layers.end(), [&](const FaceLayer& l) {
            return std::find(group.begin(), group.end(), cabinet_.board(l.board).name) != group.end() && l.side < 0;
        });
        if (has_layer) return;
        // What a common sheet does to a common board: the loss factor grows by about a half where all of the motion is
        // there.
        ideas_.push_back({"3 mm bitumen sheet on 60 % of " + joined(group, " and "),
                          fmt::format("{{name: sheets, add: {{damping: [{{name: advised sheets, board: [{}], material: "
                                      "bitumen_sheet, thickness: 3 mm, cover: 60 %}}]}}}}",
                                      joined(group, ", ")),
                          20 * std::log10(1 + 0.5 * share_of(group, share))});
    }

    /// A window brace through the place where the worst board moves most, upright and level.
    void add_braces(const SchemeFigures& figures, const std::vector<double>& share, std::size_t column)
    {
        if (plan_.outline.size() != 4) return;
        std::size_t most = 0;
        for (std::size_t b = 0; b < cabinet_.boards.size(); ++b)
            if (cabinet_.boards[b].kind == Board::Kind::Wall && share[b] > share[most]) most = b;
        const Board& board = cabinet_.boards[most];
        constexpr int n = Signature::grid;
        const auto samples = figures.signature.samples.col(static_cast<Eigen::Index>(column))
                                 .segment(Signature::per_board * static_cast<Eigen::Index>(most), Signature::per_board);
        Eigen::Index place = 0;
        samples.cwiseAbs().maxCoeff(&place);
        const Bounds2 around = bounds(board.outline);
        const Eigen::Index along_1 = place / n, along_2 = place % n; // the grid's column and row
        const Vector2d share_of_size((static_cast<double>(along_1) + 0.5) / n,
                                     (static_cast<double>(along_2) + 0.5) / n);
        const Vector3d at = board.frame.to_space(around.low + around.size().cwiseProduct(share_of_size));
        const Vector3d n_out = board.frame.n.cwiseAbs();
        const double width = plan_.outline[1].x() - plan_.outline[0].x(),
                     depth = std::abs(plan_.outline[2].y() - plan_.outline[1].y());
        const Vector3d inside(width - 2 * board.thickness(), depth - 2 * board.thickness(),
                              plan_.height - 2 * board.thickness());
        const auto add = [&](const char* plane, const char* word, int axis, int first, int second) {
            if (n_out[axis] > 0.5) return; // parallel to the board
            const auto entry = [&](double position) {
                return fmt::format(
                    "{{name: brace, add: {{braces: [{{name: advised brace, plane: {}, at: {}, material: {}, "
                    "thickness: {}, windows: [{{shape: rounded, width: {}, "
                    "height: {}, corner_radius: 15 mm}}]}}]}}}}",
                    plane, mm(position), brace_material(), brace_thickness(), mm(std::round(inside[first] * 600) / 1e3),
                    mm(std::round(inside[second] * 600) / 1e3));
            };
            // Where the board moves most, or as near to it as drivers, holes and tubes let it stand.
            constexpr double step = 5e-3;
            const double most_aside = inside[axis] / 4;
            for (int k = 0; k * step <= most_aside; ++k)
                for (const double way : {1.0, -1.0}) {
                    const double aside = k * step, position = std::round((at[axis] + way * aside) * 1e3) / 1e3;
                    if (!leaves_room(source_, cabinet_, entry(position))) continue;
                    ideas_.push_back(
                        {fmt::format("a 12 mm {} window brace at {} {:.0f}", word, "xyz"[axis], position * 1e3 + 0.0),
                         entry(position), 9 * share[most] * (1 - aside / most_aside)});
                    return;
                }
        };
        add("horizontal", "level", 2, 0, 1);
        add("side_to_side", "upright (side to side)", 1, 0, 2);
        add("front_to_back", "upright (front to back)", 0, 1, 2);
    }

    [[nodiscard]] std::string brace_material() const
    {
        const std::string all = source_.scalar_at("boards.all.material");
        return all.empty() ? "mdf" : all;
    }
    [[nodiscard]] static std::string brace_thickness() { return "12 mm"; }

    const PlanSource& source_;
    const CabinetPlan& plan_;
    const Cabinet& cabinet_;
    std::vector<std::string> walls_;
    std::vector<Idea> ideas_;
};

} // namespace

bool leaves_room(const PlanSource& source, const Cabinet& drawn, const std::string& entry)
{
    try {
        return fits_with_room(source.variant_of_text(entry), drawn, proposed_room);
    } catch (const Error&) {
        return false;
    }
}

std::vector<Idea> ideas_for(const AdvisedCabinet& of, const SchemeFigures& figures, const Worth& worth,
                            std::size_t column)
{
    return Ideas(of.source, of.plan, of.cabinet).take(figures, worth, column);
}

} // namespace stillwall::solver
