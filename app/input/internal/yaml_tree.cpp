// Text → YamlTree through the parser's events: these still show anchors, tags and repeated keys, which
// its own node type hides (it lets the first of two equal keys win without a word).

#include "app/input/internal/text_file.h"
#include "app/input/internal/yaml_node.h"

#include <fmt/format.h>
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/parser.h>

#include <algorithm>
#include <map>
#include <sstream>

namespace stillwall::app {
namespace {

constexpr std::size_t max_depth = 50;
constexpr std::size_t max_key_bytes = 80;

/// Parser marks → lines and columns from 1, columns in characters.
class Positions
{
public:
    Positions(std::string_view text, const std::string& file) : text_(text), file_(file) {}

    [[nodiscard]] SourcePos at(const YAML::Mark& mark)
    {
        if (mark.is_null()) return {file_};
        const std::size_t pos = std::min<std::size_t>(static_cast<std::size_t>(std::max(mark.pos, 0)), text_.size());
        // Marks come almost in order: counting on from the last one keeps a file of one line linear.
        if (mark.line != line_ || pos < pos_) {
            line_ = mark.line;
            pos_ = pos - std::min<std::size_t>(pos, static_cast<std::size_t>(std::max(mark.column, 0)));
            column_ = 1;
        }
        column_ += static_cast<int>(std::count_if(
            text_.begin() + static_cast<std::ptrdiff_t>(pos_), text_.begin() + static_cast<std::ptrdiff_t>(pos),
            [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) != 0x80; }));
        pos_ = pos;
        return {file_, line_ + 1, column_};
    }

private:
    std::string_view text_;
    std::string file_;
    int line_ = -1;
    std::size_t pos_ = 0;
    int column_ = 1;
};

class TreeBuilder : public YAML::EventHandler
{
public:
    TreeBuilder(std::string_view text, const std::string& file) : text_(text), positions_(text, file) {}

    [[nodiscard]] Positions& positions() { return positions_; }
    [[nodiscard]] bool has_root() const { return has_root_; }
    [[nodiscard]] YamlTree take_root() { return std::move(root_); }

    void OnDocumentStart(const YAML::Mark& mark) override
    {
        if (has_root_) fail(mark, "a second document starts here, only one per file is read");
    }
    void OnDocumentEnd() override {}

    void OnAnchor(const YAML::Mark& mark, const std::string& name) override
    {
        fail(mark,
             fmt::format("anchor '&{}' is not supported, write the values out where they are used", clipped(name)));
    }
    void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override
    {
        fail(mark, "aliases (*) are not supported, write the values out");
    }
    void OnNull(const YAML::Mark& mark, YAML::anchor_t) override
    {
        if (expects_key()) fail(mark, "a key is missing before ':'");
        YamlTree node;
        // The mark of an absent value lies on whatever follows; its key is where people look.
        const SourcePos where =
            stack_.empty() || stack_.back().tree.keys.empty() ? positions_.at(mark) : last_key_place();
        node.line = where.line;
        node.column = where.column;
        attach(std::move(node));
    }
    void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t, const std::string& value) override
    {
        refuse_tag(mark, tag);
        check_quotes(mark);
        check_characters(mark, value);
        if (expects_key()) return start_key(mark, value);
        YamlTree node = begin(YamlTree::Kind::Scalar, mark);
        node.text = value;
        attach(std::move(node));
    }
    void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t,
                         YAML::EmitterStyle::value) override
    {
        open(YamlTree::Kind::Sequence, mark, tag);
    }
    void OnSequenceEnd() override { close(); }
    void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t, YAML::EmitterStyle::value) override
    {
        open(YamlTree::Kind::Map, mark, tag);
    }
    void OnMapEnd() override { close(); }

