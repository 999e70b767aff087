#include "app/input/internal/yaml_node.h"

#include "app/input/internal/nearest.h"
#include "mesh/cabinet/names.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::app {
namespace {

constexpr std::size_t max_text_bytes = 200;
constexpr std::size_t max_measure_bytes = 40;

std::string_view kind_name(YamlTree::Kind kind)
{
    switch (kind) {
    case YamlTree::Kind::Null:
        return "nothing";
    case YamlTree::Kind::Scalar:
        return "a single value";
    case YamlTree::Kind::Sequence:
        return "a list";
    case YamlTree::Kind::Map:
        return "keys";
    }
    return "nothing";
}

std::string_view kind_wanted(YamlTree::Kind kind)
{
    switch (kind) {
    case YamlTree::Kind::Sequence:
        return "a list, like [1, 2] or lines that start with '-'";
    case YamlTree::Kind::Map:
        return "keys with values, like {key: value}";
    default:
        return "a single value";
    }
}

std::string joined(const std::string& path, std::string_view key)
{
    return path.empty() ? std::string(key) : fmt::format("{}.{}", path, key);
}

/// Words that people write for keys that are called otherwise here.
constexpr std::pair<std::string_view, std::string_view> other_words[] = {{"weight", "mass"},
                                                                         {"radius", "diameter"},
                                                                         {"size", "diameter"},
                                                                         {"orientation", "plane"},
                                                                         {"position", "at"},
                                                                         {"z", "at"},
                                                                         {"breadth", "width"},
                                                                         {"power", "volts"},
                                                                         {"voltage", "volts"},
                                                                         {"spl", "level"},
                                                                         {"loss_factor", "loss"},
                                                                         {"type", "shape"},
                                                                         {"impedance", "Re"},
                                                                         {"wood", "material"},
                                                                         {"holes", "windows"},
                                                                         {"cutout", "recess"},
                                                                         {"rebate", "recess"},
                                                                         {"magnet", "magnet_diameter"},
                                                                         {"flange", "flange_diameter"},
                                                                         {"text", "note"}};

/// What was meant, or all that is known.
std::string key_hint(const std::string& key, const std::vector<std::string>& known)
{
    // "x:100" without a space is one word to YAML.
    if (const std::size_t colon = key.find(':'); colon != std::string::npos && colon + 1 < key.size())
        return fmt::format(", a space is missing after the colon: write '{}: {}'", key.substr(0, colon),
                           key.substr(colon + 1));
    for (const auto& [word, meant] : other_words)
        if (key == word && std::find(known.begin(), known.end(), meant) != known.end())
            return fmt::format(", did you mean '{}'?", meant);
    // Symbols such as Bl are too short to be near to anything, but not to be written in other letters.
    for (const std::string& name : known)
        if (name.size() == key.size() && edit_distance(key, name) == 0)
            return fmt::format(", did you mean '{}'?", name);
    return ", " + name_hint(key, known);
}

/// An item of a list goes by its name if it has one, else by its number.
std::string item_path(const std::string& list, const YamlTree& item, std::size_t index)
{
    constexpr std::size_t longest = 60;
    for (std::size_t i = 0; i < item.keys.size(); ++i) {
        const std::string& name = item.children[i].text;
        const bool is_label = !name.empty() && name.size() <= longest && name.find('\n') == std::string::npos;
        if (item.keys[i].text == "name" && is_label) return joined(list, name);
    }
    return fmt::format("{}[{}]", list, index + 1);
}

} // namespace

YamlNode YamlDocument::root() const
{
    return {file_, tree_};
}

YamlNode YamlNode::with_length_unit(LengthUnit unit) const
{
    YamlNode copy = *this;
    copy.length_unit_ = unit;
    return copy;
}

void YamlNode::fail(std::string_view problem) const
{
    throw InputError(where(), path_, problem);
}

void YamlNode::require(YamlTree::Kind kind) const
{
    if (tree_->kind == kind) return;
    if (tree_->kind == YamlTree::Kind::Null) fail(fmt::format("value is missing, needs {}", kind_wanted(kind)));
    fail(fmt::format("needs {}; got {}", kind_wanted(kind), kind_name(tree_->kind)));
}

YamlNode YamlNode::child(std::size_t index, std::string path) const
{
    YamlNode node(*file_, tree_->children[index]);
    node.path_ = std::move(path);
    node.length_unit_ = length_unit_;
    return node;
}

