#include "app/input/strip_file.h"

#include "app/input/internal/known_reader.h"
#include "app/input/internal/place.h"
#include "app/input/internal/text_file.h"
#include "mesh/cabinet/units.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace stillwall::app {
namespace {

constexpr Limits length_limits{0.03, 5}, width_limits{1e-3, 1}, thickness_limits{2e-4, 0.2};
constexpr Limits mass_limits{1e-5, 500}, frequency_limits{0.5, 50e3}, mode_limits{1, solver::highest_bar_mode};
constexpr Limits loss_limits{0, 10}, q_limits{0.1, 1e7}, decrement_limits{0, 10}, bandwidth_limits{1e-4, 20e3};
constexpr Limits time_limits{1e-4, 1000}, drop_limits{1, 120};
constexpr Limits ratio_limits{0.4, 400};
constexpr Limits poisson_limits{0, 0.49}, any_poisson_limits{-0.99, 1.5}, modulus_limits{1e4, 1e12};
constexpr Limits force_limits{0.01, 1e5}, deflection_limits{1e-6, 0.1}, dynamic_limits{0.8, 1.6};

// What a ruler, a calliper, kitchen scales, a spectrum on a phone and a dial gauge are good for (judgements).
constexpr UsualError length_error{0.5e-3, 0}, width_error{0.2e-3, 0}, thickness_error{0.05e-3, 0};
constexpr UsualError mass_error{0, 0.005}, frequency_error{0, 0.003}, force_error{0, 0.01},
    deflection_error{0.02e-3, 0};

KeyPlace place_of(const YamlNode& node)
{
    return {node.where(), node.path()};
}

void read_losses(const YamlNode& node, solver::ModeReading& mode)
{
    using namespace solver;
    const double f = mode.f.value;
    const auto add = [&](const char* how, double loss) { mode.losses.push_back({how, loss}); };
    if (const auto n = node.find("loss")) add("loss", n->ratio(loss_limits));
    if (const auto n = node.find("q")) add("q", 1 / n->number(q_limits));
    if (const auto n = node.find("t60")) add("t60", loss_of_decay(f, 60, read_time(*n, time_limits)));
    if (const auto n = node.find("decay")) {
        n->only_keys({"drop", "time"});
        add("decay",
            loss_of_decay(f, read_decibels(n->at("drop"), drop_limits), read_time(n->at("time"), time_limits)));
    }
    if (const auto n = node.find("log_decrement")) add("log_decrement", loss_of_decrement(n->number(decrement_limits)));
    if (const auto n = node.find("bandwidth"))
        add("bandwidth", loss_of_bandwidth(f, n->measure(Dimension::Frequency, bandwidth_limits)));
}

solver::ModeReading read_mode(const YamlNode& node, std::vector<std::string>& assumed)
{
    node.only_keys({"bending", "torsion", "frequency", "loss", "q", "t60", "decay", "log_decrement", "bandwidth"});
    const auto bending = node.find("bending"), torsion = node.find("torsion");
    if (bending.has_value() == torsion.has_value())
        node.fail("say which mode it is: bending: 1, 2 … or torsion: 1, 2 …, one of the two");
    solver::ModeReading mode;
    mode.is_torsion = torsion.has_value();
    const YamlNode& number = bending ? *bending : *torsion;
    const double written = number.number(mode_limits);
    mode.number = static_cast<int>(written);
    if (mode.number != written) number.fail(fmt::format("must be a whole number, got {}", number.text()));
    mode.f = read_known(node.at("frequency"), Dimension::Frequency, frequency_limits, frequency_error, assumed);
    read_losses(node, mode);
    return mode;
}

solver::StaticReading read_static(const YamlNode& node, BoardKind board, bool is_alone,
                                  std::vector<std::string>& assumed)
{
    node.only_keys({"span", "force", "deflection", "dynamic_per_static"});
    solver::StaticReading test;
    test.span = node.at("span").length(length_limits);
    test.force = read_force(node.at("force"), force_limits, force_error, assumed);
    test.deflection =
        read_known(node.at("deflection"), Dimension::Length, deflection_limits, deflection_error, assumed);
    const std::optional<solver::Assumed> usual = usual_dynamic_ratio(board);
    if (const auto own = node.find("dynamic_per_static"))
        test.dynamic_per_static = read_assumed(*own, Dimension::Number, dynamic_limits);
    else if (usual)
        test.dynamic_per_static = *usual;
    else if (is_alone)
        throw InputError(
            node.where(), node.path() + ".dynamic_per_static",
            "key is missing; for board: other no usual ratio of ringing to slow modulus is known (metal 1)");
    return test;
}

void read_sizes(const YamlNode& node, PlacedStrip& strip)
{
    solver::StripData& data = strip.data;
    const YamlNode length = node.at("length"), width = node.at("width"), thickness = node.at("thickness"),
                   mass = node.at("mass");
    data.length = read_known(length, Dimension::Length, length_limits, length_error, strip.assumed_errors);
    data.width = read_known(width, Dimension::Length, width_limits, width_error, strip.assumed_errors);
    data.thickness = read_known(thickness, Dimension::Length, thickness_limits, thickness_error, strip.assumed_errors);
    data.mass = read_known(mass, Dimension::Mass, mass_limits, mass_error, strip.assumed_errors);
    strip.length = place_of(length);
    strip.width = place_of(width);
    strip.thickness = place_of(thickness);
    strip.mass = place_of(mass);

    data.free_length = data.length.value;
    const auto support = node.find("support"), free_length = node.find("free_length");
    if (support && support->choice({"free", "clamped"}) == 1) {
        data.ends = solver::BarEnds::ClampedFree;
        const YamlNode out = node.at("free_length");
        data.free_length = out.length(length_limits);
        strip.length = place_of(out);
    } else if (free_length) {
        free_length->fail("only for support: clamped");
    }
}

PlacedStrip read_strip(const YamlNode& node, BoardKind board)
{
    node.only_keys({"name", "direction", "support", "length", "free_length", "width", "thickness", "mass",
                    "shear_ratio", "poisson", "modes", "static"});
    PlacedStrip strip;
    strip.whole = place_of(node);
    if (const auto name = node.find("name")) {
        strip.name = name->text();
        check_name(*name, strip.name);
    }
    constexpr StripDirection directions[] = {StripDirection::Any, StripDirection::Along, StripDirection::Across};
    if (const auto direction = node.find("direction")) {
        strip.direction = directions[direction->choice({"any", "along", "across"})];
    } else if (board == BoardKind::Plywood || board == BoardKind::SolidWood) {
        throw InputError(node.where(), node.path() + ".direction",
                         "key is missing; this board has a grain, say whether the strip runs along or across it");
    }
    read_sizes(node, strip);
    strip.data.is_same_all_ways = strip.direction == StripDirection::Any;
    strip.data.usual_ratio = usual_shear_ratio(board, strip.direction);
    if (const auto ratio = node.find("shear_ratio"))
        strip.data.given_ratio = read_assumed(*ratio, Dimension::Number, ratio_limits);
    if (const auto nu = node.find("poisson"))
        strip.data.given_nu = read_assumed(*nu, Dimension::Number, poisson_limits);
    if (const auto modes = node.find("modes"))
        for (const YamlNode& item : modes->items()) {
            strip.modes.push_back(place_of(item));
            strip.data.modes.push_back(read_mode(item, strip.assumed_errors));
        }
    if (const auto test = node.find("static")) {
        const bool is_alone = std::all_of(strip.data.modes.begin(), strip.data.modes.end(),
                                          [](const solver::ModeReading& mode) { return mode.is_torsion; });
        strip.data.bending_test = read_static(*test, board, is_alone, strip.assumed_errors);
        strip.bending_test = place_of(*test);
    }
    // One line for all modes without their own error, not one each.
    std::vector<std::string>& assumed = strip.assumed_errors;
    std::vector<std::string> once;
    for (const std::string& text : assumed)
        if (std::find(once.begin(), once.end(), text) == once.end()) once.push_back(text);
    assumed = once;
    return strip;
}

void check_directions(const YamlNode& list, const std::vector<PlacedStrip>& strips)
{
    if (strips.size() == 1) return;
    std::set<StripDirection> seen;
    for (const PlacedStrip& strip : strips) {
        if (strip.direction == StripDirection::Any)
            list.fail("two strips of one board need direction: along and direction: across; put others into files of "
                      "their own");
        if (!seen.insert(strip.direction).second)
            list.fail("both strips run in the same direction, one must be along and one across; put repeats into files "
                      "of their "
                      "own");
    }
}

void read_constants(const YamlNode& node, StripPlan& plan)
{
    node.only_keys({"E1", "E2", "E3", "G12", "G13", "G23", "nu12", "nu13", "nu23"});
    if (plan.strips.front().direction == StripDirection::Any)
        node.fail("only for boards with a grain (direction: along or across)");
    plan.constants_place = place_of(node);
    for (const YamlNode::Entry& entry : node.entries()) {
        const bool is_ratio = entry.key.starts_with("nu");
        const solver::Assumed read = read_assumed(entry.value, is_ratio ? Dimension::Number : Dimension::Modulus,
                                                  is_ratio ? any_poisson_limits : modulus_limits);
        plan.constants[entry.key] = {read.value, read.low, read.high, "strip file", "given"};
    }
}

[[noreturn]] void complain(const PlacedStrip& strip, const solver::StripError& error)
{
    const auto place = [&]() -> const KeyPlace& {
        switch (error.part()) {
        case solver::StripPart::Length:
            return strip.length;
        case solver::StripPart::Width:
            return strip.width;
        case solver::StripPart::Thickness:
            return strip.thickness;
        case solver::StripPart::Mass:
            return strip.mass;
        case solver::StripPart::Mode:
            return strip.modes.at(static_cast<std::size_t>(error.mode().value()));
        case solver::StripPart::Static:
            return strip.bending_test;
        case solver::StripPart::Whole:
            break;
        }
        return strip.whole;
    };
    throw InputError(place().where, place().path, error.what());
}

} // namespace

