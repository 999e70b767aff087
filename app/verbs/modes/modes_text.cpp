#include "app/verbs/modes/modes_report.h"
#include "app/write/cabinet_report.h"
#include "app/write/numbers.h"
#include "app/write/shear_note.h"
#include "app/write/sound_facts.h"
#include "app/write/text_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace stillwall::app {
namespace {

constexpr const char* unbroken = "\u00A0"; // a space at which no cell is wrapped; plain in the finished table

std::string header(const ModesReport& report)
{
    return cabinet_head({report.cabinet, report.books, report.outer_size}) + '\n';
}

/// "left 60 %": the number stays with its name's last word when the cell is wrapped.
std::string share_words(const std::string& name, double share)
{
    std::string number = in_percent(share);
    number.replace(number.find(' '), 1, unbroken);
    return name + unbroken + number;
}

std::string boards_cell(const solver::Mode& mode, const Cabinet& cabinet)
{
    if (mode.moves_whole) return "whole cabinet on its supports";
    if (!mode.on_mount.empty()) return mode.on_mount + " on its mount";
    if (!mode.on_basket.empty()) return "motor of " + mode.on_basket + " on its basket";
    std::string text;
    for (const NamedShare& share : main_boards(mode, cabinet)) {
        if (!text.empty()) text += ", ";
        text += share_words(share.board, share.kinetic);
    }
    return text;
}

std::string losses_cell(const solver::Mode& mode)
{
    double others = 0; // than boards, which the column of motion names
    for (const solver::LossShare& loss : mode.losses)
        if (loss.kind != solver::LossShare::Kind::Board) others += loss.share;
    constexpr double told = 0.1;
    if (!mode.losses.empty() && others < told) return "the boards";
    std::string text;
    for (const solver::LossShare& loss : main_losses(mode)) {
        if (!text.empty()) text += ", ";
        text += share_words(loss_part(loss), loss.share);
    }
    return text.empty() ? "–" : text;
}

std::string drive_cell(const solver::Mode& mode, double cabinet_mass)
{
    const Drive drive = strongest_drive(mode, cabinet_mass);
    if (drive.driver.empty()) return "–";
    return fmt::format("{} kg {}", significant(drive.effective_mass, 2), drive.driver);
}

/// Gives the columns of boards and losses what the others leave of the page, each as much as it needs or else half.
void fit_to_page(TextTable& table, std::size_t boards, std::optional<std::size_t> losses)
{
    if (!losses) {
        table.columns[boards].max_width = table.width_left_for({boards});
        return;
    }
    const int left = table.width_left_for({boards, *losses});
    const int for_losses =
        std::min(table.natural_width(*losses), std::max(left / 2, left - table.natural_width(boards)));
    table.columns[*losses].max_width = for_losses;
    table.columns[boards].max_width = left - for_losses;
}

/// Level, odds and verdict of a mode that was played, or how it is driven.
void add_judgement(const ModesReport& report, const solver::Mode& mode, const solver::JudgedMode& judged,
                   std::vector<std::string>& row)
{
    if (!report.played) {
        row.push_back(drive_cell(mode, report.books.mass));
        row.push_back(flag_word(judged.flag));
        return;
    }
    if (!judged.played || !judged.played->worst) {
        row.insert(row.end(), {"–", "–", flag_word(judged.flag)});
        return;
    }
    const solver::ModeAtListener& worst = *judged.played->worst;
    row.push_back(in_decibels(worst.level_dB));
    row.push_back(odds_words(worst.verdict));
    row.push_back(verdict_words(worst.verdict));
}

std::string table(const ModesReport& report)
{
    using enum Align;
    const bool has_losses = losses_tell(report);
    TextTable table;
    table.columns = {{"#", Right}, {"Frequency Hz", Left}, {"Q", Left}, {"Ring ms", Right}, {"Boards that move", Left}};
    if (has_losses) table.columns.push_back({"Eaten by", Left});
    if (report.played)
        table.columns.insert(table.columns.end(), {{"dB", Right}, {"Odds %", Left}});
    else
        table.columns.push_back({"Drive: feels like", Left, has_losses ? 18 : 24});
    table.columns.push_back({"Verdict", Left});
    const std::vector<ShearBand> bands = shear_bands(report.result.sensitivity);
    std::size_t number = 0;
    for (const solver::Mode& mode : report.result.modes) {
        const bool is_shear = number < bands.size() && bands[number].is_mostly_shear();
        const solver::JudgedMode& judged = report.judged.at(number);
        std::vector<std::string> row{fmt::format("{}", ++number),
                                     with_band(mode.f_Hz, mode.f_low_Hz, mode.f_high_Hz) + (is_shear ? shear_mark : ""),
                                     q_words(mode), mode.loss > 0 ? significant(mode.T60_s * 1e3, 2) : "–",
                                     boards_cell(mode, report.cabinet)};
        if (has_losses) row.push_back(losses_cell(mode));
        add_judgement(report, mode, judged, row);
        table.rows.push_back(std::move(row));
    }
    fit_to_page(table, 4, has_losses ? std::optional<std::size_t>(5) : std::nullopt);
    std::string text = table.text();
    for (std::size_t at = 0; (at = text.find(unbroken, at)) != std::string::npos;) text.replace(at, 2, " ");
    return text;
}

std::string band_note(const ModesReport& report)
{
    std::vector<NotedMode> rows;
    for (const solver::Mode& mode : report.result.modes) rows.push_back({rows.size() + 1, rows.size(), mode.f_Hz});
    return shear_note(report.result.sensitivity, rows);
}

/// The modes to look at first, with their shapes and reasons.
std::string first_list(const ModesReport& report)
{
    using enum Align;
    TextTable list;
    list.columns = {{"#", Right},
                    {report.played ? "Hz, with air" : "Hz", Right},
                    {report.played ? "Listen here first" : "Most strongly driven", Left, 40},
                    {"Why", Left}};
    for (const std::size_t m : first_to_hear(report.judged)) {
        const solver::JudgedMode& judged = report.judged[m];
        const solver::Mode& mode = report.result.modes[m];
        list.rows.push_back({fmt::format("{}", m + 1), in_hertz(judged.played ? judged.played->f_Hz : mode.f_Hz),
                             mode.shape_name, judged.reason});
    }
    if (list.rows.empty())
        return report.played ? "\n  No wall should be heard.\n" : "\n  No mode is driven and moves air.\n";
    // The last column takes what the others leave.
    list.columns.back().max_width = page_width - list.width_without_last();
    return '\n' + list.text();
}

/// The air's own waves that may be heard, which have no row in this table.
std::string air_note(const ModesReport& report)
{
    if (!report.played) return {};
    const solver::SoundMode* worst = nullptr;
    int n = 0;
    for (const solver::SoundMode& mode : report.played->modes) {
        if (mode.kind != solver::Resonance::Kind::Air || !mode.worst || !may_be_heard(mode.worst->verdict)) continue;
        ++n;
        if (worst == nullptr || is_worse(*mode.worst, *worst->worst)) worst = &mode;
    }
    if (n == 0) return {};
    const std::string prefix = "air: ";
    const std::string name = worst->name.substr(worst->name.rfind(prefix, 0) == 0 ? prefix.size() : 0);
    return wrapped(
        fmt::format("Besides the walls, {} of the air inside may be heard{}: {} at {} Hz, {} dB; `sound` tells more.",
                    n == 1 ? "1 wave" : fmt::format("{} waves", n), n == 1 ? "" : ", clearest", name,
                    in_hertz(worst->f_Hz), in_decibels(worst->worst->level_dB)));
}

std::string legend(const ModesReport& report)
{
    std::string text =
        '\n' + wrapped("Frequency ±, Q (…): the bands that the ranges of materials, joints and feet allow. "
                       "Ring: time to die away by 60 dB.");
    text += wrapped(std::string("Boards: share of the motion.") +
                    (losses_tell(report) ? " Eaten by: share of the energy the mode loses." : ""));
    if (report.played)
        text += wrapped(
            "dB: the mode's own sound against the direct sound, at the listener or in all directions, whichever "
            "is worse, with the cabinet played at draft accuracy. Odds: that it is audible / at least "
            "borderline. `sound` tells more.");
    else
        text +=
            wrapped("Drive: the mass the best-coupled driver's frame feels; few kg = shaken hard, – = hardly (box "
                    "pressure still acts).") +
            wrapped("Not played: without the drivers' small-signal figures nobody can say how loud a mode is. The list "
                    "ranks by how strongly cone and air are coupled to it.");
    return text +
           wrapped("Frequencies are those of the box without the air inside: trust none beyond its band, and measure "
                   "before you blame.");
}

std::string mode_count(const ModesReport& report)
{
    const solver::ModesResult& result = report.result;
    const std::string counted =
        fmt::format("{} below {} Hz, besides {} rigid", result.modes.size(), in_hertz(report.f_max_Hz), result.n_rigid);
    if (result.is_proved) return counted + "; none is missing (proved by a Sturm count)";
    if (!result.n_below) return counted + "; not proved to be all of them";
    return counted + fmt::format("; NOT ALL FOUND: a Sturm count says {} in total", *result.n_below);
}

std::string totals(const ModesReport& report)
{
    const solver::ModesResult& result = report.result;
    const Bookkeeping& books = report.books;
    const double excess = books.mass > 0 ? result.mass_model / books.mass - 1 : 0;
    std::string text;
    text += fmt::format("\n  Mass    {}; the model weighs {} kg ({:+.1f} %)\n", mass_words(books),
                        in_kg(result.mass_model), std::round(excess * 1000) / 10 + 0.0); // + 0.0: no "-0.0"
    text += fmt::format("  Volume  {} litres net, {} inside the bare walls\n", in_litres(books.net_volume_m3),
                        in_litres(books.gross_volume_m3));
    text += fmt::format("  Modes   {}\n", mode_count(report));
    text += fmt::format("  Check   largest residual {:.0e}, rigid modes below {} Hz\n", result.residual_max,
                        significant(std::max(result.rigid_max_Hz, 1e-3), 1));
    if (result.verified) text += fmt::format("  Verify  {}\n", verify_words(*result.verified));
    text += fmt::format("  Mesh    {} elements of about {} mm, {} unknowns ({})\n", result.n_elements,
                        in_mm(report.element_size), result.n_unknowns, accuracy_word(report.accuracy));
    for (const std::string& words : mesh_words(report)) text += "          " + words + "\n";
    text += fmt::format("  Time    reading {}, mesh {}, assembly {}, modes {}{}\n", in_seconds(report.seconds_read),
                        in_seconds(report.seconds_mesh), in_seconds(result.seconds_assemble),
                        in_seconds(result.seconds_solve),
                        (result.worth ? ", worth " + in_seconds(result.seconds_worth) : "") +
                            (report.played ? ", played " + in_seconds(report.seconds_play) : ""));
    return text;
}

} // namespace

std::string modes_text(const ModesReport& report)
{
    if (report.result.modes.empty())
        return header(report) + fmt::format("  No board rings below {} Hz.\n", in_hertz(report.f_max_Hz)) +
               totals(report);
    return header(report) + table(report) + band_note(report) + first_list(report) + air_note(report) +
           worth_text(report) + legend(report) + totals(report);
}

} // namespace stillwall::app
