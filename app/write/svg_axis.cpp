#include "app/write/numbers.h"
#include "app/write/svg_plot.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace stillwall::app {
namespace {

/// 1, 2 or 5 times a power of ten, so that about seven steps fill the range.
double nice_step(double range)
{
    const double rough = range / 7;
    const double decade = std::pow(10.0, std::floor(std::log10(rough)));
    for (const double factor : {1.0, 2.0, 5.0})
        if (rough <= factor * decade * 1.001) return factor * decade;
    return 10 * decade;
}

std::vector<std::pair<double, std::string>> linear_ticks(const PlotAxis& axis)
{
    const double step = axis.step ? *axis.step : nice_step(axis.high - axis.low);
    std::vector<std::pair<double, std::string>> ticks;
    const double slack = 1e-9 * step;
    for (double n = std::ceil((axis.low - slack) / step); n * step <= axis.high + slack; ++n)
        ticks.emplace_back(n * step, with_minus(shortest(n * step + 0.0, 4)));
    return ticks;
}

std::vector<std::pair<double, std::string>> logarithmic_ticks(const PlotAxis& axis)
{
    const bool is_long = axis.high / axis.low > 1001;
    std::vector<std::pair<double, std::string>> ticks;
    for (double decade = std::pow(10.0, std::floor(std::log10(axis.low))); decade <= axis.high; decade *= 10)
        for (const double factor : {1.0, 2.0, 5.0}) {
            const double value = factor * decade;
            if (value < axis.low * 0.999 || value > axis.high * 1.001 || (is_long && factor > 1)) continue;
            ticks.emplace_back(value, shortest(value, 3));
        }
    return ticks;
}

} // namespace

Pen pen(std::size_t i)
{
    static const std::array<Pen, 8> pens{{{"#0072B2", "", 2},
                                          {"#D55E00", "9 4", 2},
                                          {"#009E73", "2.5 3", 2.4},
                                          {"#CC79A7", "12 4 2.5 4", 2.2},
                                          {"#E69F00", "5 3", 2.2},
                                          {"#56B4E9", "14 3 2.5 3 2.5 3", 2.2},
                                          {"#555555", "", 1.6},
                                          {"#7A4B00", "3 5", 2.2}}};
    return pens[i % pens.size()];
}

std::vector<std::pair<double, std::string>> axis_ticks(const PlotAxis& axis)
{
    if (!axis.rows.empty()) return axis.rows;
    return axis.is_logarithmic ? logarithmic_ticks(axis) : linear_ticks(axis);
}

std::vector<double> spread(const std::vector<double>& wanted, double gap, double low, double high)
{
    const std::size_t n = wanted.size();
    if (n == 0) return {};
    if (n > 1) gap = std::min(gap, (high - low) / static_cast<double>(n - 1));
    std::vector<std::size_t> order(n);
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return wanted[a] < wanted[b]; });

    // Groups of neighbours that touch sit around the mean of what they want; merged from the front until none touch.
    struct Group
    {
        double sum = 0; ///< of wanted places, each less its offset in the group
        std::size_t size = 0;
        [[nodiscard]] double start() const { return sum / static_cast<double>(size); }
    };
    std::vector<Group> groups;
    const auto start_of = [&](const Group& group) {
        return std::clamp(group.start(), low, std::max(low, high - gap * static_cast<double>(group.size - 1)));
    };
    for (const std::size_t i : order) {
        groups.push_back({std::clamp(wanted[i], low, high), 1});
        while (groups.size() > 1) {
            const Group last = groups.back();
            Group& before = groups[groups.size() - 2];
            const double room = gap * static_cast<double>(before.size);
            if (start_of(before) + room <= start_of(last) + 1e-12) break;
            before.sum += last.sum - room * static_cast<double>(last.size);
            before.size += last.size;
            groups.pop_back();
        }
    }
    std::vector<double> placed(n);
    std::size_t next = 0;
    for (const Group& group : groups)
        for (std::size_t k = 0; k < group.size; ++k)
            placed[order[next++]] = start_of(group) + gap * static_cast<double>(k);
    return placed;
}

std::string xml_text(const std::string& text)
{
    std::string result;
    for (const char c : text) {
        if (c == '&')
            result += "&amp;";
        else if (c == '<')
            result += "&lt;";
        else if (c == '>')
            result += "&gt;";
        else if (c == '"')
            result += "&quot;";
        else if (static_cast<unsigned char>(c) >= 0x20U)
            result += c;
    }
    return result;
}

} // namespace stillwall::app
