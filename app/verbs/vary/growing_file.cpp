#include "app/verbs/vary/growing_file.h"

#include "mesh/cabinet/error.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstring>

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

namespace stillwall::app {
namespace {

constexpr long most_bytes = 200'000'000;

[[noreturn]] void fail(const std::filesystem::path& path, int reason)
{
    throw InputError({}, "--csv", fmt::format("cannot write {}: {}", path.string(), std::strerror(reason)));
}

} // namespace

GrowingFile::GrowingFile(const std::filesystem::path& file, bool afresh) : path_(file)
{
    fd_ = ::open(file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0666);
    if (fd_ < 0) fail(file, errno);
    try {
        if (::flock(fd_, LOCK_EX | LOCK_NB) != 0)
            throw InputError(
                {}, "--csv",
                fmt::format("{} is being written by another run; wait for it or name another file", file.string()));
        struct stat info
        {
        };
        if (::fstat(fd_, &info) != 0) fail(file, errno);
        if (!S_ISREG(info.st_mode))
            throw InputError({}, "--csv", fmt::format("cannot go on from {}: not a plain file", file.string()));
        if (info.st_size > most_bytes)
            throw InputError({}, "--csv", fmt::format("{} is larger than 200 MB", file.string()));
        if (afresh && ::ftruncate(fd_, 0) != 0) fail(file, errno);
        before_.resize(afresh ? 0 : static_cast<std::size_t>(info.st_size));
        for (std::size_t at = 0; at < before_.size();) {
            const ssize_t n = ::pread(fd_, before_.data() + at, before_.size() - at, static_cast<off_t>(at));
            if (n <= 0) fail(file, n < 0 ? errno : EIO);
            at += static_cast<std::size_t>(n);
        }
        before_.resize(before_.rfind('\n') + 1); // npos + 1 = 0: not even one line
        size_ = static_cast<long>(before_.size());
    } catch (...) {
        ::close(fd_);
        throw;
    }
}

GrowingFile::~GrowingFile()
{
    ::close(fd_);
}

void GrowingFile::add(const std::string& line)
{
    // What was cut off is only overwritten now: whoever names a wrong file must not lose its end.
    if (::ftruncate(fd_, size_) != 0)
        throw Error(fmt::format("cannot write {}: {}", path_.string(), std::strerror(errno)));
    std::size_t done = 0;
    while (done < line.size()) {
        const ssize_t n =
            ::pwrite(fd_, line.data() + done, line.size() - done, static_cast<off_t>(size_) + static_cast<off_t>(done));
        if (n < 0 && errno == EINTR) continue;
        if (n <= 0) {
            const int reason = n < 0 ? errno : ENOSPC;
            if (::ftruncate(fd_, size_) != 0) {
            } // a half line is cut off at the next start as well
            throw Error(fmt::format("cannot write {}: {}; what is in it is kept, the same command goes on from there",
                                    path_.string(), std::strerror(reason)));
        }
        done += static_cast<std::size_t>(n);
    }
    size_ += static_cast<long>(line.size());
}

} // namespace stillwall::app
