#include "app/verbs/modes/modes_report.h"
#include "app/write/csv.h"
#include "app/write/numbers.h"

namespace stillwall::app {
namespace {

/// The part that eats most, with its share: "left 60 %".
std::string eaten_by(const solver::Mode& mode)
{
    return mode.losses.empty() ? "" : loss_part(mode.losses.front()) + ' ' + in_percent(mode.losses.front().share);
}

std::vector<std::string> played_fields(const solver::JudgedMode& judged)
{
    if (!judged.played || !judged.played->worst) return std::vector<std::string>(6);
    const solver::ModeAtListener& worst = *judged.played->worst;
    return {csv_number(judged.played->f_Hz),      csv_number(judged.played->Q),
            csv_number(worst.level_dB),           csv_number(worst.verdict.audible_odds),
            csv_number(worst.verdict.heard_odds), audibility_word(worst.verdict.word)};
}

} // namespace

std::string modes_csv(const ModesReport& report)
{
    std::string text = "number,frequency_hz,band_low_hz,band_high_hz,loss_factor,q,ring_time_s,flag,reason,shape,"
                       "driver,effective_mass_kg,volume_m2_per_sqrt_kg,coupling,residual";
    for (const Board& board : report.cabinet.boards) text += ',' + csv_field("kinetic_share " + board.name);
    text += ",q_low,q_high,eaten_by,played_hz,played_q,level_db,odds_audible,odds_heard,verdict\n"; // behind the rest,
                                                                                                    // which keeps its
                                                                                                    // places

    int count = 0;
    for (const solver::Mode& mode : report.result.modes) {
        const solver::JudgedMode& judged = report.judged.at(static_cast<std::size_t>(count));
        const Drive drive = strongest_drive(mode, report.books.mass);
        const bool is_lossy = mode.loss > 0;
        std::vector<std::string> fields{std::to_string(++count),
                                        csv_number(mode.f_Hz),
                                        csv_number(mode.f_low_Hz),
                                        csv_number(mode.f_high_Hz),
                                        csv_number(mode.loss),
                                        is_lossy ? csv_number(mode.Q) : "",
                                        is_lossy ? csv_number(mode.T60_s) : "",
                                        flag_word(judged.flag),
                                        judged.reason,
                                        mode.shape_name,
                                        drive.driver,
                                        drive.driver.empty() ? "" : csv_number(drive.effective_mass),
                                        csv_number(mode.volume),
                                        csv_number(judged.coupling),
                                        csv_number(mode.residual)};
        for (const solver::BoardShare& share : mode.boards) fields.push_back(csv_number(share.kinetic));
        fields.insert(fields.end(), {is_lossy ? csv_number(mode.Q_low) : "", is_lossy ? csv_number(mode.Q_high) : "",
                                     eaten_by(mode)});
        for (const std::string& field : played_fields(judged)) fields.push_back(field);
        text += csv_line(fields);
    }
    return text;
}

} // namespace stillwall::app
