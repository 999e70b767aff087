#include "mesh/cabinet/error.h"
#include "viz/internal/child_process.h"

#include <catch2/catch.hpp>

#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <stdexcept>
#include <string>

#include <sys/wait.h>
#include <unistd.h>

using namespace stillwall;
using namespace stillwall::viz;
using Catch::Matchers::Contains;

namespace {

void nothing() {}

bool has_children()
{
    int status = 0;
    return ::waitpid(-1, &status, WNOHANG) >= 0 || errno != ECHILD;
}

} // namespace

TEST_CASE("reports arrive one by one, and the child is gone afterwards", "[viz][child]")
{
    int n_reports = 0;
    run_in_child(
        [](const auto& report) {
            for (int i = 0; i < 1000; ++i) report();
        },
        [&] { ++n_reports; });
    CHECK(n_reports == 1000);
    CHECK_FALSE(has_children());
}

TEST_CASE("an exception in the child keeps its message", "[viz][child]")
{
    CHECK_THROWS_WITH(run_in_child(
                          [](const auto& report) {
                              report();
                              throw std::runtime_error("box.png: cannot be written");
                          },
                          nothing),
                      "box.png: cannot be written");
    CHECK_THROWS_AS(run_in_child([](const auto&) { throw 5; }, nothing), RenderError);
    CHECK_FALSE(has_children());
}

TEST_CASE("a library that aborts or exits becomes an error with its last words", "[viz][child]")
{
    CHECK_THROWS_WITH(run_in_child(
                          [](const auto&) {
                              std::fputs("first\nbad X server connection\n", stderr);
                              std::signal(SIGABRT, SIG_DFL);
                              std::abort();
                          },
                          nothing),
                      Contains("signal 6") && Contains(": bad X server connection"));
    CHECK_THROWS_WITH(run_in_child([](const auto&) { ::_exit(3); }, nothing), Contains("exit code 3"));
    // Silence without a finished job is a failure even with exit code 0.
    CHECK_THROWS_AS(run_in_child([](const auto&) { ::_exit(0); }, nothing), RenderError);
    CHECK_FALSE(has_children());
}

TEST_CASE("a talkative library does not block the child", "[viz][child]")
{
    // Reference: a pipe holds 64 KiB (pipe(7)); the child writes 16 times that.
    run_in_child(
        [](const auto&) {
            const std::string line(1024, 'x');
            for (int i = 0; i < 1024; ++i) std::fputs(line.c_str(), stderr);
        },
        nothing);
    CHECK_FALSE(has_children());
}

TEST_CASE("a caller that gives up stops the child", "[viz][child]")
{
    const auto give_up = [] { throw std::runtime_error("enough"); };
    CHECK_THROWS_WITH(run_in_child(
                          [](const auto& report) {
                              report();
                              ::sleep(100);
                          },
                          give_up),
                      "enough");
    CHECK_FALSE(has_children());
}
