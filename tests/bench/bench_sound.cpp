// Time, memory and error of the driven computation (`sound`) by accuracy, alternating in one process.
//
// Everything from reading the file to the verdicts, as the program does it but for writing. What is compared is what
// users read: frequency and level of the loudest resonances, at the listener where the finest computation hears each
// best. Fineness is the only thing that varies, so the differences say what a coarser mesh costs, not how near the
// finest is to the truth.

#include "app/input/cabinet_file.h"
#include "app/input/material_file.h"
#include "app/workers/sound_sizes.h"
#include "mesh/cabinet/build.h"
#include "mesh/cabinet/build_sound.h"
#include "mesh/gmsh/air_mesher.h"
#include "mesh/gmsh/mesher.h"
#include "mesh/gmsh/outer_mesher.h"
#include "solver/drive/sound.h"
#include "tests/bench/clock.h"
#include "tests/bench/memory.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <numeric>
#include <optional>

using namespace stillwall;
using solver::Accuracy;
using solver::SoundMode;
using solver::SoundResult;

namespace {

constexpr std::size_t n_compared = 10; // resonances
constexpr double near = 0.02;          // of frequency: twice what draft meshes are wrong by

struct Options
{
    std::vector<std::string> files;
    std::vector<Accuracy> accuracies{Accuracy::Draft, Accuracy::Normal, Accuracy::Fine};
    int rounds = 1;
    bool has_list = false; ///< every pair of resonances
};

struct Run
{
    double wall = 0, cpu = 0; ///< [s] in total
    double meshes = 0;        ///< [s]; the other stages stand in `result`
    double peak = 0;          ///< [MB] the process at its largest
    double growth = 0;        ///< [MB] of it above what was held before
    SoundResult result;
};

struct Difference
{
    std::string name;
    double frequency = 0; ///< [%]
    double level = 0;     ///< [dB]
};

void compute(const std::string& file, Accuracy accuracy, Run& run)
{
    const CabinetPlan plan = app::read_cabinet(file, app::load_materials(app::default_materials_dir()));
    const Cabinet cabinet = build_cabinet(plan);
    const SoundSetting setting = build_sound(plan, cabinet);
    const double f_high = setting.frequencies.back();

    const bench::Clock clock;
    const ShellMesh shell = mesh::mesh_shell(
        cabinet, {.element_size = solver::element_size_for(cabinet, f_high, app::sound_points_per_wave(accuracy))});
    const AirMesh air = mesh::mesh_air(cabinet, {.element_size = app::air_element_size(f_high, accuracy)});
    solver::SoundMeshes meshes{.shell = shell, .air = air, .outer = {}, .outer_top = {}};
    for (const app::OuterLevel& level : app::outer_levels(f_high, accuracy)) {
        meshes.outer.push_back(mesh::mesh_outer(cabinet, {.element_size = level.element_size}));
        meshes.outer_top.push_back(level.top_Hz);
    }
    run.meshes = clock.wall();
    run.result = solver::analyse_sound(cabinet, setting, meshes, {});
}

Run measure(const std::string& file, Accuracy accuracy)
{
    Run run;
    if (!bench::forget_peak())
        fmt::print(stderr, "bench_sound: the peak of memory cannot be reset, it is that of all runs so far\n");
    const double held = bench::memory_MB("VmRSS");
    const bench::Clock clock;
    compute(file, accuracy, run);
    run.wall = clock.wall();
    run.cpu = clock.cpu();
    run.peak = bench::memory_MB("VmHWM");
    run.growth = run.peak - held;
    return run;
}

// The listener who hears the mode loudest.
std::size_t loudest_at(const SoundMode& mode)
{
    const auto is_quieter = [](const auto& a, const auto& b) { return a.level_dB < b.level_dB; };
    return static_cast<std::size_t>(std::max_element(mode.heard.begin(), mode.heard.end(), is_quieter) -
                                    mode.heard.begin());
}

double loudest_dB(const SoundMode& mode)
{
    return mode.heard[loudest_at(mode)].level_dB;
}

// Indices of the loudest modes, loudest first.
std::vector<std::size_t> loudest_modes(const SoundResult& result)
{
    std::vector<std::size_t> order(result.modes.size());
    std::iota(order.begin(), order.end(), 0);
    std::erase_if(order, [&](std::size_t i) { return result.modes[i].heard.empty(); });
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return loudest_dB(result.modes[a]) > loudest_dB(result.modes[b]);
    });
    order.resize(std::min(order.size(), n_compared));
    return order;
}

