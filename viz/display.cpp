#include "viz/display.h"

#include "mesh/cabinet/error.h"

#include <fmt/core.h>

#include <array>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <memory>
#include <optional>
#include <string_view>

#include <dlfcn.h>
#include <fcntl.h>
#include <poll.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

namespace stillwall::viz {
namespace {

using Clock = std::chrono::steady_clock;
constexpr std::chrono::seconds start_limit{15}; // a busy machine needs 1 s; more means it is stuck

/// Whether an X server answers under this name and offers GLX. The X library is opened by hand, so that
/// nothing has to be linked for a question that most runs never ask.
bool answers(const char* name)
{
    const std::unique_ptr<void, int (*)(void*)> library(
        ::dlopen("libX11.so.6", RTLD_NOW | RTLD_LOCAL),
        [](void* handle) { return handle != nullptr ? ::dlclose(handle) : 0; });
    if (!library) return false;
    const auto open = reinterpret_cast<void* (*)(const char*)>(::dlsym(library.get(), "XOpenDisplay"));
    const auto query =
        reinterpret_cast<int (*)(void*, const char*, int*, int*, int*)>(::dlsym(library.get(), "XQueryExtension"));
    const auto close = reinterpret_cast<int (*)(void*)>(::dlsym(library.get(), "XCloseDisplay"));
    if (open == nullptr || query == nullptr || close == nullptr) return false;
    void* display = open(name);
    if (display == nullptr) return false;
    int opcode = 0, event = 0, error = 0;
    const bool has_glx = query(display, "GLX", &opcode, &event, &error) != 0;
    close(display);
    return has_glx;
}

/// The first executable of this name in PATH; empty folder names are passed over, not read as ".".
std::optional<std::string> find_program(const std::string& name)
{
    const char* variable = std::getenv("PATH"); // NOLINT(concurrency-mt-unsafe): nobody sets it
    std::string_view path = variable != nullptr ? variable : "/usr/local/bin:/usr/bin:/bin";
    while (!path.empty()) {
        const std::size_t end = std::min(path.find(':'), path.size());
        const std::filesystem::path file = std::filesystem::path(path.substr(0, end)) / name;
        if (end > 0 && std::filesystem::is_regular_file(file) && ::access(file.c_str(), X_OK) == 0)
            return file.string();
        path.remove_prefix(std::min(end + 1, path.size()));
    }
    return std::nullopt;
}

void stop(pid_t server)
{
    ::kill(server, SIGTERM);
    int status = 0;
    // The server closes its socket within milliseconds; one that does not is not worth waiting for.
    for (int i = 0; i < 200; ++i) {
        const pid_t ended = ::waitpid(server, &status, WNOHANG);
        if (ended == server || (ended < 0 && errno != EINTR)) return;
        ::usleep(10'000);
    }
    ::kill(server, SIGKILL);
    while (::waitpid(server, &status, 0) < 0 && errno == EINTR) {
    }
}

/// Starts the server; it will write its display number to `number_fd`. Between fork and exec only calls
/// that are safe in a process with other threads.
pid_t start_server(const std::string& program, int number_fd)
{
    const std::string number = std::to_string(number_fd);
    const std::array<const char*, 9> arguments{"Xvfb",         "-displayfd", number.c_str(), "-screen", "0",
                                               "1400x1000x24", "-nolisten",  "tcp",          nullptr};
    const pid_t parent = ::getpid();
    const pid_t pid = ::fork();
    if (pid != 0) return pid;
    ::prctl(PR_SET_PDEATHSIG, SIGTERM); // no server is left behind when we are killed
    if (::getppid() != parent) ::_exit(126);
    ::fcntl(number_fd, F_SETFD, 0);
    const int nothing = ::open("/dev/null", O_RDWR);
    for (const int fd : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) ::dup2(nothing, fd);
    ::execv(program.c_str(), const_cast<char* const*>(arguments.data()));
    ::_exit(127);
}

/// Reads the line with the display number; empty when the server ends or the time is up.
std::string read_number(int fd)
{
    const auto deadline = Clock::now() + start_limit;
    std::string text;
    while (text.empty() || text.back() != '\n') {
        const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(deadline - Clock::now()).count();
        pollfd watched{fd, POLLIN, 0};
        const int ready = left > 0 ? ::poll(&watched, 1, static_cast<int>(left)) : 0;
        if (ready < 0 && errno == EINTR) continue;
        if (ready <= 0) return {};
        char letter = 0;
        const ssize_t n = ::read(fd, &letter, 1);
        if (n < 0 && errno == EINTR) continue;
        if (n <= 0) return {};
        text += letter;
    }
    text.pop_back();
    return text;
}

} // namespace

Display::Display(Display&& other) noexcept : name_(std::move(other.name_)), server_(other.server_)
{
    other.server_ = -1;
}

Display::~Display()
{
    if (server_ > 0) stop(server_);
}

Display ensure_display()
{
    const char* given = std::getenv("DISPLAY"); // NOLINT(concurrency-mt-unsafe): nobody sets it
    if (given != nullptr && *given != '\0' && answers(given)) return Display(given);

    const auto program = find_program("Xvfb");
    if (!program)
        throw RenderError("pictures need an X display, and there is none: install a virtual one with "
                          "\"apt-get install xvfb libgl1-mesa-dri\"");
    std::array<int, 2> ends{};
    if (::pipe2(ends.data(), O_CLOEXEC) != 0)
        throw RenderError(fmt::format("cannot start Xvfb: {}", std::strerror(errno)));
    const pid_t server = start_server(*program, ends[1]);
    ::close(ends[1]);
    const std::string number = server > 0 ? read_number(ends[0]) : std::string();
    ::close(ends[0]);
    if (server < 0) throw RenderError(fmt::format("cannot start Xvfb: {}", std::strerror(errno)));
    Display display(":" + number, server);
    if (number.empty()) throw RenderError("the virtual display Xvfb did not come up; does \"Xvfb -displayfd 1\" run?");
    return display;
}

} // namespace stillwall::viz
