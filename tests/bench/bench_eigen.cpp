// Times of the eigen-solver against general ones on the same matrices, alternating in one process.
#include "mesh/cabinet/error.h"
#include "tests/bench/clock.h"
#include "tests/bench/matrix_market.h"
#include "tests/bench/memory.h"
#include "tests/bench/shell_like.h"
#ifdef STILLWALL_HAS_ARPACK
#include "tests/bench/arpack.h"
#endif

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <functional>
#include <map>
#include <numbers>

using namespace stillwall;
using solver::EigenOptions;
using solver::EigenResult;

namespace {

struct Options
{
    std::vector<int> cells{10, 19};
    std::vector<std::string> matrix;
    std::string write;
    std::vector<int> modes{40, 100};
    int rounds = 3;
    int block_size = EigenOptions{}.block_size;
    double tolerance = EigenOptions{}.tolerance;
    bool only_ours = false;
};

struct Solver
{
    std::string name;
    std::function<EigenResult()> run;
};

struct Record
{
    double wall = 1e300, cpu = 1e300; ///< [s] best of all rounds
    double memory = 0;                ///< [MB] peak above what was held before
    EigenResult last;
};

void measure(const Solver& solver, Record& record)
{
    // What earlier rounds freed must not count as held.
    if (!bench::forget_peak())
        fmt::print(stderr, "bench_eigen: the peak of memory cannot be reset, it is that of all runs so far\n");
    const double held = bench::memory_MB("VmRSS");
    const bench::Clock clock;
    record.last = {};
    EigenResult result = solver.run();
    record.wall = std::min(record.wall, clock.wall());
    record.cpu = std::min(record.cpu, clock.cpu());
    record.memory = std::max(record.memory, bench::memory_MB("VmHWM") - held);
    record.last = std::move(result);
    record.last.phi.resize(0, 0);
}

// [Hz] between mode n and the next.
double limit_above(const bench::MatrixPair& pair, int n, const EigenOptions& options)
{
    EigenOptions search = options;
    search.tolerance = 1e-4;
    search.f_max = 500;
    EigenResult found = lowest_modes(pair.K, pair.M, search);
    while (found.lambda.size() <= n) {
        search.f_max *= 1.2;
        found = lowest_modes(pair.K, pair.M, search);
    }
    return std::sqrt(0.5 * (found.lambda[n - 1] + found.lambda[n])) / (2 * std::numbers::pi);
}

// Seconds of our solver, for the growth.
double compare(const bench::MatrixPair& pair, int n, const Options& options)
{
    EigenOptions eigen{.tolerance = options.tolerance, .block_size = options.block_size};
    if (pair.K.rows() % eigen.nodes_dof != 0) eigen.nodes_dof = 1;
    eigen.f_max = limit_above(pair, n, eigen);
    std::vector<Solver> solvers{{"ours, with Sturm count", [&] { return lowest_modes(pair.K, pair.M, eigen); }}};
    if (!options.only_ours) {
        solvers.push_back({"Spectra over CHOLMOD", [&] { return lowest_modes_spectra(pair.K, pair.M, n, eigen); }});
#ifdef STILLWALL_HAS_ARPACK
        solvers.push_back(
            {"ARPACK over CHOLMOD", [&] { return bench::lowest_modes_arpack(pair.K, pair.M, n, eigen); }});
#endif
    }
    std::vector<Record> records(solvers.size());
    for (int round = 0; round < options.rounds; ++round) {
        for (std::size_t i = 0; i < solvers.size(); ++i) measure(solvers[i], records[i]);
    }
    fmt::print("\n{} unknowns, {} entries in K, {} modes below {:.0f} Hz, best of {} rounds\n", pair.K.rows(),
               pair.K.nonZeros(), n, eigen.f_max, options.rounds);
    fmt::print("{:24} {:>8} {:>8} {:>8} {:>8} {:>7} {:>9} {:>8} {:>7}\n", "", "wall s", "cpu s", "factor", "iterate",
               "solves", "residual", "memory", "ratio");
    for (std::size_t i = 0; i < solvers.size(); ++i) {
        const Record& r = records[i];
        fmt::print("{:24} {:8.3f} {:8.3f} {:8.3f} {:8.3f} {:7} {:9.1e} {:5.0f} MB {:6.2f}x\n", solvers[i].name, r.wall,
                   r.cpu, r.last.seconds_factor, r.last.seconds_iterate, r.last.n_solves, r.last.residual.maxCoeff(),
                   r.memory, r.wall / records[0].wall);
    }
    std::fflush(stdout);
    const EigenResult& ours = records[0].last;
    for (std::size_t i = 1; i < records.size(); ++i) {
        const double difference = ((records[i].last.lambda - ours.lambda).cwiseAbs() / ours.lambda[n - 1]).maxCoeff();
        fmt::print("largest difference of λ from {}: {:.1e} of the highest\n", solvers[i].name, difference);
    }
    return records[0].wall;
}

void run(const Options& options)
{
#ifndef STILLWALL_HAS_ARPACK
    if (!options.only_ours) fmt::print("ARPACK left out: libarpack2-dev was not there at configure time\n");
#endif
    std::map<int, std::vector<std::pair<double, double>>> growth; // by modes: unknowns, seconds
    const auto treat = [&](const bench::MatrixPair& pair) {
        for (const int n : options.modes)
            growth[n].emplace_back(static_cast<double>(pair.K.rows()), compare(pair, n, options));
    };
    if (options.matrix.empty()) {
        for (const int cells : options.cells) {
            const bench::MatrixPair pair = bench::shell_like_box(cells);
            if (!options.write.empty()) {
                bench::write_matrix_market(options.write + ".K.mtx", pair.K);
                bench::write_matrix_market(options.write + ".M.mtx", pair.M);
            }
            treat(pair);
        }
    } else {
        treat({bench::read_matrix_market(options.matrix[0]), bench::read_matrix_market(options.matrix[1])});
    }
    for (const auto& [n, points] : growth) {
        for (std::size_t i = 1; i < points.size(); ++i) {
            fmt::print("{} modes, {:.0f} to {:.0f} unknowns: time grows as n^{:.2f}\n", n, points[i - 1].first,
                       points[i].first,
                       std::log(points[i].second / points[i - 1].second) /
                           std::log(points[i].first / points[i - 1].first));
        }
    }
}

} // namespace

int main(int argc, char** argv)
{
    Options options;
    CLI::App app("Eigen-solver against general ones on the same matrices");
    app.add_option("--cells", options.cells,
                   "cells along the longest edge of the made-up box, one run each (10: 10k unknowns, 19: 36k)");
    app.add_option("--matrix", options.matrix, "K.mtx M.mtx: real matrices instead")
        ->expected(2)
        ->check(CLI::ExistingFile);
    app.add_option("--write", options.write, "write the last made-up pair to PREFIX.K.mtx and PREFIX.M.mtx");
    app.add_option("--modes", options.modes, "numbers of modes");
    app.add_option("--rounds", options.rounds, "rounds, the solvers take turns")->check(CLI::PositiveNumber);
    app.add_option("--block", options.block_size, "vectors per block");
    app.add_option("--tolerance", options.tolerance, "relative residual asked of every solver");
    app.add_flag("--only-ours", options.only_ours, "leave the general solvers out");
    CLI11_PARSE(app, argc, argv);
    try {
        run(options);
    } catch (const Error& error) {
        fmt::print(stderr, "bench_eigen: {}\n", error.what());
        return 1;
    }
    return 0;
}
