// Children of compute_apart: how many threads they start. Counted, not sampled: this program's pthread_create stands
// before the C library's, for every library it loads.

#include "app/input/cabinet_source.h"
#include "app/workers/apart.h"
#include "app/workers/scheme_job.h"
#include "mesh/cabinet/error.h"
#include "solver/linalg/parallel.h"
#include "solver/linalg/threads.h"

#include <catch2/catch.hpp>

#include <atomic>
#include <filesystem>
#include <fstream>
#include <string>

#include <dlfcn.h>
#include <pthread.h>
#include <unistd.h>

namespace {

std::atomic<int> n_started{0};

} // namespace

extern "C" int pthread_create(pthread_t* thread, const pthread_attr_t* attributes, void* (*work)(void*), void* argument)
{
    using Create = int (*)(pthread_t*, const pthread_attr_t*, void* (*)(void*), void*);
    static const auto create = reinterpret_cast<Create>(dlsym(RTLD_NEXT, "pthread_create"));
    ++n_started;
    return create(thread, attributes, work, argument);
}

using namespace stillwall;
using namespace stillwall::app;

namespace {

/// A whole scheme: mesh, lossy modes with count and derivatives; or played, with air and outside.
void compute(const CabinetPlan& plan, bool plays)
{
    solver::SchemeTask task;
    task.accuracy = solver::Accuracy::Normal;
    task.f_max = plays ? 250 : 500;
    task.plays = plays;
    task.wants_worth = !plays;
    (void)compute_scheme(plan, {}, task);
}

CabinetPlan lossy_and_driven()
{
    return CabinetSource("examples/07-vented-two-way/decoupled.yaml").plan();
}

} // namespace

TEST_CASE("a child computes with one thread", "[app][apart]")
{
    const CabinetPlan plan = lossy_and_driven();
    // The parent's threads are there already, and none of the child's business.
    solver::internal::for_each_item(64, [](std::size_t) { ::usleep(1000); });
    if (solver::n_threads() > 1) REQUIRE(n_started > 0); // this counts
    std::string counts[2];
    compute_apart(
        2,
        [&](std::size_t i) {
            const int before = n_started;
            compute(plan, i == 1);
            return std::to_string(n_started - before) + " of " + std::to_string(solver::n_threads());
        },
        [&](std::size_t i, const Outcome& outcome) {
            INFO(outcome.problem);
            CHECK(outcome.problem.empty());
            counts[i] = outcome.bytes;
        },
        {.at_most = 1});
    CHECK(counts[0] == "0 of 1");
    CHECK(counts[1] == "0 of 1");
}

TEST_CASE("one pool, one setting: no more threads than asked for, nested or not", "[app][apart]")
{
    const int before = solver::n_threads();
    for (const int n : {1, 3}) {
        solver::use_threads(n);
        CHECK(solver::n_threads() == n);
        const int started = n_started;
        std::atomic<int> now{0}, most{0}, done{0};
        const auto count = [&] {
            int seen = ++now;
            for (int old = most; seen > old && !most.compare_exchange_weak(old, seen);) {
            }
            ::usleep(300);
            ++done;
            --now;
        };
        // A job beside the loops and loops within a loop, several times over.
        for (int round = 0; round < 4; ++round) {
            solver::internal::Aside<int> aside([&] {
                solver::internal::for_each_item(8, [&](std::size_t) { count(); });
                return 7;
            });
            solver::internal::for_each_item(
                4, [&](std::size_t) { solver::internal::for_each_item(8, [&](std::size_t) { count(); }); });
            CHECK(aside.get() == 7);
        }
        CHECK(done == 4 * (8 + 4 * 8));
        CHECK(most <= n);
        CHECK(n_started - started <= n - 1); // kept from round to round
    }
    solver::use_threads(before);
}

TEST_CASE("a job's exception comes to the one who asks", "[app][apart]")
{
    solver::internal::Aside<int> aside([]() -> int { throw SolverError("no"); });
    CHECK_THROWS_AS(aside.get(), SolverError);
    CHECK_THROWS_AS(solver::internal::for_each_item(9,
                                                    [](std::size_t i) {
                                                        if (i == 5) throw DomainError("five");
                                                    }),
                    DomainError);
    // Not asked for: neither waited for in vain nor thrown.
    solver::internal::Aside<int> forgotten([]() -> int { throw SolverError("no"); });
}
