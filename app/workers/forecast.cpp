#include "app/workers/forecast.h"

#include "app/write/progress.h"
#include "mesh/cabinet/build.h"
#include "mesh/cabinet/opening.h"
#include "solver/linalg/threads.h"
#include "solver/modes/analysis.h"
#include "solver/modes/bending_wave.h"

#include <fmt/format.h>
#include <fmt/ostream.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <numbers>

#include <sys/resource.h>

namespace stillwall::app {
namespace {

constexpr double GB = 1e9;

// Measured on examples 1, 2, 7 and 8, a three-way of 1.1 m and cubes of 1 and 3 m, 200 Hz to 3 kHz, on a loaded machine
// of two cores (processor time, November 2026): within a factor of 1.5.
constexpr double bytes_at_rest = 60e6;          ///< program and libraries
constexpr double bytes_per_unknown = 9.3e3;     ///< stiffness, mass, factor
constexpr double bytes_per_entry = 35;          ///< of the shapes, one per unknown and mode
constexpr double bytes_per_air_node = 12e3;     ///< as bytes_per_unknown, in space: more fill
constexpr double bytes_per_panel_pair = 16 * 6; ///< complex, two solves at a time, three matrices each
constexpr double s_per_unknown = 9e-6, s_per_mode = 2.3e-8, s_per_mode_pair = 1.4e-10; ///< times n^1.2
constexpr double s_per_response = 1.5e-10;     ///< and frequency, times modes cubed
constexpr double losses = 2.5;                 ///< times as long where parts of the cabinet lose differently
constexpr double s_per_air_node = 4.5 / 1.3e7; ///< times n^1.6
constexpr double s_per_panel_cubed = 2e-10, s_per_panel_pair = 5e-8;

double area(const Board& board)
{
    return std::abs(signed_area(board.outline));
}

double length(const Opening& opening)
{
    const Polygon edge = opening_outline(opening, 24);
    double sum = 0;
    for (std::size_t i = 0; i < edge.size(); ++i) sum += (edge[(i + 1) % edge.size()] - edge[i]).norm();
    return sum;
}

/// Modes below f: N = A ω √(m/D)/(4π) = π A/λ², with λ the wave of free bending, over all boards.
double modes_below(const Cabinet& cabinet, double f)
{
    double n = 0;
    for (const Board& board : cabinet.boards)
        n += std::numbers::pi * area(board) /
             std::pow(solver::bending_wavelength(cabinet, board, std::numbers::pi / 4, f), 2);
    return n;
}

/// Elements of the open boards, of two rows along every joint, and of the rings about holes.
double shell_elements(const Cabinet& cabinet, double size)
{
    double n = 0;
    for (const Board& board : cabinet.boards)
        n += area(board) / (size * size) + 10 + 15 * static_cast<double>(board.openings.size());
    for (const Junction& junction : cabinet.junctions) {
        const double rows = junction.kind == Junction::Kind::Corner ? 2 : 3;
        n += 0.8 * rows * (junction.to - junction.from).norm() / size;
    }
    return n;
}

bool loses_unevenly(const Cabinet& cabinet)
{
    bool is_uneven = !cabinet.layers.empty() || !cabinet.supports.empty();
    for (const Junction& junction : cabinet.junctions) is_uneven = is_uneven || junction.spring;
    for (const Board& board : cabinet.boards)
        for (const Opening& opening : board.openings)
            is_uneven = is_uneven || opening.insert.basket || opening.insert.mount || opening.insert.rear_tie;
    for (const Material& m : cabinet.materials) is_uneven = is_uneven || m.eta.value != cabinet.materials[0].eta.value;
    return is_uneven;
}

void add_walls(const Cabinet& cabinet, double f_max, double size, Effort& effort)
{
    constexpr double unknowns_per_element = 24.3; // four nodes of their own, six unknowns each
    effort.shell_unknowns = unknowns_per_element * shell_elements(cabinet, size);
    effort.shell_modes = modes_below(cabinet, f_max);
    effort.bytes += effort.shell_unknowns * (bytes_per_unknown + bytes_per_entry * effort.shell_modes);
    effort.seconds +=
        std::pow(effort.shell_unknowns, 1.2) *
        (s_per_unknown + s_per_mode * effort.shell_modes + s_per_mode_pair * std::pow(effort.shell_modes, 2)) *
        (loses_unevenly(cabinet) ? losses : 1);
}

/// Ten-node tetrahedra: by volume, and about edges where they shrink (mesh/gmsh/internal/air_sizes.h): with a size s at
/// the edge that grows by 0.7 of the distance, some 75 nodes to every length s of it.
double air_nodes(const Cabinet& cabinet, double size)
{
    constexpr double per_volume = 10, per_step = 75, steps_round = 12; // a hole's outline takes some elements at least
    double n = per_volume * bookkeeping(cabinet).net_volume_m3 / std::pow(size, 3);
    for (const Board& board : cabinet.boards) {
        const bool is_wall = board.kind == Board::Kind::Wall;
        for (const Opening& opening : board.openings) {
            const bool is_port = is_wall && (is_open(opening) || opening.insert.kind == InsertPlan::Kind::Port);
            const double narrow = std::min(opening.width, std::max(opening.height, 1e-3));
            const double at_edge = is_port   ? std::clamp(narrow / 6, size / 12, size)
                                   : is_wall ? size / 2
                                             : std::min(size / 6, narrow / 14);
            n += per_step * (is_wall ? 1 : 2) * std::max(length(opening) / at_edge, steps_round);
        }
        for (std::size_t i = 0; i < board.outline.size(); ++i)
            if (!is_wall && !board.edge_on[i])
                n += per_step * 2 * (board.outline[(i + 1) % board.outline.size()] - board.outline[i]).norm() /
                     (size / 10);
    }
    return n;
}

double walls_area(const Cabinet& cabinet)
{
    double sum = 0;
    for (const Board& board : cabinet.boards)
        if (board.kind == Board::Kind::Wall) sum += area(board);
    return sum;
}

/// Solves at the frequencies of one level: see make_spans in modal_radiation.cpp.
void add_outside(const Cabinet& cabinet, const std::vector<OuterLevel>& levels, Effort& effort)
{
    double n_sources = 0;
    for (const Board& board : cabinet.boards)
        if (board.kind == Board::Kind::Wall) n_sources += static_cast<double>(board.openings.size());
    const double across = std::sqrt(walls_area(cabinet) / 2); // about the diagonal of a box
    double f_low = 0;
    for (const OuterLevel& level : levels) {
        const double n = 1.1 * walls_area(cabinet) / std::pow(level.element_size, 2) + 40 * n_sources;
        const double turn = std::numbers::pi * 2 * across / sound_speed * (level.top_Hz - f_low) / 2;
        effort.seconds += (5 + 0.7 * turn) * (s_per_panel_cubed * n * n * n + s_per_panel_pair * n * n);
        effort.panels = n;
        f_low = level.top_Hz;
    }
    effort.bytes += bytes_per_panel_pair * effort.panels * effort.panels;
}

std::string gigabytes(double bytes)
{
    return fmt::format("{:.1f} GB", bytes / GB);
}

/// The highest frequency at which a run fits, rounded down; nothing below 50 Hz.
std::optional<double> frequency_that_fits(const Forecast& forecast, double available)
{
    constexpr double lowest = 50, steps = 10; // [Hz]
    for (double f = std::floor(forecast.f_high / steps) * steps; f >= lowest; f = std::floor(0.95 * f / steps) * steps)
        if (forecast.effort(f, forecast.accuracy).bytes <= available) return f;
    return std::nullopt;
}

/// Modes of the air below f: Weyl's terms of volume, faces and edges.
double air_modes_below(const Cabinet& cabinet, double f)
{
    const double k = f / sound_speed, volume = bookkeeping(cabinet).net_volume_m3;
    return 4 * std::numbers::pi / 3 * volume * std::pow(k, 3) + std::numbers::pi / 4 * walls_area(cabinet) * k * k +
           1.5 * std::cbrt(volume) * k;
}

/// Walls and air together at every frequency asked for and at every resonance.
void add_response(const Cabinet& cabinet, double f_high, Effort& effort)
{
    constexpr double grid = 160, beyond = 1.2; // frequencies; the air's modes go this much higher
    const double modes = effort.shell_modes + air_modes_below(cabinet, beyond * f_high);
    effort.seconds += s_per_response * (grid + modes) * std::pow(modes, 3);
}

} // namespace

Effort effort_of_modes(const Cabinet& cabinet, double f_max, Accuracy accuracy)
{
    Effort effort;
    effort.bytes = bytes_at_rest;
    add_walls(cabinet, f_max, solver::element_size_for(cabinet, f_max, points_per_wave(accuracy)), effort);
    return effort;
}

Effort effort_of_sound(const Cabinet& cabinet, double f_high, Accuracy accuracy)
{
    const LargestEdges largest = largest_edges(cabinet, f_high);
    Effort effort;
    effort.bytes = bytes_at_rest;
    add_walls(cabinet, f_high, shell_element_size(cabinet, f_high, accuracy), effort);
    effort.air_nodes = air_nodes(cabinet, air_element_size(f_high, accuracy, largest.air));
    effort.bytes += bytes_per_air_node * effort.air_nodes;
    effort.seconds += s_per_air_node * std::pow(effort.air_nodes, 1.6);
    add_outside(cabinet, outer_levels(f_high, accuracy, largest.panel), effort);
    add_response(cabinet, f_high, effort);
    return effort;
}

Effort times(const Effort& one, std::size_t n, std::size_t n_at_a_time)
{
    Effort all = one;
    all.seconds *= static_cast<double>(n);
    all.bytes *= static_cast<double>(std::max<std::size_t>(1, std::min(n, n_at_a_time)));
    return all;
}

double available_memory()
{
    double bytes = std::numeric_limits<double>::infinity();
    std::ifstream machine("/proc/meminfo");
    for (std::string key, unit; machine >> key;) {
        double kB = 0;
        if (key == "MemAvailable:" && machine >> kB) bytes = 1024 * kB;
        std::getline(machine, unit);
    }
    // What is taken of the address space already: the first number of statm, in pages.
    rlimit limit{};
    double pages = 0;
    std::ifstream own("/proc/self/statm");
    if (::getrlimit(RLIMIT_AS, &limit) == 0 && limit.rlim_cur != RLIM_INFINITY && own >> pages)
        bytes = std::min(bytes, static_cast<double>(limit.rlim_cur) - 4096 * pages);
    return bytes;
}

std::string effort_words(const Effort& effort)
{
    constexpr double long_s = 20;
    if (effort.seconds <= long_s && effort.bytes <= GB) return {};
    std::string sizes = fmt::format("{:.0f} unknowns of the boards", effort.shell_unknowns);
    if (effort.panels > 0)
        sizes += fmt::format(", {:.0f} of the air, {:.0f} panels outside", effort.air_nodes, effort.panels);
    return fmt::format("about {} of processor time and {} of memory: {}", waiting_time(effort.seconds),
                       gigabytes(effort.bytes), sizes);
}

void announce(const Forecast& forecast, double available, const Streams& streams)
{
    const Effort effort = forecast.effort(forecast.f_high, forecast.accuracy);
    if (effort.bytes <= available) {
        if (const std::string words = effort_words(effort); !words.empty())
            fmt::print(streams.err, "stillwall: {}\n", words);
        return;
    }
    std::string remedy;
    if (const auto f = frequency_that_fits(forecast, available))
        remedy = fmt::format(fmt::runtime(forecast.lower), fmt::format("{:.0f}", *f)) + " fits";
    if (forecast.has_accuracy && forecast.accuracy != Accuracy::Draft) {
        const double draft = forecast.effort(forecast.f_high, Accuracy::Draft).bytes;
        if (draft <= available)
            remedy += fmt::format("{}--accuracy draft needs {}", remedy.empty() ? "" : ", ", gigabytes(draft));
    }
    if (remedy.empty()) remedy = "a smaller cabinet or a machine with more memory is needed";
    throw Error(fmt::format("to {:.0f} Hz this needs about {} of memory and {} are free; {}", forecast.f_high,
                            gigabytes(effort.bytes), gigabytes(available), remedy));
}

void announce_schemes(const std::vector<CabinetPlan>& plans, const solver::SchemeTask& task, const SchemeCount& count,
                      const Streams& streams)
{
    std::vector<Cabinet> cabinets;
    for (const CabinetPlan& plan : plans) {
        try {
            cabinets.push_back(build_cabinet(plan));
        } catch (const InputError&) {
            continue;
        }
    }
    const auto at_a_time = static_cast<std::size_t>(count.at_a_time > 0 ? count.at_a_time : solver::n_threads());
    const auto effort = [&](double f, Accuracy accuracy) {
        Effort most;
        for (const Cabinet& cabinet : cabinets) {
            const Effort one =
                task.plays ? effort_of_sound(cabinet, f, accuracy) : effort_of_modes(cabinet, f, accuracy);
            if (one.bytes > most.bytes) most = one;
        }
        return times(most, count.n, at_a_time);
    };
    announce({.effort = effort, .f_high = task.f_max, .accuracy = task.accuracy, .has_accuracy = count.has_accuracy},
             available_memory(), streams);
}

} // namespace stillwall::app
