#pragma once
// The changes worth most, as printed after `modes` and `sound`.

#include <string>
#include <vector>

namespace stillwall::app {

struct AdvisedChange
{
    std::string words;        ///< "left and right 3 mm thicker"
    std::string entry;        ///< the variant that does it, one line of YAML
    double f_Hz = 0;          ///< of the mode that was worst, found again by shape; 0: nothing alike is left
    double mode_dB = 0;       ///< its level there
    double worst_over_dB = 0; ///< of the wall now nearest to notice
    double worst_Hz = 0;
    double mass_change = 0, volume_change = 0; ///< [kg], [m³]
};

struct AdviceReport
{
    bool is_played = false;
    std::string mode;                           ///< the worst wall mode
    double f_Hz = 0, level_dB = 0, over_dB = 0; ///< as computed at draft accuracy
    std::vector<AdvisedChange> changes;         ///< best first, at most three
    int n_computed = 0, n_weighed = 0;
    double seconds = 0;
};

/// Empty when there is nothing to change.
[[nodiscard]] std::string advice_text(const AdviceReport& report);

/// A value for the key `advice`, as JSON text.
[[nodiscard]] std::string advice_json(const AdviceReport& report);

/// The text of a JSON object with one key more at its end.
[[nodiscard]] std::string with_key(const std::string& object, const std::string& key, const std::string& value);

} // namespace stillwall::app
