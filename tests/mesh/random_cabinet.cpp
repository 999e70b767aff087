#include "tests/mesh/random_cabinet.h"

#include <algorithm>
#include <cmath>
#include <random>

namespace random_cabinets {
namespace {

class Draftsman
{
public:
    explicit Draftsman(unsigned seed) : random_(seed) {}

    Drawn draw()
    {
        shell();
        front();
        back();
        for (int k = pick(4); k > 0; --k) brace();
        if (chance(0.2)) rod();
        if (chance(0.2)) rib();
        if (chance(0.25)) sheet();
        const double t = drawn_.thickness.front().second;
        // As high as people ask for a box of this size, so that every cabinet has some dozen modes.
        const double size = std::max({width_, depth_, drawn_.height});
        drawn_.upper_Hz = std::clamp(std::round(1e6 * t / 15 * between(0.15, 0.5) / size / 20) * 20, 200.0, 2500.0);
        return std::move(drawn_);
    }

private:
    double unit() { return static_cast<double>(random_()) / 4294967296.0; }
    double between(double low, double high) { return low + (high - low) * unit(); }
    bool chance(double p) { return unit() < p; }
    int pick(int n) { return static_cast<int>(unit() * n); }
    double mm(double low, double high) { return std::round(2 * between(low, high)) / 2; }

    double thickness(double size)
    {
        static constexpr std::array common{6.0, 9.0, 12.0, 15.0, 16.0, 18.0, 19.0, 22.0, 25.0, 28.0, 30.0, 38.0};
        const auto most =
            static_cast<int>(std::count_if(common.begin(), common.end(), [&](double t) { return t < 0.12 * size; }));
        const int least = size > 500 ? 3 : size > 250 ? 1 : 0;
        return common[static_cast<std::size_t>(least + pick(std::max(1, most - least)))];
    }

    void shell()
    {
        width_ = std::round(std::exp(between(std::log(100.0), std::log(900.0))));
        depth_ = std::clamp(std::round(width_ * between(0.6, 1.7)), 100.0, 1500.0);
        drawn_.height =
            std::clamp(std::round(width_ * (chance(0.3) ? between(2.5, 6) : between(0.7, 2.5))), 100.0, 1500.0);
        const double least = std::min({width_, depth_, drawn_.height});
        const double t = thickness(least);
        drawn_.thickness = {{"all", t}};
        drawn_.walls = {"front", "right", "back", "left"};
        if (chance(0.5)) drawn_.thickness.emplace_back("front", thickness(least));
        const double back = thickness(least);
        if (chance(0.2)) drawn_.thickness.emplace_back("back", back);
        if (chance(0.15)) drawn_.thickness.emplace_back("top", thickness(least));
        drawn_.outline = {{0, 0}, {width_, 0}, {width_, depth_}, {0, depth_}};
        const int kind = pick(10);
        if (kind <= 1) { // taper
            const double inset = mm(0.02 * width_, 0.25 * width_);
            drawn_.outline[2][0] -= inset;
            drawn_.outline[3][0] += inset;
        } else if (kind == 2 || kind == 3)
            drawn_.slope_deg = std::round(between(-6, 14));
        else if (kind == 4) { // bevelled front corners
            const double a = mm(0.12 * width_, 0.25 * width_);
            drawn_.is_prism = true;
            drawn_.outline = {{a, 0}, {width_ - a, 0}, {width_, a}, {width_, depth_}, {0, depth_}, {0, a}};
            drawn_.walls = {"front", "bevel right", "right", "back", "left", "bevel left"};
        } else if (kind == 5) { // five sides
            drawn_.is_prism = true;
            drawn_.outline = {{0, 0}, {width_, 0}, {width_, 0.6 * depth_}, {width_ / 2, depth_}, {0, 0.6 * depth_}};
            drawn_.walls = {"front", "right", "back right", "back left", "left"};
            std::erase_if(drawn_.thickness, [](const auto& board) { return board.first == "back"; });
        }
    }

    [[nodiscard]] double wall(const std::string& name) const
    {
        for (const auto& [board, t] : drawn_.thickness)
            if (board == name) return t;
        return drawn_.thickness.front().second;
    }

    /// Clear half-width of the front [mm], of what a hole may take.
    [[nodiscard]] double front_width() const { return drawn_.outline[1][0] - drawn_.outline[0][0]; }

    Hole shaped(const std::string& name, const std::string& board, double width, double height)
    {
        Hole hole{name, board, Shape::Circle, width, width};
        const double kind = unit();
        if (kind < 0.6) return hole;
        hole.height = height;
        hole.shape = kind < 0.7 ? Shape::Rectangle : kind < 0.88 ? Shape::Rounded : Shape::Slot;
        if (hole.shape == Shape::Rounded)
            hole.radius = mm(0.08 * std::min(width, height), 0.45 * std::min(width, height));
        if (chance(0.1)) hole.rotation = std::round(between(-80, 90));
        return hole;
    }

