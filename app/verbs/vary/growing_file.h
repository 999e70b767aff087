#pragma once
// A file of lines that grows while a run goes on and survives its end.

#include <filesystem>
#include <string>

namespace stillwall::app {

/// Opens or creates a file for adding lines. A last line without its end (a run was killed while writing it) is cut
/// off.
class GrowingFile
{
public:
    /// @param afresh  throws away what was there
    /// @throws InputError  it cannot be read or written, or another run is adding to it
    GrowingFile(const std::filesystem::path& file, bool afresh);
    ~GrowingFile();
    GrowingFile(const GrowingFile&) = delete;
    GrowingFile& operator=(const GrowingFile&) = delete;

    [[nodiscard]] const std::string& before() const { return before_; } ///< whole lines found there
    /// Adds a whole line at once and hands it to the system; a full disk leaves the file as it was.
    /// @throws Error
    void add(const std::string& line);

private:
    std::filesystem::path path_;
    std::string before_;
    int fd_ = -1;
    long size_ = 0; ///< [bytes]
};

} // namespace stillwall::app
