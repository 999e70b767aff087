#include "app/input/internal/yaml_edit.h"

#include "app/input/internal/nearest.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

namespace stillwall::app {
namespace {

using Kind = YamlTree::Kind;

[[noreturn]] void fail(const EditPath& path, const std::string& problem)
{
    throw InputError(path.where, path.key, problem);
}

/// Place of a key in a map; the count of keys when there is none.
std::size_t place_of(const YamlTree& map, std::string_view key)
{
    const auto found =
        std::find_if(map.keys.begin(), map.keys.end(), [&](const YamlTree::Key& k) { return k.text == key; });
    return static_cast<std::size_t>(found - map.keys.begin());
}

std::string name_of(const YamlTree& part)
{
    if (part.kind != Kind::Map) return {};
    const std::size_t at = place_of(part, "name");
    return at < part.keys.size() ? part.children[at].text : std::string();
}

/// Whether the rest of a path begins with this word: to its end or to a dot.
bool begins_with(std::string_view rest, std::string_view word)
{
    return !word.empty() && rest.starts_with(word) && (rest.size() == word.size() || rest[word.size()] == '.');
}

std::string_view first_word(std::string_view rest)
{
    return rest.substr(0, rest.find('.'));
}

std::string_view after(std::string_view rest, std::size_t n)
{
    return rest.size() > n ? rest.substr(n + 1) : std::string_view();
}

/// A child by the front of a path: the longest key or name that fits, or a number from 1.
struct Step
{
    std::size_t child = 0;
    std::string_view rest; ///< of the path behind it
    bool is_found = false;
};

Step step_into(const YamlTree& tree, std::string_view rest)
{
    Step step;
    std::size_t longest = 0;
    for (std::size_t i = 0; i < tree.children.size(); ++i) {
        const std::string word = tree.kind == Kind::Map ? tree.keys[i].text : name_of(tree.children[i]);
        if (!begins_with(rest, word) || word.size() <= longest) continue;
        longest = word.size();
        step = {i, after(rest, word.size()), true};
    }
    if (step.is_found || tree.kind != Kind::Sequence) return step;
    const std::string_view word = first_word(rest);
    std::size_t number = 0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), number);
    if (error == std::errc{} && end == word.data() + word.size() && number >= 1 && number <= tree.children.size())
        return {number - 1, after(rest, word.size()), true};
    return step;
}

/// What the path has led to so far, for messages: "braces" of "braces.shelf.at".
std::string way_to(const EditPath& path, std::string_view rest)
{
    const std::size_t used = path.text.size() - rest.size();
    return used > 0 ? path.text.substr(0, used - 1) : "the file";
}

[[noreturn]] void fail_missing(const EditPath& path, const YamlTree& tree, std::string_view rest)
{
    std::vector<std::string> known;
    for (std::size_t i = 0; i < tree.children.size(); ++i)
        known.push_back(tree.kind == Kind::Map ? tree.keys[i].text : name_of(tree.children[i]));
    std::erase(known, "");
    const std::string word(first_word(rest));
    fail(path, fmt::format("there is no '{}' in {}{}", word, way_to(path, rest), hint_from(word, known)));
}

void check_path(const EditPath& path)
{
    constexpr std::size_t longest = 300;
    if (path.text.empty() || path.text.size() > longest || path.text.front() == '.' || path.text.back() == '.' ||
        path.text.find("..") != std::string::npos)
        fail(path, "must be a path such as boards.left.thickness");
    // What asks for changes cannot be changed itself.
    for (const std::string_view word : {"variants", "vary", "improve"})
        if (begins_with(path.text, word)) fail(path, fmt::format("'{}' cannot be changed by itself", word));
}

} // namespace

void put(YamlTree& root, const EditPath& path, YamlTree value)
{
    check_path(path);
    YamlTree* tree = &root;
    std::string_view rest = path.text;
    while (!rest.empty()) {
        if (tree->kind != Kind::Map && tree->kind != Kind::Sequence)
            fail(path, fmt::format("{} holds nothing that could be changed", way_to(path, rest)));
        const Step step = step_into(*tree, rest);
        if (step.is_found) {
            tree = &tree->children[step.child];
            rest = step.rest;
            continue;
        }
        // Whole sections and parts of lists are not made up: a slip of the pen would look like a new one.
        const std::string word(first_word(rest));
        const bool is_optional_section = word == "air" || word == "sound" || word == "analysis";
        if (tree->kind == Kind::Sequence || (tree == &root && !is_optional_section)) fail_missing(path, *tree, rest);
        tree->keys.push_back({word, path.where.line, path.where.column});
        tree->children.push_back({Kind::Map, path.where.line, path.where.column, {}, {}, {}});
        tree = &tree->children.back();
        rest = after(rest, word.size());
    }
    *tree = std::move(value);
}

void take_out(YamlTree& root, const EditPath& path)
{
    check_path(path);
    YamlTree* tree = &root;
    std::string_view rest = path.text;
    while (true) {
        const Step step = step_into(*tree, rest);
        if (!step.is_found) fail_missing(path, *tree, rest);
        if (step.rest.empty()) {
            const auto at = static_cast<std::ptrdiff_t>(step.child);
            tree->children.erase(tree->children.begin() + at);
            if (tree->kind == Kind::Map) tree->keys.erase(tree->keys.begin() + at);
            break;
        }
        tree = &tree->children[step.child];
        rest = step.rest;
    }
    // A list that has lost its last part is left out as if it had not been written.
    if (tree != &root && tree->kind == Kind::Sequence && tree->children.empty())
        if (const std::string parent = way_to(path, rest); parent != "the file")
            take_out(root, {parent, path.where, path.key});
}

void append(YamlTree& root, const EditPath& key, const YamlTree& items)
{
    check_path(key);
    if (items.kind != Kind::Sequence) fail(key, "must be a list of parts to add");
    const std::size_t at = place_of(root, key.text);
    if (at == root.keys.size()) {
        root.keys.push_back({key.text, key.where.line, key.where.column});
        root.children.push_back(items);
        return;
    }
    YamlTree& list = root.children[at];
    if (list.kind != Kind::Sequence) fail(key, fmt::format("'{}' is no list, parts cannot be added to it", key.text));
    list.children.insert(list.children.end(), items.children.begin(), items.children.end());
}

std::string scalar_at(const YamlTree& root, const std::string& path)
{
    const YamlTree* tree = &root;
    std::string_view rest = path;
    while (!rest.empty()) {
        const Step step = step_into(*tree, rest);
        if (!step.is_found) return {};
        tree = &tree->children[step.child];
        rest = step.rest;
    }
    return tree->kind == Kind::Scalar ? tree->text : std::string();
}

} // namespace stillwall::app