    /// Drivers one above the other, the gaps between them from a land of a few millimetres up.
    void front()
    {
        const double w = front_width(), t = drawn_.thickness.front().second;
        double z = t + mm(2, 0.12 * drawn_.height);
        for (int k = 0; k < 4; ++k) {
            double d = chance(0.7) ? mm(0.2 * w, 0.6 * w) : mm(0.6 * w, std::max(0.6 * w, w - 2 * t - 4));
            d = std::min(d, 0.7 * drawn_.height);
            if (z + d > drawn_.height - t - 2) break;
            Hole hole = shaped("hole " + std::to_string(k + 1), "front", d, mm(0.5 * d, d));
            const double room = std::max(0.0, w / 2 - t - d / 2 - 2);
            const double x = w / 2 + (chance(0.3) ? mm(-room, room) : 0);
            hole.at = {x, std::round(2 * (z + d / 2)) / 2};
            fill(hole);
            z += d + (chance(0.3) ? mm(3, 15) : mm(10, 0.3 * drawn_.height));
            drawn_.holes.push_back(std::move(hole));
            if (chance(0.35)) break;
        }
    }

    void fill(Hole& hole)
    {
        const double area = hole.width * hole.height * 1e-6; // [m²]
        const bool is_round = hole.shape == Shape::Circle;
        if (is_round && chance(0.75)) {
            hole.holds = Hole::Holds::Driver;
            hole.mass = 90 * area;
            if (chance(0.6)) hole.volume = std::round(1e3 * 1e3 * 0.12 * std::pow(area, 1.5)) / 1e3;
        } else if (chance(0.4)) {
            hole.holds = Hole::Holds::Plate;
            hole.mass = 15 * area;
        } else if (chance(0.4)) {
            hole.holds = Hole::Holds::Port;
            hole.mass = 10 * area;
            if (chance(0.6)) hole.length = mm(40, 0.5 * depth_);
        }
        hole.mass = std::round(1e3 * hole.mass + 1) / 1e3;
    }

    void back()
    {
        if (drawn_.is_prism || !chance(0.7)) return;
        const double w = drawn_.outline[2][0] - drawn_.outline[3][0], t = drawn_.thickness.front().second;
        double z = t + mm(2, 0.2 * drawn_.height);
        for (int k = 0; k < 2; ++k) {
            const double d = mm(0.1 * w, 0.45 * w);
            if (z + d > drawn_.height - t - 2) break;
            Hole hole = shaped("back hole " + std::to_string(k + 1), "back", d, mm(0.4 * d, d));
            const double room = std::max(0.0, w / 2 - t - d / 2 - 2);
            hole.at = {width_ / 2 + (chance(0.4) ? mm(-room, room) : 0), std::round(2 * (z + d / 2)) / 2};
            fill(hole);
            z += d + mm(3, 0.4 * drawn_.height);
            drawn_.holes.push_back(std::move(hole));
            if (chance(0.6)) break;
        }
    }

    /// What a hole takes up along its board [mm].
    static double reach(double size, const Hole& hole)
    {
        return (hole.rotation == 0 ? size : std::hypot(hole.width, hole.height)) / 2;
    }

    /// Whether a plate passes all holes and tubes: others are refused, as people's are, and show nothing of the mesher.
    [[nodiscard]] bool is_clear(const Plate& plate) const
    {
        constexpr double room = 3; // [mm]
        return std::none_of(drawn_.holes.begin(), drawn_.holes.end(), [&](const Hole& hole) {
            const bool is_front = hole.board == "front";
            const double tube = wall(hole.board) + hole.length, half = plate.thickness / 2 + room;
            const double x = reach(hole.width, hole), z = reach(hole.height, hole);
            const double low = plate.from[2].value_or(0), high = plate.to[2].value_or(drawn_.height);
            const bool is_passed = high < hole.at[1] - z - room || low > hole.at[1] + z + room;
            switch (plate.normal) {
            case 'x':
                return !is_passed && std::abs(plate.at - hole.at[0]) < x + half;
            case 'y':
                return !is_passed && (is_front ? plate.at : depth_ - plate.at) < tube + half;
            case 's': {
                const double rise = -plate.lean[1] / plate.lean[2];
                const double at = plate.through[2] + rise * ((is_front ? 0 : depth_) - plate.through[1]);
                return std::abs(at - hole.at[1]) < z + half / plate.lean[2] + std::abs(rise) * tube;
            }
            default:
                return std::abs(plate.at - hole.at[1]) < z + half;
            }
        });
    }