// Whether `result` has a mode of this one's name close by.
bool has_namesake(const SoundMode& mode, const SoundResult& result)
{
    return std::any_of(result.modes.begin(), result.modes.end(), [&](const SoundMode& one) {
        return one.name == mode.name && std::abs(one.f_Hz - mode.f_Hz) < near * mode.f_Hz;
    });
}

// Of the same name the nearest in frequency that no other has been given. Else, since where two modes lie close the
// meshes decide which board a mode is named after, the nearest of that kind with a name that `finest` does not know
// there.
std::optional<std::size_t> partner(const SoundMode& mode, const SoundResult& coarse, const SoundResult& finest,
                                   const std::vector<bool>& is_taken, bool by_name)
{
    std::optional<std::size_t> best;
    const auto distance = [&](std::size_t i) { return std::abs(coarse.modes[i].f_Hz - mode.f_Hz); };
    for (std::size_t i = 0; i < coarse.modes.size(); ++i) {
        const SoundMode& one = coarse.modes[i];
        const bool fits = by_name
                              ? one.name == mode.name
                              : one.kind == mode.kind && distance(i) < near * mode.f_Hz && !has_namesake(one, finest);
        if (!is_taken[i] && fits && (!best || distance(i) < distance(*best))) best = i;
    }
    return best;
}

void print_worst(const std::vector<Difference>& all, double Difference::*what, const char* unit)
{
    const auto is_smaller = [&](const Difference& a, const Difference& b) {
        return std::abs(a.*what) < std::abs(b.*what);
    };
    const Difference& worst = *std::max_element(all.begin(), all.end(), is_smaller);
    double sum = 0;
    for (const Difference& one : all) sum += std::abs(one.*what);
    fmt::print("    {:4} mean {:.2f}, worst {:+.2f} ({})\n", unit, sum / static_cast<double>(all.size()), worst.*what,
               worst.name);
}

// Coarse minus finest. Where the coarse one has twins, two near modes of one name, the nearer may be the wrong one: the
// name tells of it.
Difference difference(const SoundMode& mode, const SoundMode& same, const SoundResult& coarse)
{
    const std::size_t listener = loudest_at(mode);
    const auto level_change = [&](const SoundMode& one) {
        return one.heard[listener].level_dB - mode.heard[listener].level_dB;
    };
    std::string name = fmt::format("{} at {:.0f} Hz, {:.0f} dB", mode.name, mode.f_Hz, loudest_dB(mode));
    if (same.name != mode.name) name += fmt::format("; in the other: {}", same.name);
    for (const SoundMode& twin : coarse.modes)
        if (&twin != &same && twin.name == mode.name && std::abs(twin.f_Hz - mode.f_Hz) < near * mode.f_Hz)
            name += fmt::format("; has a twin at {:+.2f} %, {:+.2f} dB", 100 * (twin.f_Hz / mode.f_Hz - 1),
                                level_change(twin));
    return {std::move(name), 100 * (same.f_Hz / mode.f_Hz - 1), level_change(same)};
}

// Prints how far `coarse` lies from `finest`. Means are of magnitudes and over the pairs of one name; the rest is told
// one by one.
void print_differences(const std::string& word, const SoundResult& coarse, const SoundResult& finest, bool has_list)
{
    const std::vector<std::size_t> loudest = loudest_modes(finest);
    std::vector<bool> is_taken(coarse.modes.size());
    std::vector<Difference> by_name, renamed;
    std::vector<std::size_t> unnamed;
    std::string lost;
    for (const std::size_t i : loudest) {
        const SoundMode& mode = finest.modes[i];
        const auto found = partner(mode, coarse, finest, is_taken, true);
        if (found) {
            is_taken[*found] = true;
            by_name.push_back(difference(mode, coarse.modes[*found], coarse));
        } else {
            unnamed.push_back(i);
        }
    }
    for (const std::size_t i : unnamed) { // after the names, so that none of theirs is taken
        const SoundMode& mode = finest.modes[i];
        const auto found = partner(mode, coarse, finest, is_taken, false);
        if (found) {
            is_taken[*found] = true;
            renamed.push_back(difference(mode, coarse.modes[*found], coarse));
        } else {
            lost += fmt::format("    without a partner: {} at {:.0f} Hz\n", mode.name, mode.f_Hz);
        }
    }
    fmt::print("  {} against the finest: {} of the {} loudest resonances paired by name\n", word, by_name.size(),
               loudest.size());
    if (!by_name.empty()) {
        print_worst(by_name, &Difference::frequency, "Hz %");
        print_worst(by_name, &Difference::level, "dB");
    }
    const auto print_pair = [](const Difference& d) {
        fmt::print("    {:+7.2f} % {:+7.2f} dB  {}\n", d.frequency, d.level, d.name);
    };
    if (has_list) std::for_each(by_name.begin(), by_name.end(), print_pair);
    std::for_each(renamed.begin(), renamed.end(), print_pair);
    fmt::print("{}", lost);
}

