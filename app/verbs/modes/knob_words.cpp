#include "app/verbs/modes/knob_words.h"

#include "app/write/numbers.h"
#include "mesh/cabinet/units.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

namespace stillwall::app {
namespace {

using Kind = solver::Knob::Kind;

const FaceLayer* layer_named(const Cabinet& cabinet, const std::string& name)
{
    const auto layer =
        std::find_if(cabinet.layers.begin(), cabinet.layers.end(), [&](const FaceLayer& l) { return l.name == name; });
    return layer == cabinet.layers.end() ? nullptr : &*layer;
}

/// A ratio given by its logarithm: "10 % stiffer", "twice as stiff".
std::string ratio_words(double ln_ratio, const char* more, const char* twice)
{
    const double ratio = std::exp(ln_ratio);
    if (std::abs(ratio - 2) < 1e-6) return twice;
    return fmt::format("{} % {}", shortest(100 * (ratio - 1), 3), more);
}

/// The way a brace moves as its parameter grows.
std::string way(const Cabinet& cabinet, const std::string& brace)
{
    static constexpr std::array<const char*, 3> growing{"right", "back", "up"}, falling{"left", "forward", "down"};
    const auto board = cabinet.board_index(brace);
    if (!board) return "along its normal";
    const Vector3d n = cabinet.board(*board).frame.n;
    int axis = 0;
    // A square brace is placed by its coordinate, whichever way its normal points.
    if (n.cwiseAbs().maxCoeff(&axis) > 1 - 1e-9) return growing[static_cast<std::size_t>(axis)];
    constexpr double noticed = 0.17; // about 10 degrees
    std::string words;
    for (std::size_t i = 0; i < 3; ++i) {
        const double part = n[static_cast<Eigen::Index>(i)];
        if (std::abs(part) < noticed) continue;
        if (!words.empty()) words += " and ";
        words += part > 0 ? growing[i] : falling[i];
    }
    return words + ", square to itself";
}

struct KindWords
{
    Kind kind;
    const char* word;
    const char* unit;
};

constexpr std::array<KindWords, 13> kinds{{{Kind::Thickness, "thickness", "m"},
                                           {Kind::Modulus, "modulus", "ln"},
                                           {Kind::Density, "density", "ln"},
                                           {Kind::Loss, "loss", "1"},
                                           {Kind::LayerThickness, "layer_thickness", "m"},
                                           {Kind::LayerModulus, "layer_modulus", "ln"},
                                           {Kind::LayerLoss, "layer_loss", "1"},
                                           {Kind::JointStiffness, "joint_stiffness", "ln"},
                                           {Kind::JointLoss, "joint_loss", "1"},
                                           {Kind::SupportStiffness, "support_stiffness", "ln"},
                                           {Kind::DriverMass, "driver_mass", "kg"},
                                           {Kind::BasketStiffness, "basket_stiffness", "ln"},
                                           {Kind::BracePosition, "brace_position", "m"}}};

const KindWords& words_of(Kind kind)
{
    const auto found = std::find_if(kinds.begin(), kinds.end(), [&](const KindWords& w) { return w.kind == kind; });
    assert(found != kinds.end());
    return *found;
}

} // namespace

std::string knob_part(const solver::Knob& knob, const Cabinet& cabinet)
{
    switch (knob.kind) {
    case Kind::LayerThickness:
    case Kind::LayerModulus:
    case Kind::LayerLoss: {
        const FaceLayer* layer = layer_named(cabinet, knob.part);
        const bool is_single = layer && layer->layup.plies.size() == 1;
        return is_single || knob.ply.empty() ? knob.part : knob.part + ": " + knob.ply;
    }
    case Kind::JointStiffness:
    case Kind::JointLoss:
        return "joint " + knob.part; // a joint may bear the name of its board
    case Kind::BasketStiffness:
        return "basket of " + knob.part;
    default:
        return knob.part;
    }
}

std::string knob_change(const solver::Knob& knob, const Cabinet& cabinet)
{
    switch (knob.kind) {
    case Kind::Thickness:
    case Kind::LayerThickness:
        return shortest(knob.step / units::mm, 2) + " mm thicker";
    case Kind::Modulus:
    case Kind::LayerModulus:
    case Kind::JointStiffness:
    case Kind::SupportStiffness:
    case Kind::BasketStiffness:
        return ratio_words(knob.step, "stiffer", "twice as stiff");
    case Kind::Density:
        return ratio_words(knob.step, "denser", "twice as dense");
    case Kind::Loss:
    case Kind::LayerLoss:
    case Kind::JointLoss:
        return "loss factor +" + shortest(knob.step, 2);
    case Kind::DriverMass:
        return knob.step < 1 ? shortest(knob.step * 1e3, 3) + " g heavier" : shortest(knob.step, 3) + " kg heavier";
    case Kind::BracePosition:
        return fmt::format("{} mm {}", shortest(knob.step / units::mm, 3), way(cabinet, knob.part));
    }
    assert(false);
    return {};
}

std::string knob_kind(Kind kind)
{
    return words_of(kind).word;
}

std::string knob_unit(Kind kind)
{
    return words_of(kind).unit;
}

} // namespace stillwall::app