std::optional<solver::Assumed> usual_shear_ratio(BoardKind board, StripDirection direction)
{
    // From memory: panels of fibres and chips 15 to 20, with the spread of published planar shear tests; plywood's
    // rolling shear 0.2 GPa against 8 to 11 GPa; wood by the elastic ratios of the Wood Handbook, ch. 5 (E_L/G_LR,
    // E_T/G_RT).
    switch (board) {
    case BoardKind::Mdf:
    case BoardKind::Particleboard:
        return solver::Assumed{10, 16, 25};
    case BoardKind::Plywood:
        return solver::Assumed{25, 45, 60};
    case BoardKind::SolidWood:
        return direction == StripDirection::Across ? solver::Assumed{3, 5, 10} : solver::Assumed{8, 12, 20};
    case BoardKind::Other:
        break;
    }
    return std::nullopt;
}

std::optional<solver::Assumed> usual_dynamic_ratio(BoardKind board)
{
    // Range: Hunt et al., BioResources 8 (2013) 115: MDF 1.26; Wood Handbook: E_L = 1.1 × the static figure; least 1.05
    // from memory.
    switch (board) {
    case BoardKind::Mdf:
    case BoardKind::Particleboard:
        return solver::Assumed{1.05, 1.15, 1.26};
    case BoardKind::Plywood:
    case BoardKind::SolidWood:
        return solver::Assumed{1.05, 1.10, 1.26};
    case BoardKind::Other:
        break;
    }
    return std::nullopt;
}