    void brace()
    {
        for (int tries = 0; tries < 12; ++tries) {
            Plate plate = some_plate();
            if (!is_clear(plate)) continue;
            drawn_.braces.push_back(std::move(plate));
            return;
        }
    }

    Plate some_plate()
    {
        Plate plate;
        plate.name = "brace " + std::to_string(drawn_.braces.size() + 1);
        plate.thickness = thickness(std::min({width_, depth_, drawn_.height}));
        const int kind = pick(10);
        double a = width_, b = depth_; // [mm] its sides
        if (kind < 4) {
            plate.at = mm(0.15 * drawn_.height, 0.85 * drawn_.height);
            if (chance(0.15)) plate.from[1] = mm(0.3 * depth_, 0.6 * depth_);
        } else if (kind < 7) {
            plate.normal = 'x';
            plate.at = chance(0.4) ? width_ / 2 : mm(0.3 * width_, 0.7 * width_);
            a = depth_, b = drawn_.height;
            if (chance(0.4)) plate.from[2] = mm(0.15 * b, 0.45 * b);
            if (chance(0.3)) plate.to[2] = mm(0.6 * b, 0.85 * b);
        } else if (kind < 9) {
            plate.normal = 'y';
            plate.at = mm(0.3 * depth_, 0.8 * depth_);
            b = drawn_.height;
            if (chance(0.3)) plate.from[2] = mm(0.15 * b, 0.45 * b);
            if (chance(0.3)) plate.to[2] = mm(0.6 * b, 0.85 * b);
        } else {
            plate.normal = 's';
            plate.through = {width_ / 2, depth_ / 2, mm(0.35 * drawn_.height, 0.65 * drawn_.height)};
            const double lean = between(-0.6, 0.6);
            plate.lean = {0, std::round(1e3 * std::sin(lean)) / 1e3, std::round(1e3 * std::cos(lean)) / 1e3};
        }
        if (chance(0.6)) {
            const double t = drawn_.thickness.front().second;
            const double wide = chance(0.2) ? a - 2 * t - mm(4, 20) : mm(0.3 * a, 0.75 * a);
            const double high = mm(0.25 * std::min(a, b), 0.6 * std::min(a, b));
            plate.windows.push_back(
                shaped("window of " + plate.name, plate.name, std::max(10.0, std::min(wide, a - 2 * t - 6)), high));
            Hole& window = plate.windows.front();
            if (window.shape == Shape::Circle) window.width = window.height = std::min(window.width, high);
            window.rotation = 0;
        }
        return plate;
    }

    void rod()
    {
        if (drawn_.is_prism || drawn_.outline[2][0] != width_) return;
        const double y = mm(0.3 * depth_, 0.7 * depth_), z = mm(0.2 * drawn_.height, 0.8 * drawn_.height);
        const double t = wall("left") / 2;
        drawn_.rods.push_back({"rod", {t, y, z}, {width_ - t, y, z}, mm(0.05 * width_, 0.1 * width_)});
    }

    void rib()
    {
        if (drawn_.is_prism) return;
        const double z1 = mm(0.2 * drawn_.height, 0.4 * drawn_.height),
                     z2 = mm(0.5 * drawn_.height, 0.8 * drawn_.height);
        const double y1 = mm(0.3 * depth_, 0.7 * depth_), y2 = chance(0.6) ? y1 : mm(0.3 * depth_, 0.7 * depth_);
        drawn_.ribs.push_back(
            {"rib", "left", {y1, z1}, {y2, z2}, mm(0.04 * width_, 0.1 * width_), mm(0.05 * width_, 0.12 * width_)});
    }

    void sheet()
    {
        Sheet sheet{"sheet", chance(0.5) ? "top" : drawn_.is_prism ? "front" : "right", 2, {}, {}};
        if (sheet.board == "right" && chance(0.4))
            sheet.box = {{{mm(0.2 * depth_, 0.4 * depth_), mm(0.2 * drawn_.height, 0.4 * drawn_.height)},
                          {mm(0.5 * depth_, 0.8 * depth_), mm(0.5 * drawn_.height, 0.8 * drawn_.height)}}};
        else
            sheet.cover = std::round(between(40, 100));
        drawn_.layers.push_back(std::move(sheet));
    }

    std::mt19937 random_;
    Drawn drawn_;
    double width_ = 0, depth_ = 0;
};

} // namespace

Drawn draw(unsigned seed)
{
    return Draftsman(seed).draw();
}

} // namespace random_cabinets
