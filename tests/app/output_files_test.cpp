#include "app/write/files.h"
#include "mesh/cabinet/error.h"

#include <catch2/catch.hpp>

#include <fstream>
#include <sstream>

#include <unistd.h>

using namespace stillwall;
using namespace stillwall::app;
using Catch::Matchers::Contains;
namespace fs = std::filesystem;

namespace {

/// A folder that goes away with the test.
struct TestFolder
{
    fs::path path = fs::temp_directory_path() / ("stillwall-files-test-" + std::to_string(getpid()));
    TestFolder()
    {
        fs::remove_all(path);
        fs::create_directories(path);
    }
    ~TestFolder() { fs::remove_all(path); }
};

std::string content_of(const fs::path& file)
{
    std::ifstream stream(file, std::ios::binary);
    std::ostringstream content;
    content << stream.rdbuf();
    return content.str();
}

std::size_t n_entries(const fs::path& folder)
{
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder), fs::directory_iterator()));
}

} // namespace

TEST_CASE("whole files: written, replaced, nothing left beside", "[app][output]")
{
    const TestFolder folder;
    const fs::path file = folder.path / "result.json";
    write_whole_file(file, "first");
    write_whole_file(file, "second");
    CHECK(content_of(file) == "second");
    CHECK(n_entries(folder.path) == 1);
}

TEST_CASE("whole files: a link stays a link and its file is replaced", "[app][output]")
{
    const TestFolder folder;
    write_whole_file(folder.path / "real.json", "old");
    fs::create_symlink("real.json", folder.path / "link.json");
    write_whole_file(folder.path / "link.json", "new");
    CHECK(fs::is_symlink(folder.path / "link.json"));
    CHECK(content_of(folder.path / "real.json") == "new");
}

TEST_CASE("whole files: devices are written directly, a full disk is an error", "[app][output]")
{
    CHECK_NOTHROW(write_whole_file("/dev/null", "gone"));
    CHECK(fs::is_character_file("/dev/null"));
    CHECK_THROWS_WITH(write_whole_file("/dev/full", "too much"), Contains("cannot write /dev/full: No space left"));
}

TEST_CASE("outputs that cannot be written are refused beforehand", "[app][output]")
{
    const TestFolder folder;
    write_whole_file(folder.path / "plain", "");
    CHECK_NOTHROW(require_writable_file(folder.path / "new.json", "--json"));
    CHECK_NOTHROW(require_writable_file("/dev/stdout", "--json"));
    CHECK_NOTHROW(require_writable_folder(folder.path / "a/b/c", "--out"));
    CHECK(n_entries(folder.path) == 1);

    CHECK_THROWS_AS(require_writable_file(folder.path / "none/new.json", "--json"), InputError);
    CHECK_THROWS_WITH(require_writable_file(folder.path / "none/new.json", "--json"),
                      Contains("--json: cannot write") && Contains("does not exist"));
    CHECK_THROWS_WITH(require_writable_file(folder.path, "--csv"), Contains("it is a folder"));
    CHECK_THROWS_WITH(require_writable_file(folder.path / "plain/new.json", "--json"), Contains("is not a folder"));
    CHECK_THROWS_WITH(require_writable_folder(folder.path / "plain/deep", "--out"), Contains("is not a folder"));
}

TEST_CASE("scratch folder: finished files move out, the rest goes away", "[app][output]")
{
    const TestFolder folder;
    const fs::path out = folder.path / "pictures";
    {
        const ScratchFolder scratch(out);
        write_whole_file(scratch.path("done.png"), "whole");
        write_whole_file(scratch.path("half.png"), "ha");
        scratch.keep("done.png");
        CHECK_THROWS_AS(scratch.keep("absent.png"), Error);
    }
    CHECK(content_of(out / "done.png") == "whole");
    CHECK(n_entries(out) == 1);
}
