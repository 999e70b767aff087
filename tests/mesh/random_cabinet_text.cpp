#include "tests/mesh/random_cabinet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace random_cabinets {
namespace {

/// A fibreboard in any thickness.
constexpr const char* wood =
    "materials:\n"
    "  wood: {E1: 3.2 GPa, E2: 3.2 GPa, E3: 0.12 GPa, G12: 1.28 GPa, G13: 0.15 GPa, G23: 0.15 GPa, nu12: 0.25,\n"
    "         nu13: 0.3, nu23: 0.3, density: 740 kg/m3, loss: 2 %}\n";

class Writer
{
public:
    Writer(const Drawn& drawn, const Copy& copy) : drawn_(drawn), copy_(copy)
    {
        width_ = 0;
        for (const Point& p : drawn.outline) width_ = std::max(width_, p[0]);
    }

    std::string text()
    {
        text_ = fmt::format("name: Random\nunits: {}\n{}", copy_.unit, wood);
        cabinet();
        boards();
        if (!drawn_.holes.empty()) text_ += "openings:\n";
        for (const Hole& hole : drawn_.holes)
            text_ += fmt::format("  - {{{}, board: {}, at: {}{}}}\n", shape(hole), board(hole.board),
                                 place(hole.board, hole.at), insert(hole));
        if (!drawn_.braces.empty()) text_ += "braces:\n";
        for (const Plate& plate : drawn_.braces) brace(plate);
        if (!drawn_.rods.empty()) text_ += "rods:\n";
        for (const Bar& rod : drawn_.rods)
            text_ += fmt::format("  - {{name: {}, material: wood, from: {}, to: {}, diameter: {}}}\n", rod.name,
                                 spot(rod.from), spot(rod.to), length(rod.diameter));
        bars_and_sheets();
        text_ += fmt::format("analysis: {{upper_frequency: {:.10g} Hz}}\n", drawn_.upper_Hz / copy_.scale);
        return std::move(text_);
    }

private:
    [[nodiscard]] std::string length(double mm) const
    {
        return fmt::format("{:.12g}", mm * copy_.scale / (copy_.unit == "cm" ? 10 : 1));
    }

    [[nodiscard]] std::string board(const std::string& name) const
    {
        if (!copy_.is_mirrored) return name;
        for (const auto& [from, to] : {std::pair{"right", "left"}, std::pair{"left", "right"}})
            if (const auto at = name.find(from); at != std::string::npos)
                return name.substr(0, at) + to + name.substr(at + std::string(from).size());
        return name;
    }

    void cabinet()
    {
        const auto& p = drawn_.outline;
        if (!drawn_.is_prism) {
            const double rear = p[2][0] - p[3][0];
            const bool is_box = rear == width_;
            text_ += fmt::format("cabinet: {{shape: {}, width: {}, depth: {}, height: {}", is_box ? "box" : "taper",
                                 length(width_), length(p[2][1]), length(drawn_.height));
            if (!is_box) text_ += ", rear_width: " + length(rear);
        } else {
            std::string corners, walls;
            const std::size_t n = p.size();
            for (std::size_t k = 0; k < n; ++k) {
                // The mirror image runs the other way round; its first wall is still the front.
                const Point& q = copy_.is_mirrored ? p[(n + 1 - k) % n] : p[k];
                const double x = copy_.is_mirrored ? width_ - q[0] : q[0];
                corners += fmt::format("{}[{}, {}]", k ? ", " : "", length(x), length(q[1]));
                walls += fmt::format("{}{}", k ? ", " : "",
                                     copy_.is_mirrored ? board(drawn_.walls[(n - k) % n]) : drawn_.walls[k]);
            }
            text_ += fmt::format("cabinet: {{shape: prism, outline: [{}], walls: [{}], height: {}", corners, walls,
                                 length(drawn_.height));
        }
        if (drawn_.slope_deg != 0) text_ += fmt::format(", baffle_slope: {:g} deg", drawn_.slope_deg);
        text_ += "}\n";
        if (!drawn_.is_prism) return;
        text_ += "laps: ["; // by name, since the order of the walls decides otherwise
        const std::size_t n = drawn_.walls.size();
        for (std::size_t k = 0; k < n; ++k) {
            const std::size_t a = std::min(k, (k + 1) % n), b = std::max(k, (k + 1) % n);
            text_ += fmt::format("{}{} over {}", k ? ", " : "", board(drawn_.walls[a]), board(drawn_.walls[b]));
        }
        text_ += "]\n";
    }

    void boards()
    {
        text_ += "boards:\n";
        for (const auto& [name, t] : drawn_.thickness)
            text_ += fmt::format("  {}: {{{}thickness: {}}}\n", board(name), name == "all" ? "material: wood, " : "",
                                 length(t));
    }

    [[nodiscard]] std::string shape(const Hole& hole) const
    {
        static constexpr const char* words[] = {"circle", "rectangle", "rounded", "slot"};
        std::string text = fmt::format("name: {}, shape: {}, ", hole.name, words[static_cast<int>(hole.shape)]);
        if (hole.shape == Shape::Circle) return text + "diameter: " + length(hole.width);
        text += fmt::format("width: {}, height: {}", length(hole.width), length(hole.height));
        if (hole.shape == Shape::Rounded) text += ", corner_radius: " + length(hole.radius);
        if (hole.rotation != 0)
            text += fmt::format(", rotation: {:g} deg", copy_.is_mirrored ? -hole.rotation : hole.rotation);
        return text;
    }

