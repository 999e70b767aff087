// Each test belongs to one state of the machine, prepared by CTest (CMakeLists.txt): hidden from a plain run.

#include "tests/viz/box_scene.h"
#include "viz/display.h"

#include <catch2/catch.hpp>

#include <cerrno>
#include <cstdlib>
#include <string>

#include <sys/wait.h>
#include <unistd.h>

using namespace stillwall;
using namespace stillwall::viz;
using namespace stillwall::viz::test;
using Catch::Matchers::Contains;
namespace fs = std::filesystem;

namespace {

bool has_children()
{
    int status = 0;
    return ::waitpid(-1, &status, WNOHANG) >= 0 || errno != ECHILD;
}

/// A file of its own for each process: the states are tested at the same time.
fs::path scratch_file(const char* ending)
{
    return fs::temp_directory_path() / ("stillwall_display_" + std::to_string(::getpid()) + ending);
}

void draw_one(const fs::path& file)
{
    const BoxScene box;
    PictureOptions options;
    options.width_px = 800;
    options.height_px = 600;
    const auto displacement = waves_on_boards(box, {{{1, 1, 1}, {}, {}, {}, {}, {}, {}}});
    write_pictures(box.scene, {{"mode 1", "", displacement}}, {file}, {}, options);
}

void expect_picture()
{
    const fs::path file = scratch_file(".png");
    draw_one(file);
    CHECK(fs::file_size(file) > 10'000);
    fs::remove(file);
    CHECK_FALSE(has_children()); // neither the server nor the drawing process is left, not even as a zombie
}

void expect_viewer_file()
{
    const BoxScene box;
    const fs::path file = scratch_file(".vtu");
    write_vtu(box.scene, {}, file);
    CHECK(fs::file_size(file) > 10'000);
    fs::remove(file);
}

} // namespace

TEST_CASE("without DISPLAY a virtual one is started, used and stopped", "[.][none]")
{
    REQUIRE(std::getenv("DISPLAY") == nullptr);
    expect_picture();
    CHECK(std::getenv("DISPLAY") == nullptr);
}

TEST_CASE("a display that answers is used", "[.][none]")
{
    std::string name;
    {
        const Display virtual_one = ensure_display();
        CHECK(virtual_one.is_virtual());
        name = virtual_one.name();
        REQUIRE(::setenv("DISPLAY", name.c_str(), 1) == 0);
        const Display found = ensure_display();
        CHECK_FALSE(found.is_virtual());
        CHECK(found.name() == name);
        draw_one(scratch_file(".png"));
        fs::remove(scratch_file(".png"));
        // Two at a time do not get into each other's way.
        ::unsetenv("DISPLAY");
        CHECK(ensure_display().name() != name);
    }
    ::unsetenv("DISPLAY");
    CHECK_FALSE(has_children());
}

TEST_CASE("a DISPLAY that does not answer is passed over", "[.][unreachable]")
{
    REQUIRE(std::getenv("DISPLAY") != nullptr);
    CHECK(ensure_display().is_virtual());
    expect_picture();
}

TEST_CASE("without a virtual display the error says what to install", "[.][missing]")
{
    const fs::path file = scratch_file(".png");
    CHECK_THROWS_AS(draw_one(file), RenderError);
    CHECK_THROWS_WITH(draw_one(file), Contains("apt-get install xvfb libgl1-mesa-dri") && !Contains("\n"));
    CHECK_FALSE(fs::exists(file));
    expect_viewer_file();
}

TEST_CASE("a virtual display that does not come up is an error, not a hang", "[.][broken]")
{
    const fs::path file = scratch_file(".png");
    CHECK_THROWS_WITH(draw_one(file), Contains("did not come up"));
    CHECK_FALSE(fs::exists(file));
    CHECK_FALSE(has_children());
    expect_viewer_file();
}