private:
    struct Level
    {
        YamlTree tree;
        std::map<std::string, int> line_of; ///< of the keys seen so far
        bool expects_value = false;         ///< maps: a key has been read
    };

    [[nodiscard]] static std::string clipped(const std::string& text) { return text.substr(0, 40); }

    [[nodiscard]] bool expects_key() const
    {
        return !stack_.empty() && stack_.back().tree.kind == YamlTree::Kind::Map && !stack_.back().expects_value;
    }

    [[nodiscard]] SourcePos last_key_place() const
    {
        const YamlTree::Key& key = stack_.back().tree.keys.back();
        return {"", key.line, key.column};
    }

    [[nodiscard]] std::string path_to(const std::string& last) const
    {
        std::string path;
        for (const Level& level : stack_) {
            const bool is_last = &level == &stack_.back();
            if (level.tree.kind == YamlTree::Kind::Sequence)
                path += fmt::format("[{}]", level.tree.children.size() + 1);
            else if (!is_last)
                path += (path.empty() ? "" : ".") + level.tree.keys.back().text;
        }
        return path + (path.empty() ? "" : ".") + last;
    }

    [[noreturn]] void fail(const YAML::Mark& mark, std::string_view problem)
    {
        throw InputError(positions_.at(mark), "", problem);
    }

    void refuse_tag(const YAML::Mark& mark, const std::string& tag)
    {
        // "?" and "!" are what the parser gives plain and quoted text without a tag.
        if (!tag.empty() && tag != "?" && tag != "!")
            fail(mark, fmt::format("tag '{}' is not supported", clipped(tag)));
    }

    /// The parser lets a quote that is never closed swallow the rest of the file.
    void check_quotes(const YAML::Mark& mark)
    {
        const auto start = static_cast<std::size_t>(std::max(mark.pos, 0));
        if (start >= text_.size() || (text_[start] != '\'' && text_[start] != '"')) return;
        const char quote = text_[start];
        for (std::size_t i = start + 1; i < text_.size(); ++i) {
            if (quote == '"' && text_[i] == '\\') {
                ++i;
            } else if (text_[i] == quote) {
                if (quote == '"' || i + 1 >= text_.size() || text_[i + 1] != quote) return;
                ++i;
            }
        }
        fail(mark, fmt::format("the quote ({}) that begins here is never closed", quote));
    }

    /// Quoted text may smuggle in by escapes what check_text() keeps out of the file itself.
    void check_characters(const YAML::Mark& mark, const std::string& value)
    {
        const std::string_view text = value;
        for (std::size_t i = 0; i < text.size();) {
            const std::size_t length = utf8_length(text.substr(i));
            const bool is_space = text[i] == '\n' || text[i] == '\t';
            if (length == 0 || (!is_space && is_control(text.substr(i), length)))
                fail(mark, "text holds a control character or a broken one, remove the escape");
            i += length;
        }
    }

    void start_key(const YAML::Mark& mark, const std::string& key)
    {
        const SourcePos where = positions_.at(mark);
        if (key == "<<") fail(mark, "merge keys (<<) are not supported, write the keys out");
        if (key.empty() || key.size() > max_key_bytes || key.find('\n') != std::string::npos)
            fail(mark, "a key must be one line of 1 to 80 characters");
        Level& level = stack_.back();
        const auto [seen, is_new] = level.line_of.emplace(key, where.line);
        if (!is_new)
            throw InputError(where, path_to(key),
                             fmt::format("key is repeated, first written in line {}", seen->second));
        level.tree.keys.push_back({key, where.line, where.column});
        level.expects_value = true;
    }

    [[nodiscard]] YamlTree begin(YamlTree::Kind kind, const YAML::Mark& mark)
    {
        const SourcePos where = positions_.at(mark);
        YamlTree node;
        node.kind = kind;
        node.line = where.line;
        node.column = where.column;
        return node;
    }

    void open(YamlTree::Kind kind, const YAML::Mark& mark, const std::string& tag)
    {
        refuse_tag(mark, tag);
        if (expects_key()) fail(mark, "a key must be text, not a list or a map");
        // Stops the parser's own recursion as well.
        if (stack_.size() >= max_depth) fail(mark, fmt::format("nested deeper than {} levels", max_depth));
        stack_.push_back({begin(kind, mark), {}, false});
    }

    void close()
    {
        YamlTree done = std::move(stack_.back().tree);
        stack_.pop_back();
        attach(std::move(done));
    }

    void attach(YamlTree node)
    {
        if (stack_.empty()) {
            root_ = std::move(node);
            has_root_ = true;
            return;
        }
        stack_.back().tree.children.push_back(std::move(node));
        stack_.back().expects_value = false;
    }

    std::string_view text_;
    Positions positions_;
    std::vector<Level> stack_;
    YamlTree root_;
    bool has_root_ = false;
};

void refuse_directives(std::string_view text, const std::string& file)
{
    int line = 1;
    bool is_start = true;
    for (char c : text) {
        if (is_start && c == '%')
            throw InputError({file, line, 1}, "", "directives (%) are not supported, remove this line");
        is_start = c == '\n';
        if (c == '\n') ++line;
    }
}

} // namespace

YamlDocument parse_yaml(std::string_view text, const std::string& file)
{
    constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
    if (text.substr(0, byte_order_mark.size()) == byte_order_mark) text.remove_prefix(byte_order_mark.size());
    check_text(text, file);
    refuse_directives(text, file);

    TreeBuilder builder(text, file);
    std::istringstream stream{std::string(text)};
    try {
        YAML::Parser parser(stream);
        while (parser.HandleNextDocument(builder)) {
        }
    } catch (const YAML::Exception& error) {
        throw InputError(builder.positions().at(error.mark), "",
                         fmt::format("not valid YAML: {}; check brackets, quotes and indentation near here, "
                                     "a space after each colon, a comma between pairs in braces",
                                     error.msg));
    }
    if (!builder.has_root()) throw InputError({file}, "", "is empty");
    return {file, builder.take_root()};
}

YamlDocument read_yaml(const std::filesystem::path& file)
{
    return parse_yaml(load_text(file), file.string());
}

} // namespace stillwall::app
