#include "app/workers/apart.h"

#include "app/workers/ranks.h"
#include "mesh/cabinet/error.h"
#include "solver/linalg/threads.h"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <memory>
#include <new>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include <malloc.h>
#include <poll.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

namespace stillwall::app {
namespace {

using Job = std::function<std::string(std::size_t)>;

/// A file descriptor that closes itself.
class Handle
{
public:
    explicit Handle(int fd = -1) : fd_(fd) {}
    Handle(Handle&& other) noexcept : fd_(std::exchange(other.fd_, -1)) {}
    Handle& operator=(Handle&& other) noexcept
    {
        std::swap(fd_, other.fd_);
        return *this;
    }
    ~Handle() { close(); }
    void close()
    {
        if (fd_ >= 0) ::close(fd_);
        fd_ = -1;
    }
    [[nodiscard]] int get() const { return fd_; }

private:
    int fd_;
};

bool write_all(int fd, const char* data, std::size_t size)
{
    while (size > 0) {
        const ssize_t n = ::write(fd, data, size);
        if (n < 0 && errno == EINTR) continue;
        if (n <= 0) return false;
        data += n;
        size -= static_cast<std::size_t>(n);
    }
    return true;
}

bool read_all(int fd, char* data, std::size_t size)
{
    while (size > 0) {
        const ssize_t n = ::read(fd, data, size);
        if (n < 0 && errno == EINTR) continue;
        if (n <= 0) return false;
        data += n;
        size -= static_cast<std::size_t>(n);
    }
    return true;
}

/// What a child sends before the bytes.
struct Head
{
    std::uint64_t size = 0;
    enum Kind : std::uint64_t
    {
        Good,
        Input,
        Failed
    } kind = Good;
};

/// One solution after the other uses the same memory: handing it back and fetching it anew costs a tenth of the time.
void keep_memory()
{
#ifdef __GLIBC__
    ::mallopt(M_MMAP_THRESHOLD, 32 << 20);
    ::mallopt(M_TRIM_THRESHOLD, 1 << 30);
    ::mallopt(M_TOP_PAD, 64 << 20);
#endif
}

/// The child's whole life: numbers of jobs in, results out.
[[noreturn]] void live_as_child(const Job& job, int in, int out)
{
    ::prctl(PR_SET_PDEATHSIG, SIGKILL); // nobody is left to read the results
    ::signal(SIGPIPE, SIG_IGN);
    keep_memory();
    std::uint64_t number = 0;
    while (read_all(in, reinterpret_cast<char*>(&number), sizeof number)) {
        const Outcome outcome = do_job(job, number);
        const std::string& body = outcome.problem.empty() ? outcome.bytes : outcome.problem;
        const Head head{body.size(), outcome.problem.empty() ? Head::Good
                                     : outcome.is_input      ? Head::Input
                                                             : Head::Failed};
        if (!write_all(out, reinterpret_cast<const char*>(&head), sizeof head) ||
            !write_all(out, body.data(), body.size()))
            break;
    }
    ::_exit(0);
}

/// A process on this machine.
class Child
{
public:
    explicit Child(const Job& job)
    {
        int tasks[2], results[2];
        if (::pipe(tasks) != 0) throw Error(fmt::format("cannot start a process: {}", std::strerror(errno)));
        Handle task_end(tasks[0]);
        tasks_ = Handle(tasks[1]);
        if (::pipe(results) != 0) throw Error(fmt::format("cannot start a process: {}", std::strerror(errno)));
        Handle result_end(results[1]);
        results_ = Handle(results[0]);
        pid_ = solver::fork_to_one_thread(); // the other cores have processes of their own
        if (pid_ < 0) throw Error(fmt::format("cannot start a process: {}", std::strerror(errno)));
        if (pid_ == 0) {
            tasks_.close();
            results_.close();
            live_as_child(job, task_end.get(), result_end.get());
        }
    }
    Child(const Child&) = delete;
    Child& operator=(const Child&) = delete;
    ~Child()
    {
        // Its end of work is not told by closing the pipe: later children hold that end, too.
        if (pid_ <= 0) return;
        ::kill(pid_, SIGKILL);
        int status = 0;
        ::waitpid(pid_, &status, 0);
    }

    [[nodiscard]] bool send(std::size_t number)
    {
        task = number;
        const std::uint64_t wide = number;
        return write_all(tasks_.get(), reinterpret_cast<const char*>(&wide), sizeof wide);
    }
    /// The result of its task; nothing when it died over it.
    [[nodiscard]] std::optional<Outcome> receive()
    {
        Head head;
        if (!read_all(results_.get(), reinterpret_cast<char*>(&head), sizeof head)) return std::nullopt;
        std::string body(head.size, '\0');
        if (!read_all(results_.get(), body.data(), body.size())) return std::nullopt;
        if (head.kind == Head::Good) return Outcome{std::move(body), {}, false};
        return Outcome{{}, std::move(body), head.kind == Head::Input};
    }
    [[nodiscard]] int handle() const { return results_.get(); }
    [[nodiscard]] std::string how_it_died()
    {
        int status = 0;
        const bool is_known =
            ::waitpid(std::exchange(pid_, -1), &status, 0) > 0; // it has closed its pipe, so it is at its end
        if (!is_known || !WIFSIGNALED(status)) return "its process ended early";
        return fmt::format("its process was stopped by signal {}", WTERMSIG(status));
    }

