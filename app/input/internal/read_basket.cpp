#include "app/input/internal/read_basket.h"

#include "app/input/internal/quantity.h"
#include "mesh/cabinet/basket_estimate.h"

#include <algorithm>
#include <array>

namespace stillwall::app {
namespace {

constexpr Limits share_limits{0.01, 0.5};
constexpr Limits frequency_limits{20, 20e3};

using Kind = Basket::Kind;
constexpr std::array kinds{Kind::Cast, Kind::PressedSteel, Kind::Polymer};

BasketGiven read_map(const YamlNode& node)
{
    node.only_keys({"kind", "rim_mass_share", "motor_frequency", "rocking_frequency", "loss"});
    BasketGiven given;
    if (const auto kind = node.find("kind")) given.kind = kinds.at(kind->choice({"cast", "pressed_steel", "polymer"}));
    const auto read = [&](std::string_view key, Dimension dimension, Limits limits, std::optional<Quantity>& figure) {
        if (const auto found = node.find(key)) figure = read_quantity(*found, dimension, limits);
    };
    read("rim_mass_share", Dimension::Ratio, share_limits, given.rim_share);
    read("motor_frequency", Dimension::Frequency, frequency_limits, given.axial_Hz);
    read("rocking_frequency", Dimension::Frequency, frequency_limits, given.rocking_Hz);
    read("loss", Dimension::Ratio, loss_limits, given.loss);
    return given;
}

} // namespace

std::optional<Basket> read_basket(const YamlNode& driver, const OpeningPlan& opening, const InsertPlan& insert)
{
    const double width = std::min(opening.width, opening.height);
    BasketGiven given;
    if (const auto node = driver.find("basket")) {
        if (node->is_map()) {
            given = read_map(*node);
        } else {
            const std::size_t word = node->choice({"cast", "pressed_steel", "polymer", "rigid"});
            if (word == kinds.size()) return std::nullopt;
            given.kind = kinds.at(word);
        }
        if (!(insert.mass > 0)) node->fail("needs a driver with a mass");
    } else if (insert.closed_back || width < least_basket_hole || !(insert.mass > 0)) {
        return std::nullopt;
    }
    if (insert.rim_EI > 0) given.rim_EI = Quantity{insert.rim_EI, insert.rim_EI, insert.rim_EI, "cabinet file", {}};
    return complete_basket(given, width, insert.mass);
}

} // namespace stillwall::app
