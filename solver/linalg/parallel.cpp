#include "solver/linalg/parallel.h"

#include "solver/linalg/blas.h"
#include "solver/linalg/threads.h"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace stillwall::solver {
namespace {

std::atomic<unsigned> most_threads{0}; ///< 0: as many as cores

} // namespace

void use_threads(int n)
{
    most_threads = static_cast<unsigned>(std::max(n, 1));
    internal::set_blas_threads(std::max(n, 1));
}

} // namespace stillwall::solver

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
    const unsigned most = most_threads;
    const std::size_t n_threads =
        std::min<std::size_t>(n, most > 0 ? most : std::max(1u, std::thread::hardware_concurrency()));
    std::vector<std::thread> threads;
    for (std::size_t t = 1; t < n_threads; ++t) threads.emplace_back(run);
    run();
    for (std::thread& thread : threads) thread.join();
    if (failure) std::rethrow_exception(failure);
}

} // namespace stillwall::solver::internal
