#pragma once
// What a run of `improve` found.

#include "app/input/cabinet_source.h"
#include "app/workers/scheme_report.h"

#include <string>
#include <vector>

namespace stillwall::app {

/// One cabinet that was tried.
struct Tried
{
    std::vector<std::string> values; ///< per choice: the value, "out", "in"; "–" where another choice makes it idle
    bool is_played = false;
    double first_Hz = 0, loudest_dB = 0, over_dB = 0; ///< over_dB: of the wall nearest to notice
    std::string first_board, loudest_board;
    double loudest_Hz = 0;
    int n_audible = 0, n_borderline = 0;
    double mass = 0, net_volume = 0;
    std::optional<double> price;
    bool is_within = true; ///< all limits are kept
};

struct FrontPoint
{
    Tried draft;                  ///< as the search saw it
    std::optional<Tried> checked; ///< computed again at normal accuracy
    std::vector<Setting> settings;
};

struct ImproveReport
{
    std::string title;
    ImproveAsk ask;
    std::vector<std::string> choices; ///< titles
    Tried drawn;                      ///< the cabinet as it stands in the file
    Tried drawn_checked;
    std::vector<Tried> tried;
    std::vector<FrontPoint> front; ///< best first
    int n_combinations = 0, n_excluded = 0, n_failed = 0;
    bool saw_all = true; ///< every combination was tried
    double f_max = 0;
    double seconds = 0;
};

/// What the aim counts, the smaller the better: level over notice, −first mode, price, weight.
[[nodiscard]] double merit(const ImproveAsk& ask, const Tried& tried);
/// Whether it does what the aim asks for besides: for the cheapest and the lightest, nothing is heard.
[[nodiscard]] bool is_good_enough(const ImproveAsk& ask, const Tried& tried);

[[nodiscard]] Tried tried_of(const ComputedScheme& scheme);

[[nodiscard]] std::string improve_text(const ImproveReport& report);
[[nodiscard]] std::string improve_json(const ImproveReport& report);
[[nodiscard]] SchemePlot improve_plot(const ImproveReport& report);
/// A `variants` entry that gives this cabinet, to be pasted into the file.
[[nodiscard]] std::string variant_entry(const std::string& name, const std::vector<Setting>& settings);

} // namespace stillwall::app
