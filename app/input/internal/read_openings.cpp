#include "app/input/internal/place.h"
#include "app/input/internal/plan_reader.h"
#include "app/input/internal/read_figures.h"
#include "app/input/internal/read_insert.h"
#include "app/input/internal/read_plan.h"
#include "app/input/internal/window.h"

#include <fmt/format.h>

#include <numbers>

namespace stillwall::app {
namespace {

constexpr Limits hole_limits{1e-3, 3};
constexpr Limits radius_limits{0, 1.5};
constexpr Limits turn_limits{-std::numbers::pi, std::numbers::pi};

/// Refuses the size keys that belong to other shapes.
void refuse_keys(const YamlNode& hole, std::initializer_list<std::string_view> keys, std::string_view shape)
{
    for (std::string_view key : keys)
        if (const auto found = hole.find(key)) found->fail(fmt::format("does not belong to the shape '{}'", shape));
}

} // namespace

void read_hole_size(const YamlNode& hole, OpeningPlan& opening)
{
    using Shape = OpeningPlan::Shape;
    constexpr Shape shapes[] = {Shape::Circle, Shape::Rectangle, Shape::RoundedRectangle, Shape::Slot};
    const YamlNode shape = hole.at("shape");
    opening.shape = shapes[shape.choice({"circle", "rectangle", "rounded", "slot"})];
    if (opening.shape == Shape::Circle) {
        refuse_keys(hole, {"width", "height", "corner_radius", "rotation"}, "circle");
        opening.width = opening.height = hole.at("diameter").length(hole_limits);
        return;
    }
    refuse_keys(hole, {"diameter"}, shape.text());
    opening.width = hole.at("width").length(hole_limits);
    opening.height = hole.at("height").length(hole_limits);
    if (const auto turn = hole.find("rotation")) opening.rotation = turn->measure(Dimension::Angle, turn_limits);
    if (opening.shape != Shape::RoundedRectangle) return refuse_keys(hole, {"corner_radius"}, shape.text());

    const YamlNode radius = hole.at("corner_radius");
    opening.corner_radius = radius.length(radius_limits);
    const double half = std::min(opening.width, opening.height) / 2;
    if (opening.corner_radius > half)
        radius.fail(fmt::format("must not exceed half the shorter side, {}, got {}",
                                format_measure(half, Dimension::Length, hole.length_unit()), radius.text()));
}

void set_centre(const BoardPlace& place, OpeningPlan& opening)
{
    opening.x = place.x;
    opening.y = place.y;
    opening.z = place.z;
    opening.along = place.along;
}

void read_openings(const YamlNode& openings, const MaterialLibrary& library, CabinetPlan& plan)
{
    const std::vector<std::string> boards = board_names(plan);
    std::set<std::string> taken;
    for (const OpeningPlan& window : plan.openings) taken.insert(window.name);
    for (const YamlNode& part : read_parts(openings)) {
        refuse_figures(part, "the hole itself; write it in its 'driver' or 'passive_radiator'");
        part.only_keys({"name", "board", "shape", "diameter", "width", "height", "corner_radius", "rotation", "at",
                        "driver", "passive_radiator", "port", "plate"});
        OpeningPlan opening;
        opening.where = part.where();
        opening.name = read_name(part, taken);
        opening.board = read_reference(part.at("board"), boards, "board");
        read_hole_size(part, opening);
        set_centre(read_place(part.at("at"), plan, opening.board), opening);
        opening.insert = read_insert(part, opening, plan, library);
        plan.openings.push_back(opening);
    }
}

std::vector<solver::PortTuning> read_tunings(const YamlDocument& document)
{
    std::vector<solver::PortTuning> tunings;
    const auto openings = document.root().find("openings");
    if (!openings) return tunings;
    for (const YamlNode& part : read_parts(*openings)) {
        const auto port = part.find("port");
        const auto tuning = port ? port->find("tuning") : std::nullopt;
        if (tuning) tunings.push_back({part.at("name").text(), read_tuning(*tuning)});
    }
    return tunings;
}

} // namespace stillwall::app
