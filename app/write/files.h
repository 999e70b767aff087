#pragma once
// Files that are either whole or absent.

#include <filesystem>
#include <string_view>

namespace stillwall::app {

/// Throws when the file could not be written: its folder is missing, not a folder or not writable, or the
/// file itself is a folder. Asked before a long computation; creates nothing.
/// @param option  the command-line option that named the file, for the message
/// @throws InputError
void require_writable_file(const std::filesystem::path& file, std::string_view option);

/// The same for a folder that will be created with its parents.
/// @throws InputError
void require_writable_folder(const std::filesystem::path& folder, std::string_view option);

/// Creates a folder with its parents where there is none.
/// @throws Error
void create_folder(const std::filesystem::path& folder);

/// Writes the whole content beside the file and renames it into place: a reader never sees half of it.
/// Devices and pipes are written directly.
/// @throws Error
void write_whole_file(const std::filesystem::path& file, std::string_view content);

/// A folder of its own inside `parent` (created with its parents), removed with all it still holds at the end
/// of its life. What is finished is moved out with keep().
class ScratchFolder
{
public:
    /// @throws Error
    explicit ScratchFolder(const std::filesystem::path& parent);
    ~ScratchFolder();
    ScratchFolder(const ScratchFolder&) = delete;
    ScratchFolder& operator=(const ScratchFolder&) = delete;

    [[nodiscard]] std::filesystem::path path(const std::filesystem::path& name) const { return folder_ / name; }

    /// Moves a finished file into the parent, in place of an older one.
    /// @throws Error
    void keep(const std::filesystem::path& name) const;

private:
    std::filesystem::path parent_, folder_;
};

} // namespace stillwall::app
