#pragma once
// A cursor over a small, strict subset of YAML that knows where it is: file, line, column and dotted
// key path. Every complaint is an InputError with that place. No YAML type appears here.
//
// Accepted: maps with text keys, sequences, scalars, comments; one document. Refused with a reason:
// repeated keys, anchors, aliases, merge keys, tags, directives, tabs as indentation, control
// characters, text that is not UTF-8, nesting deeper than 50, files above 1 MB.

#include "app/input/internal/measure.h"
#include "mesh/cabinet/error.h"

#include <filesystem>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace stillwall::app {

/// The parsed document as a plain tree; built by parse_yaml().
struct YamlTree
{
    enum class Kind
    {
        Null, ///< a key without a value
        Scalar,
        Sequence,
        Map
    };
    Kind kind = Kind::Null;
    int line = 0, column = 0; ///< from 1
    std::string text;         ///< scalars

    struct Key
    {
        std::string text;
        int line = 0, column = 0;
    };
    std::vector<Key> keys;          ///< maps, in the order written
    std::vector<YamlTree> children; ///< values of a map, items of a sequence
};

class YamlNode;

/// Owns the tree; nodes point into it and must not outlive it.
class YamlDocument
{
public:
    YamlDocument(std::string file, YamlTree tree) : file_(std::move(file)), tree_(std::move(tree)) {}
    [[nodiscard]] YamlNode root() const;
    [[nodiscard]] const std::string& file() const { return file_; }
    [[nodiscard]] const YamlTree& tree() const { return tree_; }

private:
    std::string file_;
    YamlTree tree_;
};

/// A place in a document. Cheap to copy.
class YamlNode
{
public:
    YamlNode(const std::string& file, const YamlTree& tree) : file_(&file), tree_(&tree) {}

    [[nodiscard]] SourcePos where() const { return {*file_, tree_->line, tree_->column}; }
    [[nodiscard]] const YamlTree& tree() const { return *tree_; }
    [[nodiscard]] const std::string& path() const { return path_; } ///< "openings.woofer.at.x", or "points[2][1]"
    [[nodiscard]] LengthUnit length_unit() const { return length_unit_; }
    /// The same place, reading bare lengths here and below in `unit`.
    [[nodiscard]] YamlNode with_length_unit(LengthUnit unit) const;

    [[nodiscard]] bool is_map() const { return tree_->kind == YamlTree::Kind::Map; }
    [[nodiscard]] bool is_sequence() const { return tree_->kind == YamlTree::Kind::Sequence; }
    [[nodiscard]] bool is_scalar() const { return tree_->kind == YamlTree::Kind::Scalar; }

    /// @throws InputError at this place: `problem` is the sentence after the key path.
    [[noreturn]] void fail(std::string_view problem) const;

    // Maps. All but has() and find() throw InputError when this is not a map.

    /// Checks that this is a map holding only these keys; an unknown one is an error with the nearest
    /// known key offered.
    void only_keys(std::initializer_list<std::string_view> allowed) const;
    [[nodiscard]] bool has(std::string_view key) const;
    [[nodiscard]] std::optional<YamlNode> find(std::string_view key) const;
    [[nodiscard]] YamlNode at(std::string_view key) const; ///< error "missing" when absent

    struct Entry;
    [[nodiscard]] std::vector<Entry> entries() const; ///< in the order written

    // Sequences.
    [[nodiscard]] std::vector<YamlNode> items() const;                  ///< at least one
    [[nodiscard]] std::vector<YamlNode> items(std::size_t count) const; ///< exactly so many

    // Scalars.
    [[nodiscard]] std::string text() const; ///< not empty, one line, at most 200 bytes
    /// One of the words; the index in `words`.
    [[nodiscard]] std::size_t choice(const std::vector<std::string_view>& words) const;
    /// A number with a unit of this dimension, in SI units, within the limits.
    [[nodiscard]] double measure(Dimension dimension, Limits limits) const;
    [[nodiscard]] double number(Limits limits) const { return measure(Dimension::Number, limits); }
    [[nodiscard]] double ratio(Limits limits) const { return measure(Dimension::Ratio, limits); }
    [[nodiscard]] double length(Limits limits) const { return measure(Dimension::Length, limits); }

private:
    [[nodiscard]] YamlNode child(std::size_t index, std::string path) const;
    void require(YamlTree::Kind kind) const;
    /// {mass: 1,5 kg} is a mass of 1 and a key "5 kg" without a value: says so.
    void refuse_decimal_comma(std::size_t key) const;

    const std::string* file_;
    const YamlTree* tree_;
    std::string path_;
    LengthUnit length_unit_ = LengthUnit::Millimetre;
};

/// A key and its value.
struct YamlNode::Entry
{
    std::string key;
    SourcePos key_where;
    YamlNode value;
};

/// Parses text; `file` appears in messages.
/// @throws InputError
[[nodiscard]] YamlDocument parse_yaml(std::string_view text, const std::string& file);

/// Reads and parses a file.
/// @throws InputError also when the file is missing, a directory, unreadable, empty or above 1 MB
[[nodiscard]] YamlDocument read_yaml(const std::filesystem::path& file);

} // namespace stillwall::app
