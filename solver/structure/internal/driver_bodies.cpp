#include "solver/structure/internal/driver_bodies.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stillwall::solver::internal {
namespace {

double squared(double x)
{
    return x * x;
}

/// The whole insert where the user gave only a mass: a cylinder of 0.9 of the hole's width and 0.4 of it in depth (a
/// guess at a driver's proportions; common practice, no source).
DriverBodies one_body(const InsertPlan& insert, double width)
{
    const double r = 0.45 * width, h = insert.kind == InsertPlan::Kind::Plate ? 0.02 * width : 0.4 * width;
    DriverBodies body;
    body.mass = insert.mass;
    body.depth = insert.offset;
    body.axial = insert.inertia_axial.value_or(insert.mass * r * r / 2);
    body.radial = insert.inertia_radial.value_or(insert.mass * (3 * r * r + h * h) / 12);
    return body;
}

} // namespace

DriverBodies bodies_of(const InsertPlan& insert, double width, double radius)
{
    const DriverBodies whole = one_body(insert, width);
    if (!insert.basket) return whole;
    const Basket& basket = *insert.basket;
    const double share = basket.rim_share.value;
    DriverBodies b;
    b.rim_mass = share * whole.mass;
    b.mass = whole.mass - b.rim_mass;
    if (!(b.mass > 0)) return b;
    b.depth = whole.mass * whole.depth / b.mass;
    constexpr double least = 0.1; // of its share
    const double axial = b.rim_mass * squared(radius);
    const double apart = b.rim_mass * squared(whole.depth) + b.mass * squared(b.depth - whole.depth);
    b.axial = std::max(whole.axial - axial, least * (1 - share) * whole.axial);
    b.radial = std::max(whole.radial - axial / 2 - apart, least * (1 - share) * whole.radial);
    const auto stiffness = [](double inertia, double f_Hz) { return inertia * squared(2 * std::numbers::pi * f_Hz); };
    b.k_axial = stiffness(b.mass, basket.axial_Hz.value);
    b.k_rock = stiffness(b.rocking(), basket.rocking_Hz.value);
    return b;
}

ShareSlopes share_slopes(const InsertPlan& insert, double width, double radius)
{
    constexpr double step = 1e-3;
    const auto at = [&](double factor) {
        InsertPlan moved = insert;
        moved.basket.value().rim_share.value *= factor;
        return bodies_of(moved, width, radius);
    };
    const DriverBodies more = at(1 + step), less = at(1 - step);
    if (!(insert.basket->rim_share.value > 0 && more.mass > 0)) return {};
    const auto slope = [](double high, double low) { return std::log(high / low) / (2 * step); };
    return {slope(more.mass, less.mass), slope(more.axial, less.axial), slope(more.rocking(), less.rocking())};
}

} // namespace stillwall::solver::internal
