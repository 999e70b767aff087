#pragma once
// What a run of `vary` found: a line per variant, in a file that grows as they come, and plots.

#include "app/write/svg_plot.h"
#include "solver/choose/scheme.h"

#include <functional>
#include <string>
#include <vector>

namespace stillwall::app {

/// The few figures of a variant that are kept.
struct VaryRow
{
    std::vector<std::string> values;                                  ///< as set, one per axis
    std::string problem;                                              ///< why there are no figures; empty: there are
    double first_Hz = 0, loudest_dB = 0, loudest_Hz = 0, over_dB = 0; ///< over_dB: of the wall nearest to notice
    std::string first_board, loudest_board;
    int n_audible = 0, n_borderline = 0, n_air_heard = 0;
    double mass = 0, net_volume = 0, board_area = 0; ///< [kg], [m³], [m²]
    std::optional<double> tuning_Hz, price;
    double seconds = 0;
    /// Wall modes, ascending.
    struct ModePoint
    {
        double f_Hz = 0;
        double level_dB = 0; ///< played only
        char word = 'm';     ///< a, b, i as the verdict; m: not played
    };
    std::vector<ModePoint> modes;
};

struct VaryReport
{
    std::string title;
    std::vector<std::string> axes;                ///< "left thickness" or the paths, for titles
    std::vector<std::vector<std::string>> values; ///< per axis
    bool is_played = false;
    double f_max = 0;
    std::string accuracy;
    std::vector<VaryRow> rows; ///< first axis outer; those not computed have neither figures nor a problem
};

/// Whether it was computed.
[[nodiscard]] bool has_figures(const VaryRow& row);

/// Places of the computed variants that have a wall mode, the best first.
[[nodiscard]] std::vector<std::size_t> best_rows(const VaryReport& report);

[[nodiscard]] VaryRow row_of(const std::vector<std::string>& values, const solver::ComputedScheme& scheme);

/// The header and the lines of the file. `run` tells lines of one cabinet and setting from those of others.
[[nodiscard]] std::string vary_header(const std::vector<std::string>& axes);
[[nodiscard]] std::string vary_line(const VaryRow& row, const std::string& run);

/// Reads the lines back, calling `found` for each.
/// @throws InputError  with the line: a different header, another run, a line of the wrong length or with no numbers
void read_vary_lines(const std::string& text, const std::string& file, const std::vector<std::string>& axes,
                     const std::string& run, const std::function<void(VaryRow)>& found);

/// All rows with their modes, for other programs and the page.
[[nodiscard]] std::string vary_json(const VaryReport& report);
[[nodiscard]] std::string vary_text(const VaryReport& report);
[[nodiscard]] std::vector<PlotFile> vary_plots(const VaryReport& report);

} // namespace stillwall::app