void YamlNode::only_keys(std::initializer_list<std::string_view> allowed) const
{
    require(YamlTree::Kind::Map);
    for (const YamlTree::Key& key : tree_->keys) {
        if (std::find(allowed.begin(), allowed.end(), key.text) != allowed.end()) continue;
        refuse_decimal_comma(static_cast<std::size_t>(&key - tree_->keys.data()));
        throw InputError({*file_, key.line, key.column}, joined(path_, key.text),
                         "unknown key" + key_hint(key.text, {allowed.begin(), allowed.end()}));
    }
}

void YamlNode::refuse_decimal_comma(std::size_t key) const
{
    const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
    const std::string& rest = tree_->keys[key].text;
    if (key == 0 || tree_->children[key].kind != YamlTree::Kind::Null || !is_digit(rest.front())) return;
    const YamlTree& before = tree_->children[key - 1];
    if (before.text.empty() || !is_digit(before.text.back())) return;
    throw InputError(
        {*file_, before.line, before.column}, joined(path_, tree_->keys[key - 1].text),
        fmt::format("comma inside a number, write the decimal point as {0}.{1}, got '{0},{1}'", before.text, rest));
}

bool YamlNode::has(std::string_view key) const
{
    return find(key).has_value();
}

std::optional<YamlNode> YamlNode::find(std::string_view key) const
{
    for (std::size_t i = 0; i < tree_->keys.size(); ++i)
        if (tree_->keys[i].text == key) return child(i, joined(path_, key));
    return std::nullopt;
}

YamlNode YamlNode::at(std::string_view key) const
{
    require(YamlTree::Kind::Map);
    if (auto found = find(key)) return *found;
    throw InputError(where(), joined(path_, key), "key is missing");
}

std::vector<YamlNode::Entry> YamlNode::entries() const
{
    require(YamlTree::Kind::Map);
    std::vector<Entry> list;
    for (std::size_t i = 0; i < tree_->keys.size(); ++i) {
        const YamlTree::Key& key = tree_->keys[i];
        list.push_back({key.text, {*file_, key.line, key.column}, child(i, joined(path_, key.text))});
    }
    return list;
}

std::vector<YamlNode> YamlNode::items() const
{
    require(YamlTree::Kind::Sequence);
    if (tree_->children.empty()) fail("list is empty, leave the key out or fill it");
    std::vector<YamlNode> list;
    for (std::size_t i = 0; i < tree_->children.size(); ++i)
        list.push_back(child(i, item_path(path_, tree_->children[i], i)));
    return list;
}

std::vector<YamlNode> YamlNode::items(std::size_t count) const
{
    require(YamlTree::Kind::Sequence);
    if (tree_->children.size() != count)
        fail(fmt::format("needs a list of {} values, got {}", count, tree_->children.size()));
    return items();
}

std::string YamlNode::text() const
{
    require(YamlTree::Kind::Scalar);
    if (tree_->text.empty()) fail("text is empty");
    if (tree_->text.size() > max_text_bytes || tree_->text.find('\n') != std::string::npos)
        fail(fmt::format("must be one line of at most {} bytes", max_text_bytes));
    return tree_->text;
}

std::size_t YamlNode::choice(const std::vector<std::string_view>& words) const
{
    const std::string word = text();
    const auto found = std::find(words.begin(), words.end(), word);
    if (found != words.end()) return static_cast<std::size_t>(found - words.begin());
    const std::vector<std::string> known(words.begin(), words.end());
    fail(fmt::format("unknown word '{}'{}", word, hint_from(word, known)));
}

double YamlNode::measure(Dimension dimension, Limits limits) const
{
    const std::string written = text();
    if (written.size() > max_measure_bytes)
        fail(fmt::format("must be a number, got a text of {} bytes", written.size()));
    const Measure read = parse_measure(written, dimension, length_unit_);
    if (!read.problem.empty()) fail(read.problem);
    // A limit written in another unit ("8 in" against 203.2 mm) must not fail by the last bit.
    const auto slack = [](double limit) { return 1e-12 * std::abs(limit); }; // units turned back and forth
    if (read.value < limits.low - slack(limits.low) || read.value > limits.high + slack(limits.high))
        fail(fmt::format("must lie between {} and {}, got {}", format_measure(limits.low, dimension, length_unit_),
                         format_measure(limits.high, dimension, length_unit_), written));
    return read.value;
}

} // namespace stillwall::app