    std::optional<std::size_t> task;

private:
    pid_t pid_ = -1;
    Handle tasks_, results_;
};

/// Hands out the numbers 0 … n − 1 to children and ranks.
class Office
{
public:
    Office(std::size_t n, const Job& job, const std::function<void(std::size_t, const Outcome&)>& done)
        : n_(n), job_(job), done_(done)
    {
    }

    void run(std::size_t n_children)
    {
        for (std::size_t i = 0; i < std::min(n_, n_children); ++i) children_.push_back(std::make_unique<Child>(job_));
        for (auto& child : children_) give(child);
        while (n_done_ < n_) {
            if (n_ranks() > 1) serve_ranks();
            wait_for_children(n_ranks() > 1 ? 2 : -1); // [ms]: ranks cannot be waited for at the same time
        }
        dismiss_ranks();
    }

    void dismiss_ranks()
    {
        next_ = n_;
        while (n_dismissed_ < n_ranks() - 1) {
            if (const std::optional<RankMessage> message = next_message()) {
                dismiss(message->rank);
                ++n_dismissed_;
            }
        }
    }

private:
    void give(std::unique_ptr<Child>& child)
    {
        if (next_ < n_ && !child->send(next_++)) lost(child); // it died before it could read
    }
    void finish(std::size_t number, const Outcome& outcome)
    {
        ++n_done_;
        done_(number, outcome);
    }
    void lost(std::unique_ptr<Child>& child)
    {
        const std::size_t number = *child->task;
        child->task.reset();
        const std::string how = child->how_it_died();
        child = std::make_unique<Child>(job_);
        finish(number, {{}, how, false});
        give(child);
    }
    void wait_for_children(int timeout)
    {
        std::vector<pollfd> waiting;
        std::vector<std::size_t> who;
        for (std::size_t i = 0; i < children_.size(); ++i)
            if (children_[i]->task) {
                waiting.push_back({children_[i]->handle(), POLLIN, 0});
                who.push_back(i);
            }
        if (::poll(waiting.data(), waiting.size(), timeout) <= 0) return;
        for (std::size_t i = 0; i < waiting.size(); ++i) {
            if (waiting[i].revents == 0) continue;
            auto& child = children_[who[i]];
            const std::optional<Outcome> outcome = child->receive();
            if (!outcome) {
                lost(child);
                continue;
            }
            const std::size_t number = *child->task;
            child->task.reset();
            give(child); // before the result is looked at: it need not wait
            finish(number, *outcome);
        }
    }
    void serve_ranks()
    {
        while (const std::optional<RankMessage> message = next_message()) {
            if (message->number) finish(*message->number, message->outcome);
            if (next_ < n_) {
                send_number(message->rank, next_++);
            } else {
                dismiss(message->rank);
                ++n_dismissed_;
            }
        }
    }

    std::size_t n_, next_ = 0, n_done_ = 0;
    int n_dismissed_ = 0;
    const Job& job_;
    const std::function<void(std::size_t, const Outcome&)>& done_;
    std::vector<std::unique_ptr<Child>> children_;
};

} // namespace

Outcome do_job(const std::function<std::string(std::size_t)>& job, std::size_t number)
{
    try {
        return {job(number), {}, false};
    } catch (const InputError& error) {
        return {{}, error.what(), true};
    } catch (const std::bad_alloc&) {
        return {{}, "not enough memory", false};
    } catch (const std::exception& error) {
        return {{}, error.what(), false};
    }
}

void compute_apart(std::size_t n, const Job& job, const std::function<void(std::size_t, const Outcome&)>& done,
                   const ApartOptions& options)
{
    if (options.ranks) join_ranks();
    if (my_rank() > 0) {
        solver::use_threads(1);
        keep_memory();
        work_for_first_rank(job);
        return;
    }
    const auto n_cores = static_cast<std::size_t>(options.at_most > 0 ? options.at_most : solver::n_threads());
    Office office(n, job, done);
    try {
        // With ranks each of them is one process; the first one's share is computed by one child.
        office.run(n_ranks() > 1 ? 1 : n_cores);
    } catch (...) {
        office.dismiss_ranks(); // or they would wait for ever
        throw;
    }
}

bool is_helper_rank()
{
    for (const char* name : {"OMPI_COMM_WORLD_RANK", "PMI_RANK"})
        if (const char* rank = std::getenv(name)) return std::string_view(rank) != "0";
    return false;
}

} // namespace stillwall::app
