#include "app/write/files.h"

#include "mesh/cabinet/error.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstring>
#include <fstream>

#include <unistd.h>

namespace stillwall::app {
namespace {

namespace fs = std::filesystem;

[[noreturn]] void refuse(std::string_view option, const fs::path& path, std::string_view problem)
{
    throw InputError({}, option, fmt::format("cannot write {}: {}", path.string(), problem));
}

void require_writable_existing_folder(const fs::path& folder, const fs::path& wanted, std::string_view option)
{
    std::error_code ignored;
    if (!fs::is_directory(folder, ignored)) refuse(option, wanted, folder.string() + " is not a folder");
    if (access(folder.c_str(), W_OK | X_OK) != 0)
        refuse(option, wanted, "no permission to write in " + folder.string());
}

fs::path parent_or_here(const fs::path& path)
{
    return path.has_parent_path() ? path.parent_path() : fs::path(".");
}

/// Writes and checks; the stream's own error state is all C++ offers, errno says why on this system.
void write_directly(const fs::path& file, std::string_view content)
{
    errno = 0;
    std::ofstream stream(file, std::ios::binary | std::ios::trunc);
    stream.write(content.data(), static_cast<std::streamsize>(content.size()));
    stream.close();
    if (!stream) {
        const int reason = errno;
        throw Error(
            fmt::format("cannot write {}: {}", file.string(), reason != 0 ? std::strerror(reason) : "unknown reason"));
    }
}

} // namespace

void require_writable_file(const fs::path& file, std::string_view option)
{
    std::error_code ignored;
    if (file.empty() || !file.has_filename()) refuse(option, file, "a file name is wanted");
    if (fs::is_directory(file, ignored)) refuse(option, file, "it is a folder, a file name is wanted");
    const fs::path folder = parent_or_here(file);
    if (!fs::exists(folder, ignored)) refuse(option, file, "the folder " + folder.string() + " does not exist");
    if (fs::exists(file, ignored) && !fs::is_regular_file(file, ignored)) {
        if (access(file.c_str(), W_OK) != 0) refuse(option, file, "no permission");
        return;
    }
    require_writable_existing_folder(folder, file, option);
}

void require_writable_folder(const fs::path& folder, std::string_view option)
{
    std::error_code ignored;
    if (folder.empty()) refuse(option, folder, "a folder name is wanted");
    fs::path existing = folder;
    while (!fs::exists(existing, ignored)) {
        const fs::path above = parent_or_here(existing);
        if (above == existing) break;
        existing = above;
    }
    require_writable_existing_folder(existing, folder, option);
}

void create_folder(const fs::path& folder)
{
    std::error_code failure;
    fs::create_directories(folder, failure);
    if (failure) throw Error(fmt::format("cannot create {}: {}", folder.string(), failure.message()));
}

void write_whole_file(const fs::path& file, std::string_view content)
{
    std::error_code failure;
    const bool exists = fs::exists(file, failure);
    if (exists && !fs::is_regular_file(file, failure)) return write_directly(file, content);

    // Through a link, the file it points to is replaced, not the link.
    const fs::path target = exists ? fs::canonical(file, failure) : file;
    const fs::path part = parent_or_here(target) / fmt::format(".{}.{}.part", target.filename().string(), getpid());
    try {
        write_directly(part, content);
        fs::rename(part, target);
    } catch (const fs::filesystem_error& error) {
        fs::remove(part, failure);
        throw Error(fmt::format("cannot write {}: {}", file.string(), error.code().message()));
    } catch (...) {
        fs::remove(part, failure);
        throw;
    }
}

ScratchFolder::ScratchFolder(const fs::path& parent)
    : parent_(parent), folder_(parent / fmt::format(".unfinished-{}", getpid()))
{
    create_folder(folder_);
}

ScratchFolder::~ScratchFolder()
{
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
}

void ScratchFolder::keep(const fs::path& name) const
{
    std::error_code failure;
    fs::rename(folder_ / name, parent_ / name, failure);
    if (failure) throw Error(fmt::format("cannot write {}: {}", (parent_ / name).string(), failure.message()));
}

} // namespace stillwall::app
