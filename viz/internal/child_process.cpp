#include "viz/internal/child_process.h"

#include "mesh/cabinet/error.h"

#include <fmt/core.h>

#include <array>
#include <cerrno>
#include <csignal>
#include <cstring>
#include <exception>
#include <string>

#include <fcntl.h>
#include <poll.h>
#include <sys/wait.h>
#include <unistd.h>

namespace stillwall::viz {
namespace {

// What the child says through its pipe: one byte per report, then "done", or "failed" and a message.
constexpr char report_mark = '.', done_mark = 'd', failed_mark = 'f';

struct Pipe
{
    int read_end = -1, write_end = -1;

    Pipe()
    {
        std::array<int, 2> ends{};
        if (::pipe2(ends.data(), O_CLOEXEC) != 0)
            throw RenderError(fmt::format("no pipe to draw through: {}", std::strerror(errno)));
        read_end = ends[0];
        write_end = ends[1];
    }
    ~Pipe()
    {
        close_end(read_end);
        close_end(write_end);
    }
    Pipe(const Pipe&) = delete;
    Pipe& operator=(const Pipe&) = delete;

    static void close_end(int& end)
    {
        if (end >= 0) ::close(end);
        end = -1;
    }
};

void say(int fd, const std::string& text)
{
    std::size_t sent = 0;
    while (sent < text.size()) {
        const ssize_t n = ::write(fd, text.data() + sent, text.size() - sent);
        if (n < 0 && errno != EINTR) return; // the parent has gone; nobody is left to tell
        if (n > 0) sent += static_cast<std::size_t>(n);
    }
}

/// Never returns: the child must not run the parent's destructors or exit handlers.
[[noreturn]] void be_child(const std::function<void(const std::function<void()>&)>& work, Pipe& speech, Pipe& noise)
{
    ::dup2(noise.write_end, STDERR_FILENO);
    ::dup2(noise.write_end, STDOUT_FILENO);
    try {
        work([&] { say(speech.write_end, {report_mark}); });
        say(speech.write_end, {done_mark});
    } catch (const std::exception& error) {
        say(speech.write_end, failed_mark + std::string(error.what()));
    } catch (...) {
        say(speech.write_end, failed_mark + std::string("unknown error while drawing"));
    }
    ::_exit(0);
}

/// Kills and reaps the child unless that was done already.
class Child
{
public:
    explicit Child(pid_t pid) : pid_(pid) {}
    ~Child()
    {
        if (pid_ <= 0) return;
        ::kill(pid_, SIGKILL);
        wait();
    }
    Child(const Child&) = delete;
    Child& operator=(const Child&) = delete;

    int wait()
    {
        int status = 0;
        while (::waitpid(pid_, &status, 0) < 0 && errno == EINTR) {
        }
        pid_ = -1;
        return status;
    }

private:
    pid_t pid_;
};

/// Appends what is there to read; false at the end.
bool drain(int fd, std::string& text)
{
    std::array<char, 4096> buffer{};
    const ssize_t n = ::read(fd, buffer.data(), buffer.size());
    if (n > 0) text.append(buffer.data(), static_cast<std::size_t>(n));
    return n > 0 || (n < 0 && errno == EINTR);
}

std::string last_line(std::string text)
{
    while (!text.empty() && text.back() == '\n') text.pop_back();
    const auto start = text.rfind('\n');
    return start == std::string::npos ? text : text.substr(start + 1);
}

struct Heard
{
    std::string speech, noise;
};

Heard listen(const Pipe& speech, const Pipe& noise, const std::function<void()>& on_report)
{
    Heard heard;
    bool speech_open = true, noise_open = true;
    while (speech_open || noise_open) {
        std::array<pollfd, 2> watched{
            {{speech_open ? speech.read_end : -1, POLLIN, 0}, {noise_open ? noise.read_end : -1, POLLIN, 0}}};
        if (::poll(watched.data(), watched.size(), -1) < 0) {
            if (errno == EINTR) continue;
            break;
        }
        if (watched[1].revents != 0) {
            noise_open = drain(noise.read_end, heard.noise);
            constexpr std::size_t enough = 4096; // only the last line is ever shown
            if (heard.noise.size() > 2 * enough) heard.noise.erase(0, heard.noise.size() - enough);
        }
        if (watched[0].revents == 0) continue;
        speech_open = drain(speech.read_end, heard.speech);
        while (!heard.speech.empty() && heard.speech.front() == report_mark) {
            heard.speech.erase(0, 1);
            on_report();
        }
    }
    return heard;
}

std::string how_it_ended(int status, const std::string& noise)
{
    std::string how = "the drawing process ended early";
    if (WIFSIGNALED(status))
        how += fmt::format(" (signal {}, {})", WTERMSIG(status), ::strsignal(WTERMSIG(status)));
    else
        how += fmt::format(" (exit code {})", WEXITSTATUS(status));
    const std::string said = last_line(noise);
    return said.empty() ? how : how + ": " + said;
}

} // namespace

void run_in_child(const std::function<void(const std::function<void()>& report)>& work,
                  const std::function<void()>& on_report)
{
    Pipe speech, noise;
    const pid_t pid = ::fork();
    if (pid < 0) throw RenderError(fmt::format("no process to draw in: {}", std::strerror(errno)));
    if (pid == 0) be_child(work, speech, noise);
    Child child(pid);
    Pipe::close_end(speech.write_end);
    Pipe::close_end(noise.write_end);
    const Heard heard = listen(speech, noise, on_report);
    const int status = child.wait();
    if (heard.speech == std::string{done_mark}) return;
    if (!heard.speech.empty() && heard.speech.front() == failed_mark) throw RenderError(heard.speech.substr(1));
    throw RenderError(how_it_ended(status, heard.noise));
}

} // namespace stillwall::viz
