#include "app/input/internal/read_figures.h"

#include <fmt/format.h>

#include <optional>

namespace stillwall::app {
namespace {

/// A symbol, where it goes, and what is possible: from small tweeters to large woofers with room to spare.
struct FigureKey
{
    std::string_view key;
    std::optional<double> SmallSignalPlan::*member;
    Dimension dimension;
    Limits limits;
};

constexpr FigureKey figure_keys[] = {
    {"Re", &SmallSignalPlan::Re, Dimension::Resistance, {0.1, 100}},
    {"Le", &SmallSignalPlan::Le, Dimension::Inductance, {0, 0.1}},
    {"Le_exponent", &SmallSignalPlan::Le_exponent, Dimension::Number, {0.4, 1}},
    {"Bl", &SmallSignalPlan::Bl, Dimension::ForceFactor, {0.1, 100}},
    {"Mms", &SmallSignalPlan::Mms, Dimension::Mass, {5e-5, 5}},
    {"Cms", &SmallSignalPlan::Cms, Dimension::Compliance, {1e-6, 0.1}},
    {"fs", &SmallSignalPlan::fs, Dimension::Frequency, {5, 5000}},
    {"Vas", &SmallSignalPlan::Vas, Dimension::Volume, {1e-7, 5}},
    {"Rms", &SmallSignalPlan::Rms, Dimension::MechanicalResistance, {1e-3, 1000}},
    {"Qms", &SmallSignalPlan::Qms, Dimension::Number, {0.05, 200}},
    {"Qes", &SmallSignalPlan::Qes, Dimension::Number, {0.02, 200}},
    {"Qts", &SmallSignalPlan::Qts, Dimension::Number, {0.02, 200}},
    {"Sd", &SmallSignalPlan::Sd, Dimension::Area, {1e-4, 0.5}},
};

} // namespace

bool has_figures(const YamlNode& node)
{
    for (const FigureKey& figure : figure_keys)
        if (node.has(figure.key)) return true;
    return false;
}

void refuse_figures(const YamlNode& node, std::string_view what)
{
    for (const FigureKey& figure : figure_keys)
        if (const auto found = node.find(figure.key))
            found->fail(fmt::format("is a figure of drivers and passive radiators, not of {}", what));
}

SmallSignal read_figures(const YamlNode& node, bool has_motor)
{
    SmallSignalPlan plan;
    plan.has_motor = has_motor;
    for (const FigureKey& figure : figure_keys)
        if (const auto found = node.find(figure.key))
            plan.*figure.member = found->measure(figure.dimension, figure.limits);
    return resolve_small_signal(plan, node.where(), node.path());
}

} // namespace stillwall::app
