#pragma once
// Work for several threads. All of it shares one pool (threads.h), so that nested calls do not add up.

#include <cstddef>
#include <functional>
#include <memory>
#include <optional>

namespace stillwall::solver::internal {

/// Calls work(i) for i = 0 … n − 1 from several threads, with one BLAS thread each. The first exception is passed on.
void for_each_item(std::size_t n, const std::function<void(std::size_t)>& work);

/// A piece of work handed to the pool.
class Job;
[[nodiscard]] std::shared_ptr<Job> start(std::function<void()> work);
/// Returns when the job is done; does it here when no thread has begun it. Passes its exception on.
void finish(Job& job);
/// The same without its exception and, when no thread has begun it, without the work.
void abandon(Job& job);

/// Computes a value beside the caller when a thread is free, else when it is asked for.
template <class T> class Aside
{
public:
    explicit Aside(std::function<T()> work) : job_(start([this, work = std::move(work)] { value_.emplace(work()); })) {}
    ~Aside() { abandon(*job_); }
    Aside(const Aside&) = delete;
    Aside& operator=(const Aside&) = delete;

    /// The value, once.
    [[nodiscard]] T get()
    {
        finish(*job_);
        return std::move(*value_);
    }

private:
    std::optional<T> value_; ///< before the job, which writes it
    std::shared_ptr<Job> job_;
};

} // namespace stillwall::solver::internal