StripPlan parse_strips(std::string_view text, const std::string& file)
{
    const YamlDocument document = parse_yaml(text, file);
    const YamlNode bare = document.root();
    bare.only_keys({"name", "note", "units", "board", "material", "like", "strips", "constants"});
    constexpr LengthUnit units[] = {LengthUnit::Millimetre, LengthUnit::Centimetre, LengthUnit::Inch};
    const auto unit = bare.find("units");
    const YamlNode root =
        bare.with_length_unit(unit ? units[unit->choice({"mm", "cm", "in"})] : LengthUnit::Millimetre);

    StripPlan plan;
    plan.file = file;
    plan.name = root.at("name").text();
    check_name(root.at("name"), plan.name);
    if (const auto note = root.find("note"); note && !note->is_scalar()) note->fail("must be text");
    constexpr BoardKind kinds[] = {BoardKind::Mdf, BoardKind::Particleboard, BoardKind::Plywood, BoardKind::SolidWood,
                                   BoardKind::Other};
    plan.board = kinds[root.at("board").choice({"mdf", "particleboard", "plywood", "solid_wood", "other"})];
    plan.material = "measured";
    if (const auto material = root.find("material")) {
        plan.material = material->text();
        check_name(*material, plan.material);
    }
    if (const auto like = root.find("like")) {
        plan.like = like->text();
        plan.like_place = place_of(*like);
    }
    const YamlNode list = root.at("strips");
    const std::vector<YamlNode> items = list.items();
    if (items.size() > 2) list.fail(fmt::format("one strip, or two (along and across), got {}", items.size()));
    for (const YamlNode& item : items) plan.strips.push_back(read_strip(item, plan.board));
    check_directions(list, plan.strips);
    if (const auto constants = root.find("constants")) read_constants(*constants, plan);
    return plan;
}

StripPlan read_strips(const std::filesystem::path& file)
{
    return parse_strips(load_text(file), file.string());
}

solver::StripResult evaluate(const PlacedStrip& strip)
{
    try {
        return solver::evaluate_strip(strip.data);
    } catch (const solver::StripError& error) {
        complain(strip, error);
    } catch (const DomainError& error) {
        throw InputError(strip.whole.where, strip.whole.path, error.what());
    }
}

} // namespace stillwall::app
