#include "app/input/internal/read_schemes.h"

#include "app/input/internal/place.h"
#include "app/input/internal/yaml_edit.h"

#include <fmt/format.h>

#include <cmath>

namespace stillwall::app {
namespace {

using solver::NumberAndUnit, solver::split_number, solver::number_text;

constexpr std::size_t max_values = 1000;

EditPath path_of(const YamlNode& node)
{
    return {node.text(), node.where(), node.path()};
}

std::vector<std::string> paths_of(const YamlNode& node)
{
    std::vector<std::string> paths;
    if (node.is_scalar()) return {node.text()};
    for (const YamlNode& item : node.items()) paths.push_back(item.text());
    return paths;
}

/// "120 to 320", and what follows it.
struct Phrase
{
    NumberAndUnit low, high;
    std::string rest; ///< " by 20", " in 11"
};

[[nodiscard]] std::optional<std::string> take_word(std::string& text, std::string_view word)
{
    const std::size_t at = text.find(" " + std::string(word) + " ");
    if (at == std::string::npos) return std::nullopt;
    const std::string before = text.substr(0, at);
    text = text.substr(at + word.size() + 2);
    return before;
}

/// What is wrong, or empty.
std::string read_phrase(std::string text, Phrase& phrase)
{
    const auto first = take_word(text, "to");
    if (!first) return "write a list of values, or a range such as 120 to 320 by 20";
    std::string second = text;
    for (const std::string_view word : {"by", "in"})
        if (const std::size_t at = text.find(" " + std::string(word) + " "); at != std::string::npos) {
            second = text.substr(0, at);
            phrase.rest = text.substr(at);
        }
    const auto low = split_number(*first), high = split_number(second);
    if (!low || !high) return "the ends of a range are decimal numbers, such as 120 to 320";
    phrase.low = *low;
    phrase.high = *high;
    if (phrase.low.unit.empty()) phrase.low.unit = phrase.high.unit;
    if (phrase.low.unit != phrase.high.unit) return "both ends of a range take the same unit";
    if (!(phrase.low.number < phrase.high.number)) return "the range is empty, its second end must be the greater";
    return {};
}

/// The values of "120 to 320 by 20" or "120 to 320 in 11" (nine when neither is said); or what is wrong with it.
std::string read_steps(const std::string& text, std::vector<std::string>& values)
{
    constexpr int usual = 9;
    Phrase phrase;
    if (std::string problem = read_phrase(text, phrase); !problem.empty()) return problem;
    const double span = phrase.high.number - phrase.low.number;
    double step = span / (usual - 1);
    std::size_t n = usual;
    if (!phrase.rest.empty()) {
        const auto told = split_number(phrase.rest.substr(4));
        const bool is_step = phrase.rest.substr(1, 2) == "by";
        if (!told || !(told->number > 0)) return "after 'by' comes a step, after 'in' a number of values";
        if (is_step) {
            if (!told->unit.empty() && told->unit != phrase.low.unit) return "the step takes the unit of the ends";
            step = told->number;
            const double count = std::floor(span / step * (1 + 1e-9)) + 1;
            if (count > static_cast<double>(max_values)) return fmt::format("gives more than {} values", max_values);
            n = static_cast<std::size_t>(count);
        } else {
            const double count = told->number;
            if (count != std::floor(count) || count < 2 || count > static_cast<double>(max_values) ||
                !told->unit.empty())
                return fmt::format("'in' takes a whole number from 2 to {}", max_values);
            n = static_cast<std::size_t>(count);
            step = span / (count - 1);
        }
    }
    for (std::size_t i = 0; i < n; ++i)
        values.push_back(number_text(phrase.low.number + static_cast<double>(i) * step, phrase.low.unit));
    return {};
}

std::vector<std::string> read_over(const YamlNode& over)
{
    std::vector<std::string> values;
    if (over.is_scalar()) {
        if (const std::string problem = read_steps(over.text(), values); !problem.empty())
            over.fail(fmt::format("{}, got '{}'", problem, over.text()));
        return values;
    }
    for (const YamlNode& item : over.items()) {
        const std::string text = item.text();
        if (std::find(values.begin(), values.end(), text) != values.end())
            item.fail(fmt::format("the value '{}' is listed twice", text));
        values.push_back(text);
    }
    if (values.size() > max_values) over.fail(fmt::format("holds more than {} values", max_values));
    return values;
}

ChangeAxis read_choice(const YamlNode& node)
{
    node.only_keys({"change", "over", "within", "without"});
    ChangeAxis axis;
    axis.where = node.where();
    axis.key = node.path();
    if (const auto without = node.find("without")) {
        if (node.has("change")) without->fail("give either 'change' or 'without'");
        axis.paths = paths_of(*without);
        axis.takes_out = true;
        axis.where = without->where();
        axis.key = without->path();
        return axis;
    }
    const YamlNode change = node.at("change");
    axis.paths = paths_of(change);
    axis.where = change.where();
    axis.key = change.path();
    const auto over = node.find("over"), within = node.find("within");
    if (over.has_value() == within.has_value())
        node.fail("needs 'over' (a list of values) or 'within' (two ends, such as 120 to 320), one of them");
    if (over) {
        axis.values = read_over(*over);
        return axis;
    }
    Phrase phrase;
    std::string problem = read_phrase(within->text(), phrase);
    if (problem.empty() && !phrase.rest.empty()) problem = "'within' takes no step";
    if (!problem.empty()) within->fail(fmt::format("{}, got '{}'", problem, within->text()));
    axis.within = ChangeAxis::Range{phrase.low.number, phrase.high.number, phrase.low.unit};
    return axis;
}

} // namespace

ChangeAxis axis_from_words(const std::string& paths, const std::string& over)
{
    ChangeAxis axis;
    axis.where = {"--change"};
    const auto split = [](const std::string& list) {
        std::vector<std::string> words;
        for (std::size_t at = 0; at <= list.size();) {
            const std::size_t comma = std::min(list.find(',', at), list.size());
            const std::size_t from = list.find_first_not_of(' ', at);
            if (from < comma) words.push_back(list.substr(from, list.find_last_not_of(' ', comma - 1) - from + 1));
            at = comma + 1;
        }
        return words;
    };
    axis.paths = split(paths);
    if (axis.paths.empty()) throw InputError({"--change"}, "", "must be a path such as boards.left.thickness");
    if (over.find(" to ") != std::string::npos) {
        if (const std::string problem = read_steps(over, axis.values); !problem.empty())
            throw InputError({"--over"}, "", fmt::format("{}, got '{}'", problem, over));
        return axis;
    }
    axis.values = split(over);
    if (axis.values.empty())
        throw InputError({"--over"}, "", "the list of values is empty, write 12, 15, 18 or 120 to 320 by 20");
    return axis;
}

std::vector<VariantNode> read_variants(const YamlNode& variants)
{
    std::vector<VariantNode> list;
    std::set<std::string> taken;
    for (const YamlNode& part : read_parts(variants)) {
        part.only_keys({"name", "change", "remove", "add"});
        VariantNode variant{read_name(part, taken), part.find("change"), part.find("remove"), part.find("add"),
                            part.where()};
        if (!variant.change && !variant.remove && !variant.add)
            part.fail("changes nothing, needs 'change', 'remove' or 'add'");
        list.push_back(variant);
    }
    return list;
}

YamlTree varied(YamlTree base, const VariantNode& variant)
{
    if (variant.remove) {
        if (variant.remove->is_scalar())
            take_out(base, path_of(*variant.remove));
        else
            for (const YamlNode& item : variant.remove->items()) take_out(base, path_of(item));
    }
    if (variant.change)
        for (const YamlNode::Entry& entry : variant.change->entries())
            put(base, {entry.key, entry.key_where, entry.value.path()}, entry.value.tree());
    if (variant.add)
        for (const YamlNode::Entry& entry : variant.add->entries())
            append(base, {entry.key, entry.key_where, entry.value.path()}, entry.value.tree());
    return base;
}

std::vector<ChangeAxis> read_vary(const YamlNode& vary)
{
    std::vector<ChangeAxis> axes;
    for (const YamlNode& item : read_parts(vary)) {
        item.only_keys({"change", "over"});
        axes.push_back(read_choice(item));
    }
    if (axes.size() > 2) vary.fail(fmt::format("varies one or two things at a time, got {}", axes.size()));
    return axes;
}

ImproveAsk read_improve(const YamlNode& improve)
{
    improve.only_keys({"aim", "choices", "limits"});
    ImproveAsk ask;
    ask.where = improve.where();
    std::vector<std::string_view> aims;
    for (const solver::AimFacts& aim : solver::all_aims()) aims.push_back(aim.word);
    if (const auto aim = improve.find("aim")) ask.aim = solver::all_aims()[aim->choice(aims)].aim;
    constexpr std::size_t most_choices = 20;
    for (const YamlNode& item : read_parts(improve.at("choices"))) ask.choices.push_back(read_choice(item));
    if (ask.choices.size() > most_choices)
        improve.at("choices").fail(fmt::format("holds more than {} entries", most_choices));
    const auto limits = improve.find("limits");
    if (!limits) return ask;
    limits->only_keys({"mass", "net_volume", "price", "first_mode"});
    ask.where_limits = limits->where();
    if (const auto mass = limits->find("mass")) ask.most_mass = mass->measure(Dimension::Mass, {0.01, 2000});
    if (const auto volume = limits->find("net_volume"))
        ask.least_volume = volume->measure(Dimension::Volume, {1e-5, 10});
    if (const auto price = limits->find("price")) ask.most_price = price->number({0.01, 1e6});
    if (const auto first = limits->find("first_mode"))
        ask.least_first_Hz = first->measure(Dimension::Frequency, {1, 6000});
    return ask;
}

WorkshopPlan read_workshop(const YamlNode& workshop, StockReader& stock)
{
    workshop.only_keys({"kerf", "trim", "turn_parts", "sheets"});
    WorkshopPlan plan;
    if (const auto kerf = workshop.find("kerf")) plan.kerf = kerf->length({0, 0.02});
    if (const auto trim = workshop.find("trim")) plan.trim = trim->length({0, 0.1});
    if (const auto turn = workshop.find("turn_parts")) plan.keeps_grain = turn->choice({"yes", "no"}) == 1;
    const auto sheets = workshop.find("sheets");
    if (!sheets) return plan;
    constexpr Limits side{0.05, 10};
    for (const YamlNode& part : read_parts(*sheets)) {
        part.only_keys({"material", "thickness", "layers", "length", "width", "price"});
        const Layup layup = stock.layup(choice_of(part), part, true);
        SheetStock sheet{layup.label, layup.thickness(), part.at("length").length(side), part.at("width").length(side),
                         0,           part.where()};
        if (const auto price = part.find("price")) sheet.price = price->number({0.01, 1e6});
        if (sheet.length - 2 * plan.trim < 0.03 || sheet.width - 2 * plan.trim < 0.03)
            part.fail("nothing is left of this board after trimming its edges");
        plan.sheets.push_back(sheet);
    }
    return plan;
}

} // namespace stillwall::app
