#include "app/verbs/explain/explain_report.h"
#include "app/write/cabinet_report.h"
#include "app/write/numbers.h"
#include "app/write/text_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillwall::app {
namespace {

using enum Align;
using solver::CauseOdds;
using solver::ExplainedReading;

/// The model's own frequency and height for a cause.
std::string predicted(const ExplainReport& report, const CauseOdds& cause)
{
    if (!cause.candidate) return "";
    const solver::Candidate& c = report.explanation.suspects.candidates[static_cast<std::size_t>(*cause.candidate)];
    return fmt::format("{} ±{} Hz", in_hertz(c.f_Hz), in_hertz(c.f_Hz * c.f_band));
}

std::string answer(const ExplainReport& report)
{
    const auto& readings = report.explanation.readings;
    if (readings.empty())
        return wrapped(report.impedance != nullptr
                           ? "No wrinkle stands out of the noise of this sweep. That does not prove a quiet box: the "
                             "impedance sees only what moves the driver's frame or presses on its cone."
                           : "Nothing rings in these knocks.");
    const auto clearest = std::max_element(readings.begin(), readings.end(), [](const auto& a, const auto& b) {
        // Any wrinkle before any ring.
        const auto height = [](const ExplainedReading& r) {
            return r.reading.ohm ? r.reading.ohm->value : 1e-6 * std::pow(10, r.reading.level_dB / 20);
        };
        return height(a) < height(b);
    });
    const ExplainedReading& r = *clearest;
    const std::string what = r.reading.ohm ? "largest wrinkle" : "loudest ring";
    return wrapped(fmt::format("The {}, at {} Hz, is {}: {} ({}).", what, in_hertz(r.reading.f_Hz.value),
                               r.causes[0].odds > 0.9   ? "almost surely"
                               : r.causes[0].odds > 0.6 ? "probably"
                                                        : "perhaps",
                               cause_name(report, r.causes[0]), odds_words(r.causes[0].odds)));
}

std::string readings_table(const ExplainReport& report)
{
    TextTable table{{{"#", Right},
                     {"Hz", Left},
                     {"Q", Left},
                     {"Height", Left},
                     {"Most likely", Left, 34},
                     {"Odds", Right},
                     {"Model says", Left},
                     {"Or", Left, 30}},
                    {}};
    int number = 0;
    for (const ExplainedReading& r : report.explanation.readings) {
        std::string others;
        for (std::size_t i = 1; i < std::min<std::size_t>(3, r.causes.size()); ++i)
            if (r.causes[i].odds > 0.02)
                others += fmt::format("{}{} {}", others.empty() ? "" : "; ", cause_name(report, r.causes[i]),
                                      odds_words(r.causes[i].odds));
        const bool is_sweep = r.reading.ohm.has_value();
        table.rows.push_back(
            {std::to_string(++number), with_error(r.reading.f_Hz.value, r.reading.f_Hz.error),
             with_error(r.reading.Q.value, r.reading.Q.error),
             is_sweep ? with_error(r.reading.ohm->value, r.reading.ohm->error) + " ohm"
                      : fmt::format("{:.0f} dB, {}", r.reading.level_dB, measurement_word(report, r.reading)),
             cause_name(report, r.causes[0]), odds_words(r.causes[0].odds), predicted(report, r.causes[0]), others});
    }
    return table.text();
}

std::string box_words(const ExplainReport& report)
{
    if (!report.explanation.box) return "";
    const solver::BoxCheck& box = *report.explanation.box;
    std::string text = "Box: ";
    if (box.kind == solver::BoxKind::TwoHumps)
        text += fmt::format("two humps at {} and {} Hz, tuning at {} Hz", in_hertz(box.measured[0].f_Hz),
                            in_hertz(box.measured[1].f_Hz), in_hertz(box.tuning_measured));
    else
        text += fmt::format("one hump at {} Hz, Q {}", in_hertz(box.measured[0].f_Hz), shortest(box.measured[0].Q, 3));
    if (box.model.size() == box.measured.size()) {
        text +=
            box.kind == solver::BoxKind::TwoHumps
                ? fmt::format("; by the model {} and {} Hz, {} Hz", in_hertz(box.model[0].f_Hz),
                              in_hertz(box.model[1].f_Hz), in_hertz(box.tuning_model))
                : fmt::format("; by the model {} Hz, Q {}", in_hertz(box.model[0].f_Hz), shortest(box.model[0].Q, 3));
    }
    text += fmt::format(" (way '{}').", report.sound.ways.at(report.explanation.way).name);
    constexpr double far_apart = 1.5;
    if (std::max(box.largest_ratio, 1 / box.largest_ratio) > far_apart)
        text += " Measured and computed impedance are far apart in the bass: check the driver's figures, and that no "
                "crossover stood between.";
    return wrapped(text);
}

std::string missing_words(const ExplainReport& report)
{
    std::string text;
    for (const int c : report.explanation.missing) {
        const solver::Candidate& candidate = report.explanation.suspects.candidates[static_cast<std::size_t>(c)];
        text += fmt::format("{}{} ({} Hz, {} ohm)", text.empty() ? "" : "; ", candidate.name, in_hertz(candidate.f_Hz),
                            shortest(candidate.ohm, 2));
    }
    return text.empty() ? "" : wrapped("Computed but not seen: " + text + ".");
}

std::string left_out_words(const ExplainReport& report)
{
    std::string text;
    if (report.impedance != nullptr)
        for (const solver::Discarded& d : report.impedance->discarded)
            text += fmt::format("{}{} Hz, {} ohm ({})", text.empty() ? "" : "; ", in_hertz(d.f_Hz), shortest(d.ohm, 2),
                                d.reason);
    return text.empty() ? "" : wrapped("Stands out and is not taken for a resonance: " + text + ".");
}

/// What the readings say of the drawing, when they do not fit it as it stands.
std::string fidelity_words(const ExplainReport& report)
{
    const std::vector<double>& odds = report.explanation.odds.fidelity;
    constexpr double poor = 0.2;
    if (report.explanation.readings.empty() || odds.empty() || odds[0] > poor) return "";
    return wrapped(
        fmt::format("The readings fit the drawing poorly (as drawn: {}), so all odds allow for boards of other "
                    "stock, soft joints and loose drawing: check materials, thicknesses and braces.",
                    odds_words(odds[0])));
}

} // namespace

std::string explain_text(const ExplainReport& report)
{
    std::string text = cabinet_head({report.cabinet, report.books, report.outer_size});
    for (const std::string& line : report.understood) text += wrapped(line);
    text += '\n' + answer(report) + '\n';
    if (!report.explanation.readings.empty()) text += readings_table(report) + '\n';
    int number = 0;
    for (const ExplainedReading& r : report.explanation.readings) {
        ++number;
        if (r.proof && r.reading.ohm) text += wrapped(fmt::format("No {}: {}", number, proof_words(report, r)));
    }
    text += '\n' + box_words(report) + missing_words(report) + left_out_words(report) + fidelity_words(report);
    text +=
        wrapped("±: one standard deviation. Model says: where the computed resonance should lie, with the ranges of "
                "materials and what the drawing leaves out. Odds: by Bayes' rule over all readings together, from "
                "frequency, Q and height; they rest on stated doubts, and allow for a box that is not quite as drawn.");
    if (report.impedance != nullptr)
        text += wrapped("Caution: sweep at low level; start below what the driver stands and do not touch live mains.");
    return text;
}

} // namespace stillwall::app
