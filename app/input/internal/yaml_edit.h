#pragma once
// A cabinet file's tree with parts changed, added and taken out, by the paths that messages use.

#include "app/input/internal/yaml_node.h"

namespace stillwall::app {

/// "boards.left.thickness", "braces.shelf.at", "braces.shelf.windows.1.width": keys of maps, names of a list's parts or
/// their number from 1, with dots between. Names may hold dots and spaces themselves.
struct EditPath
{
    std::string text;
    SourcePos where; ///< for messages
    std::string key; ///< path of the key that asks for the edit, for messages
};

/// Puts a value there. The parts of lists on the way must exist; a missing key of a map is made, so that
/// `boards.left.thickness` can be said of a file that tells of all boards at once. Unknown keys are left to the reader.
/// @throws InputError at the path's place
void put(YamlTree& root, const EditPath& path, YamlTree value);

/// Takes out what is there.
/// @throws InputError when there is nothing
void take_out(YamlTree& root, const EditPath& path);

/// Adds the items of `items` to the list under the key, which is made when missing.
/// @throws InputError when either is no list
void append(YamlTree& root, const EditPath& key, const YamlTree& items);

/// The text of the scalar there, empty when there is none or it is no scalar.
[[nodiscard]] std::string scalar_at(const YamlTree& root, const std::string& path);

} // namespace stillwall::app
