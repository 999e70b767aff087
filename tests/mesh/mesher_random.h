#pragma once
// Random cabinets for the mesher's stress test. Repeatable: only raw numbers of the generator are used, since the
// standard distributions differ between libraries.

#include "mesh/cabinet/error.h"
#include "tests/mesh/mesher_cabinets.h"

#include <cmath>
#include <optional>
#include <random>

namespace stillwall::mesh_tests {

class RandomPlan
{
public:
    explicit RandomPlan(unsigned seed) : random_(seed) {}

    CabinetPlan make()
    {
        shell();
        const int n_braces = pick(5);
        for (int k = 0; k < n_braces; ++k) brace(k);
        front_holes();
        if (chance(0.4)) terminal();
        if (chance(0.3)) rib();
        if (chance(0.3)) clamp();
        return plan_;
    }

    /// [m]
    double element_size() { return between(0.012, 0.075); }

private:
    double unit() { return static_cast<double>(random_()) / 4294967296.0; }
    double between(double low, double high) { return low + (high - low) * unit(); }
    bool chance(double p) { return unit() < p; }
    int pick(int n) { return static_cast<int>(unit() * n); }
    /// Whole millimetres, as people draw.
    double mm(double low, double high) { return std::round(between(low, high) * 1e3) / 1e3; }
    double thickness()
    {
        const double common[] = {0.009, 0.012, 0.015, 0.018, 0.019, 0.022, 0.025, 0.030, 0.036};
        return common[pick(9)];
    }

    void shell()
    {
        W_ = mm(0.18, 0.42);
        D_ = mm(0.2, 0.45);
        H_ = mm(0.3, 1.1);
        const double t = thickness();
        plan_ = box(W_, D_, H_, t);
        for (WallPlan& w : plan_.walls)
            if (chance(0.3)) w.layup = board_of(thickness());
        if (chance(0.3)) plan_.top.layup = plan_.bottom.layup = board_of(thickness());
        const int kind = pick(8);
        if (kind == 0) { // taper
            const double inset = mm(0.01, W_ / 4);
            plan_.outline[2].x() -= inset;
            plan_.outline[3].x() += inset;
        } else if (kind == 1)
            plan_.baffle_slope = between(-0.1, 0.15);
        else if (kind == 2) { // L
            const double a = mm(0.45 * W_, 0.6 * W_), b = mm(0.45 * D_, 0.6 * D_);
            plan_.outline = {{0, 0}, {W_, 0}, {W_, b}, {a, b}, {a, D_}, {0, D_}};
            plan_.walls.clear();
            for (const char* name : {"front", "right", "step", "inner", "back", "left"})
                plan_.walls.push_back(wall(name, t));
        } else if (kind == 3) { // bevelled front corners
            const double a = mm(0.04, 0.06);
            plan_.outline = {{a, 0}, {W_ - a, 0}, {W_, a}, {W_, D_}, {0, D_}, {0, a}};
            plan_.walls.clear();
            for (const char* name : {"front", "bevel_right", "right", "back", "left", "bevel_left"})
                plan_.walls.push_back(wall(name, t));
        }
    }

    void brace(int k)
    {
        BracePlan b;
        b.name = "brace" + std::to_string(k);
        b.layup = board_of(thickness());
        const int plane = pick(5);
        if (plane <= 1) {
            b.plane = BracePlan::Plane::Horizontal;
            b.at = mm(0.15 * H_, 0.85 * H_);
            if (chance(0.2))
                b.x_to = mm(0.3 * W_, 0.7 * W_);
            else if (chance(0.2))
                b.y_from = mm(0.3 * D_, 0.7 * D_);
        } else if (plane == 2) {
            b.plane = BracePlan::Plane::FrontToBack;
            b.at = mm(0.35 * W_, 0.65 * W_);
            if (chance(0.5)) b.z_from = mm(0.2 * H_, 0.5 * H_);
            if (chance(0.3)) b.z_to = mm(0.6 * H_, 0.8 * H_);
        } else if (plane == 3) {
            b.plane = BracePlan::Plane::SideToSide;
            b.at = mm(0.4 * D_, 0.8 * D_);
            if (chance(0.4)) b.z_to = mm(0.4 * H_, 0.7 * H_);
        } else {
            b.plane = BracePlan::Plane::Slanted;
            b.point = {W_ / 2, D_ / 2, mm(0.3 * H_, 0.7 * H_)};
            const double lean = between(-0.7, 0.7);
            b.normal = {0, std::sin(lean), std::cos(lean)};
        }
        const bool has_window = chance(0.5);
        plan_.braces.push_back(b);
        if (!has_window) return;
        OpeningPlan w = window(b.name, mm(0.05, 0.3 * W_), mm(0.06, 0.3 * D_));
        if (chance(0.3)) {
            w.shape = OpeningPlan::Shape::Circle;
            w.width = w.height = std::min(w.width, w.height);
        } else if (chance(0.4)) {
            w.shape = OpeningPlan::Shape::RoundedRectangle;
            w.corner_radius = 0.015;
        }
        plan_.openings.push_back(w);
    }

    void front_holes()
    {
        const double d = mm(0.35 * W_, 0.75 * W_);
        double z = 0.04 + d / 2 + mm(0.005, 0.05);
        for (int k = pick(3); k >= 0 && z + d / 2 < H_ - 0.06; --k) {
            OpeningPlan o = hole("front", W_ / 2 + mm(-0.01, 0.01), z, d);
            if (chance(0.15))
                o.shape = OpeningPlan::Shape::RoundedRectangle, o.corner_radius = d / 4;
            else if (chance(0.1))
                o.shape = OpeningPlan::Shape::Slot, o.height = d / 3;
            else
                o.insert.kind = InsertPlan::Kind::Driver, o.insert.mass = 1.5;
            plan_.openings.push_back(o);
            z += d + mm(0.008, 0.15);
        }
    }

    void terminal()
    {
        OpeningPlan o = hole("back", W_ / 2, mm(0.1, 0.2), 0);
        o.width = mm(0.02, 0.09);
        o.height = mm(0.02, 0.07);
        o.shape = OpeningPlan::Shape::Rectangle;
        plan_.openings.push_back(o);
    }

    void rib()
    {
        RibPlan r;
        r.name = "rib";
        r.board = "left";
        r.y1 = mm(0.3 * D_, 0.45 * D_);
        r.y2 = mm(0.5 * D_, 0.7 * D_);
        r.z1 = mm(0.2 * H_, 0.4 * H_);
        r.z2 = chance(0.5) ? *r.z1 : mm(0.5 * H_, 0.8 * H_);
        r.width = 0.02;
        r.height = 0.03;
        plan_.ribs.push_back(r);
    }

    void clamp()
    {
        SupportPlan s;
        s.name = "clamp";
        s.is_clamped_edge = true;
        s.board = "bottom";
        s.neighbour = "back";
        plan_.supports.push_back(s);
    }

    std::mt19937 random_;
    CabinetPlan plan_;
    double W_ = 0, D_ = 0, H_ = 0;
};

/// The cabinet of a plan drawn at random; nothing when the plan makes none, as some do.
[[nodiscard]] inline std::optional<Cabinet> cabinet_if_any(const CabinetPlan& plan)
{
    try {
        return build_cabinet(plan);
    } catch (const InputError&) {
        return std::nullopt;
    }
}

} // namespace stillwall::mesh_tests