void print_costs(const std::vector<Accuracy>& accuracies, const std::vector<Run>& runs)
{
    fmt::print("  {:8}{:>8}{:>8}{:>8}{:>8}{:>8}{:>8}{:>8}{:>8}{:>9}{:>9}{:>8}{:>8}{:>8}\n", "", "wall s", "cpu s",
               "meshes", "walls", "air", "radiat.", "respon.", "ratio", "peak MB", "grown", "walls n", "air n",
               "panels");
    for (std::size_t i = 0; i < runs.size(); ++i) {
        const Run& run = runs[i];
        const SoundResult& r = run.result;
        fmt::print("  {:8}{:8.2f}{:8.2f}{:8.2f}{:8.2f}{:8.2f}{:8.2f}{:8.2f}{:8.3f}{:9.0f}{:9.0f}{:8}{:8}{:8}\n",
                   solver::accuracy_word(accuracies[i]), run.wall, run.cpu, run.meshes, r.seconds_walls, r.seconds_air,
                   r.seconds_radiation, r.seconds_response, run.wall / runs.back().wall, run.peak, run.growth,
                   r.n_shell, r.n_air, r.n_panels);
    }
}

void compare(const std::string& file, const Options& options)
{
    std::vector<Run> best(options.accuracies.size());
    for (int round = 0; round < options.rounds; ++round) {
        for (std::size_t i = 0; i < best.size(); ++i) {
            Run run = measure(file, options.accuracies[i]);
            if (round == 0 || run.wall < best[i].wall) best[i] = std::move(run);
        }
    }
    fmt::print("\n{}, best of {} round{}; seconds (walls and air run side by side)\n", file, options.rounds,
               options.rounds == 1 ? "" : "s");
    print_costs(options.accuracies, best);
    for (std::size_t i = 0; i + 1 < best.size(); ++i)
        print_differences(solver::accuracy_word(options.accuracies[i]), best[i].result, best.back().result,
                          options.has_list);
    std::fflush(stdout);
}

} // namespace

int main(int argc, char** argv)
{
    Options options;
    const std::map<std::string, Accuracy> words{
        {"draft", Accuracy::Draft}, {"normal", Accuracy::Normal}, {"fine", Accuracy::Fine}};
    CLI::App program("Time, memory and error of `sound` by accuracy");
    program.add_option("FILES", options.files, "cabinet files; default a sealed and a vented example")
        ->check(CLI::ExistingFile);
    program.add_option("--rounds", options.rounds, "rounds, the accuracies take turns")->check(CLI::Range(1, 1000));
    program
        .add_option("--accuracies", options.accuracies,
                    "of draft,normal,fine; the finest of them is what the others are held against")
        ->delimiter(',')
        ->transform(CLI::CheckedTransformer(words));
    program.add_flag("--list", options.has_list, "print every pair of resonances");
    CLI11_PARSE(program, argc, argv);
    std::sort(options.accuracies.begin(), options.accuracies.end());
    options.accuracies.erase(std::unique(options.accuracies.begin(), options.accuracies.end()),
                             options.accuracies.end());
    if (options.files.empty())
        options.files = {STILLWALL_EXAMPLES "/06-sealed-two-way/sealed.yaml",
                         STILLWALL_EXAMPLES "/07-vented-two-way/vented.yaml"};
    try {
        for (const std::string& file : options.files) compare(file, options);
    } catch (const Error& error) {
        fmt::print(stderr, "bench_sound: {}\n", error.what());
        return 1;
    }
    return 0;
}
