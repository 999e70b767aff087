#include "app/input/internal/quantity.h"

#include <fmt/format.h>

namespace stillwall::app {
namespace {

double read_loss(const YamlNode& node)
{
    // Looked at first without limits: a negative loss is no matter of range, it would feed energy in.
    if (node.ratio({-1e300, 1e300}) < 0)
        node.fail(fmt::format("a loss factor cannot be negative, got {}", node.text()));
    return node.ratio(loss_limits);
}

} // namespace

Quantity read_quantity(const YamlNode& node, Dimension dimension, Limits limits)
{
    const auto read = [&](const YamlNode& figure) {
        const bool is_loss = dimension == Dimension::Ratio && limits.low == 0;
        return is_loss ? read_loss(figure) : figure.measure(dimension, limits);
    };
    Quantity quantity;
    quantity.source = "cabinet file";
    if (!node.is_sequence()) {
        quantity.value = quantity.low = quantity.high = read(node);
        return quantity;
    }
    const std::vector<YamlNode> items = node.items(3);
    quantity.low = read(items[0]);
    quantity.value = read(items[1]);
    quantity.high = read(items[2]);
    if (quantity.low > quantity.value || quantity.value > quantity.high)
        node.fail("three figures must be low, typical, high in this order");
    return quantity;
}

Quantity read_loss_quantity(const YamlNode& node)
{
    return read_quantity(node, Dimension::Ratio, loss_limits);
}

} // namespace stillwall::app