    [[nodiscard]] std::string place(const std::string& name, const Point& at) const
    {
        const bool is_side = name == "left" || name == "right", is_level = name == "top" || name == "bottom";
        double u = at[0];
        if (drawn_.is_prism && !is_level) {
            if (copy_.is_mirrored) u = wall_length(name) - u;
            return fmt::format("{{along: {}, z: {}}}", length(u), length(at[1]));
        }
        if (is_side) return fmt::format("{{y: {}, z: {}}}", length(u), length(at[1]));
        if (copy_.is_mirrored) u = width_ - u;
        return fmt::format("{{x: {}, {}: {}}}", length(u), is_level ? "y" : "z", length(at[1]));
    }

    [[nodiscard]] double wall_length(const std::string& name) const
    {
        for (std::size_t k = 0; k < drawn_.walls.size(); ++k) {
            if (drawn_.walls[k] != name) continue;
            const Point &p = drawn_.outline[k], &q = drawn_.outline[(k + 1) % drawn_.walls.size()];
            return std::hypot(q[0] - p[0], q[1] - p[1]);
        }
        return width_;
    }

    [[nodiscard]] std::string insert(const Hole& hole) const
    {
        const double cube = std::pow(copy_.scale, 3);
        std::string text;
        if (hole.holds == Hole::Holds::Nothing) return text;
        text = fmt::format(", {}: {{mass: {:.10g} kg",
                           hole.holds == Hole::Holds::Driver ? "driver"
                           : hole.holds == Hole::Holds::Port ? "port"
                                                             : "plate",
                           hole.mass * cube);
        if (hole.volume > 0) text += fmt::format(", volume: {:.10g} l", hole.volume * cube);
        if (hole.length > 0) text += ", length: " + length(hole.length);
        if (hole.holds == Hole::Holds::Driver) text += ", basket: rigid"; // an estimated one does not scale with size
        return text + "}";
    }

    [[nodiscard]] std::string spot(const std::array<double, 3>& p) const
    {
        return fmt::format("[{}, {}, {}]", length(copy_.is_mirrored ? width_ - p[0] : p[0]), length(p[1]),
                           length(p[2]));
    }

    void brace(const Plate& plate)
    {
        const double shift = &plate == &drawn_.braces.front() ? copy_.brace_shift : 0;
        const double sign = copy_.is_mirrored ? -1 : 1;
        text_ += fmt::format("  - name: {}\n    thickness: {}\n", plate.name, length(plate.thickness));
        if (plate.normal == 's') {
            std::array<double, 3> p = plate.through;
            for (std::size_t k = 0; k < 3; ++k) p[k] += shift * plate.lean[k];
            text_ += fmt::format("    plane: slanted\n    through: {}\n    normal: [{:g}, {:g}, {:g}]\n", spot(p),
                                 sign * plate.lean[0], plate.lean[1], plate.lean[2]);
        } else {
            double at = plate.at + shift;
            if (plate.normal == 'x' && copy_.is_mirrored) at = width_ - at;
            text_ += fmt::format("    plane: {}\n    at: {}\n",
                                 plate.normal == 'x'   ? "front_to_back"
                                 : plate.normal == 'y' ? "side_to_side"
                                                       : "horizontal",
                                 length(at));
        }
        limits("from", copy_.is_mirrored ? std::array<Limit, 3>{mirrored(plate.to[0]), plate.from[1], plate.from[2]}
                                         : plate.from);
        limits("to",
               copy_.is_mirrored ? std::array<Limit, 3>{mirrored(plate.from[0]), plate.to[1], plate.to[2]} : plate.to);
        if (!plate.windows.empty()) text_ += "    windows:\n";
        for (const Hole& window : plate.windows) text_ += fmt::format("      - {{{}}}\n", shape(window));
    }

    [[nodiscard]] Limit mirrored(const Limit& x) const { return x ? Limit(width_ - *x) : x; }

    void limits(const char* key, const std::array<Limit, 3>& list)
    {
        std::string inside;
        for (std::size_t k = 0; k < 3; ++k)
            if (list[k]) inside += fmt::format("{}{}: {}", inside.empty() ? "" : ", ", "xyz"[k], length(*list[k]));
        if (!inside.empty()) text_ += fmt::format("    {}: {{{}}}\n", key, inside);
    }

    void bars_and_sheets()
    {
        if (!drawn_.ribs.empty()) text_ += "ribs:\n";
        for (const Strip& rib : drawn_.ribs)
            text_ +=
                fmt::format("  - {{name: {}, board: {}, material: wood, from: {}, to: {}, width: {}, height: {}}}\n",
                            rib.name, board(rib.board), place(rib.board, rib.from), place(rib.board, rib.to),
                            length(rib.width), length(rib.height));
        if (!drawn_.layers.empty()) text_ += "damping:\n";
        for (const Sheet& sheet : drawn_.layers) {
            text_ += fmt::format("  - {{name: {}, board: {}, material: wood, thickness: {}", sheet.name,
                                 board(sheet.board), length(sheet.thickness));
            if (sheet.cover) text_ += fmt::format(", cover: {:g} %", *sheet.cover);
            if (sheet.box)
                text_ += fmt::format(", from: {}, to: {}", place(sheet.board, (*sheet.box)[0]),
                                     place(sheet.board, (*sheet.box)[1]));
            text_ += "}\n";
        }
    }

    const Drawn& drawn_;
    const Copy& copy_;
    double width_ = 0;
    std::string text_;
};

} // namespace

std::string as_yaml(const Drawn& drawn, const Copy& copy)
{
    return Writer(drawn, copy).text();
}

} // namespace random_cabinets
