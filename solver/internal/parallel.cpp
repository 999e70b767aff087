#include "solver/internal/parallel.h"

#include "solver/internal/blas.h"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace stillwall::solver::internal {

void for_each_item(std::size_t n, const std::function<void(std::size_t)>& work)
{
    const BlasThreads one_thread(1);
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
    const std::size_t n_threads = std::min<std::size_t>(n, std::max(1u, std::thread::hardware_concurrency()));
    std::vector<std::thread> threads;
    for (std::size_t t = 1; t < n_threads; ++t) threads.emplace_back(run);
    run();
    for (std::thread& thread : threads) thread.join();
    if (failure) std::rethrow_exception(failure);
}

} // namespace stillwall::solver::internal
