#include "solver/linalg/parallel.h"

#include "solver/linalg/blas.h"
#include "solver/linalg/threads.h"

#include <algorithm>
#include <atomic>
#include <condition_variable>
#include <deque>
#include <exception>
#include <mutex>
#include <system_error>
#include <thread>
#include <utility>
#include <vector>

#include <sched.h>
#include <unistd.h>

namespace stillwall::solver::internal {

class Job
{
public:
    explicit Job(std::function<void()> the_work) : work(std::move(the_work)) {}

    std::function<void()> work;
    std::exception_ptr failure;
    enum class State
    {
        Waiting,
        Running,
        Done
    } state = State::Waiting; ///< under the pool's mutex
};

namespace {

using State = Job::State;

/// The caller's thread and n − 1 more. A thread that waits for a job takes up others meanwhile: a job waits for jobs
/// that it started itself, so none waits in a circle.
class Pool
{
public:
    explicit Pool(int n) : size_(n)
    {
        set_blas_threads(n);
        set_openmp_threads(n);
    }
    ~Pool()
    {
        {
            const std::scoped_lock lock(mutex_);
            is_over_ = true;
        }
        changed_.notify_all();
        for (std::thread& thread : threads_) thread.join();
    }
    Pool(const Pool&) = delete;
    Pool& operator=(const Pool&) = delete;

    [[nodiscard]] int size() const { return size_; }

    void add(const std::shared_ptr<Job>& job)
    {
        if (size_ == 1) return; // done when it is asked for
        {
            const std::scoped_lock lock(mutex_);
            waiting_.push_back(job);
            if (n_idle_ < waiting_.size() && static_cast<int>(threads_.size()) < size_ - 1) start_thread();
        }
        changed_.notify_all();
    }

    void finish(Job& job)
    {
        std::unique_lock lock(mutex_);
        while (job.state != State::Done) {
            if (job.state == State::Waiting)
                run(job, lock);
            else if (!run_next(lock))
                changed_.wait(lock, [&] { return job.state == State::Done || !waiting_.empty(); });
        }
    }

    void abandon(Job& job)
    {
        std::unique_lock lock(mutex_);
        if (job.state == State::Waiting) {
            forget(job);
            job.state = State::Done;
            job.work = nullptr;
        }
        changed_.wait(lock, [&] { return job.state == State::Done; });
    }

private:
    void start_thread()
    {
        try {
            threads_.emplace_back([this] { serve(); });
        } catch (const std::system_error&) {
            // The system gives no more: whoever asks for the work does it.
        }
    }
    void serve()
    {
        set_openmp_threads(1);
        std::unique_lock lock(mutex_);
        while (!is_over_) {
            if (run_next(lock)) continue;
            ++n_idle_;
            changed_.wait(lock, [&] { return is_over_ || !waiting_.empty(); });
            --n_idle_;
        }
    }
    void forget(const Job& job)
    {
        std::erase_if(waiting_, [&](const auto& other) { return other.get() == &job; });
    }
    bool run_next(std::unique_lock<std::mutex>& lock)
    {
        if (waiting_.empty()) return false;
        const std::shared_ptr<Job> job = waiting_.front();
        run(*job, lock);
        return true;
    }
    void run(Job& job, std::unique_lock<std::mutex>& lock)
    {
        forget(job);
        job.state = State::Running;
        lock.unlock();
        try {
            std::exchange(job.work, nullptr)();
        } catch (...) {
            job.failure = std::current_exception();
        }
        lock.lock();
        job.state = State::Done;
        changed_.notify_all();
    }

    const int size_;
    std::mutex mutex_;
    std::condition_variable changed_; ///< a job came, began or ended
    std::deque<std::shared_ptr<Job>> waiting_;
    std::vector<std::thread> threads_;
    std::size_t n_idle_ = 0;
    bool is_over_ = false;
};

int cores_to_run_on()
{
    cpu_set_t set;
    CPU_ZERO(&set);
    if (::sched_getaffinity(0, sizeof set, &set) == 0) return std::max(1, CPU_COUNT(&set));
    return static_cast<int>(std::max(1u, std::thread::hardware_concurrency()));
}

/// Never destroyed: its threads wait for work until the process ends.
std::unique_ptr<Pool>& holder()
{
    static auto* pool = new auto(std::make_unique<Pool>(cores_to_run_on()));
    return *pool;
}

Pool& pool()
{
    return *holder();
}

} // namespace

std::shared_ptr<Job> start(std::function<void()> work)
{
    auto job = std::make_shared<Job>(std::move(work));
    pool().add(job);
    return job;
}

void finish(Job& job)
{
    pool().finish(job);
    if (job.failure) std::rethrow_exception(job.failure);
}

void abandon(Job& job)
{
    pool().abandon(job);
}

void for_each_item(std::size_t n, const std::function<void(std::size_t)>& work)
{
    const OneBlasThread one_thread;
    std::atomic<std::size_t> next{0};
    std::exception_ptr failure;
    std::mutex guard;
    const auto run = [&] {
        for (std::size_t i = next++; i < n; i = next++) {
            try {
                work(i);
            } catch (...) {
                const std::scoped_lock lock(guard);
                if (!failure) failure = std::current_exception();
                next = n;
            }
        }
    };
    std::vector<std::shared_ptr<Job>> others;
    for (std::size_t t = 1; t < std::min<std::size_t>(n, pool().size()); ++t) others.push_back(start(run));
    run();
    for (const auto& other : others) abandon(*other);
    if (failure) std::rethrow_exception(failure);
}

} // namespace stillwall::solver::internal

namespace stillwall::solver {

void use_threads(int n)
{
    internal::holder() = std::make_unique<internal::Pool>(std::max(n, 1));
}

int fork_to_one_thread()
{
    auto& holder = internal::holder();
    // Told before: an OpenBLAS that is told after a fork starts its threads anew first.
    const internal::OneBlasThread hold;
    const int process = ::fork();
    if (process == 0) {
        (void)holder.release(); // its threads are not here to be joined
        use_threads(1);
    }
    return process;
}

int n_threads()
{
    return internal::pool().size();
}

} // namespace stillwall::solver
