#include "app/verbs/modes/modes_report.h"

#include "app/verbs/modes/worth_json.h"
#include "app/write/antinodes_json.h"
#include "app/write/cabinet_json.h"
#include "app/write/finite.h"
#include "app/write/shear_note.h"
#include "mesh/cabinet/units.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cassert>
#include <cmath>

namespace stillwall::app {
namespace {

using Json = nlohmann::ordered_json;

Json board_shares(const solver::Mode& mode, const Cabinet& cabinet)
{
    Json list = Json::array();
    for (std::size_t i = 0; i < mode.boards.size(); ++i)
        list.push_back({{"board", cabinet.boards[i].name},
                        {"kinetic_share", finite(mode.boards[i].kinetic, "a board's kinetic share")},
                        {"strain_share", finite(mode.boards[i].strain, "a board's strain share")}});
    return list;
}

const char* kind_word(solver::LossShare::Kind kind)
{
    switch (kind) {
    case solver::LossShare::Kind::Board:
        return "board";
    case solver::LossShare::Kind::Layer:
        return "layer";
    case solver::LossShare::Kind::Joint:
        return "joint";
    case solver::LossShare::Kind::Support:
        return "support";
    case solver::LossShare::Kind::Driver:
        return "driver";
    case solver::LossShare::Kind::Bar:
        return "bar";
    case solver::LossShare::Kind::Basket:
        return "basket";
    }
    assert(false);
    return "";
}

Json loss_shares(const solver::Mode& mode)
{
    Json list = Json::array();
    for (const solver::LossShare& loss : mode.losses)
        list.push_back({{"kind", kind_word(loss.kind)},
                        {"part", loss.part},
                        {"share", finite(loss.share, "a share of the loss")}});
    return list;
}

/// The upper end of a Q's band may be unlimited: no number to give.
Json q_or_null(double Q)
{
    if (std::isnan(Q)) throw SolverError("a Q's bound is not a number");
    return std::isfinite(Q) ? Json(Q) : Json(nullptr);
}

Json drives(const solver::Mode& mode, const Cabinet& cabinet)
{
    Json list = Json::array();
    for (const solver::DriveCoupling& drive : mode.drives) {
        const double phi = finite(drive.phi, "a driver's coupling");
        Json item = {{"driver", drive.driver},
                     {"board", cabinet.boards.at(static_cast<std::size_t>(drive.board)).name},
                     {"coupling_per_sqrt_kg", phi}};
        // A driver that sits still in this mode feels an unlimited mass: no number to give.
        const double mass = 1 / (phi * phi);
        item["effective_mass_kg"] = std::isfinite(mass) ? Json(mass) : Json(nullptr);
        list.push_back(std::move(item));
    }
    return list;
}

/// What playing made of it; nothing where it was not played.
Json played_object(const solver::JudgedMode& judged)
{
    if (!judged.played || !judged.played->worst) return nullptr;
    const solver::ModeAtListener& worst = *judged.played->worst;
    return {{"frequency_hz", finite(judged.played->f_Hz, "a frequency")},
            {"q", finite(judged.played->Q, "a Q")},
            {"level_db", finite(worst.level_dB, "a level")},
            {"level_low_db", finite(worst.verdict.low_dB, "a level's lower end")},
            {"level_high_db", finite(worst.verdict.high_dB, "a level's upper end")},
            {"over_strict_db", finite(worst.verdict.over_strict_dB, "a distance from detection")},
            {"is_in_all_directions", !worst.listener},
            {"verdict", audibility_word(worst.verdict.word)},
            {"odds_audible", finite(worst.verdict.audible_odds, "odds")},
            {"odds_heard", finite(worst.verdict.heard_odds, "odds")}};
}

Json mode_object(const solver::Mode& mode, const solver::JudgedMode& judged, int number, const Cabinet& cabinet)
{
    const bool is_lossy = finite(mode.loss, "a loss factor") > 0;
    return {{"number", number},
            {"frequency_hz", finite(mode.f_Hz, "a frequency")},
            {"band_low_hz", finite(mode.f_low_Hz, "a frequency's lower bound")},
            {"band_high_hz", finite(mode.f_high_Hz, "a frequency's upper bound")},
            {"loss_factor", mode.loss},
            {"q", is_lossy ? Json(finite(mode.Q, "a Q")) : Json(nullptr)},
            {"ring_time_s", is_lossy ? Json(finite(mode.T60_s, "a ring time")) : Json(nullptr)},
            {"flag", flag_word(judged.flag)},
            {"reason", judged.reason},
            {"shape", mode.shape_name},
            {"boards", board_shares(mode, cabinet)},
            {"drives", drives(mode, cabinet)},
            {"volume_m2_per_sqrt_kg", finite(mode.volume, "a displaced volume")},
            {"coupling", finite(judged.coupling, "a coupling")},
            {"played", played_object(judged)},
            {"residual", finite(mode.residual, "a residual")},
            {"q_low", is_lossy ? q_or_null(mode.Q_low) : Json(nullptr)},
            {"q_high", is_lossy ? q_or_null(mode.Q_high) : Json(nullptr)},
            {"loss_shares", loss_shares(mode)}};
}

Json model_object(const ModesReport& report)
{
    const solver::ModesResult& result = report.result;
    Json model = {{"accuracy", accuracy_word(report.accuracy)},
                  {"upper_frequency_hz", report.f_max_Hz},
                  {"element_size_mm", report.element_size / units::mm},
                  {"elements", result.n_elements},
                  {"nodes", result.n_nodes},
                  {"unknowns", result.n_unknowns},
                  {"mass_kg", finite(result.mass_model, "the model's mass")},
                  {"rigid_modes", result.n_rigid},
                  {"rigid_modes_largest_hz", finite(result.rigid_max_Hz, "a rigid mode's frequency")},
                  {"modes_counted", result.n_below.value_or(-1)},
                  {"count_proved", result.is_proved},
                  {"largest_residual", finite(result.residual_max, "the largest residual")},
                  {"reading_s", report.seconds_read},
                  {"meshing_s", report.seconds_mesh},
                  {"assembly_s", result.seconds_assemble},
                  {"solution_s", result.seconds_solve},
                  {"loss_rounds", result.n_loss_rounds}};
    if (const auto& verified = result.verified) {
        model["verified_modes"] = verified->n_modes;
        model["verify_largest_relative_difference"] =
            verified->problem.empty() ? Json(finite(verified->largest_difference, "the solvers' difference"))
                                      : Json(nullptr);
        model["verify_agrees"] = verified->agrees;
        model["verify_s"] = verified->seconds;
    }
    if (report.meshed_again)
        model["meshed_again"] = {
            {"finer", report.meshed_again->finer},
            {"largest_error_before", finite(report.meshed_again->error_before, "an error of the mesh")}};
    model["is_played"] = report.played != nullptr;
    if (report.played) model["playing_s"] = report.seconds_play;
    if (result.worth) model["worth_s"] = result.seconds_worth;
    return model;
}

} // namespace

std::string modes_json(const ModesReport& report)
{
    Json modes = Json::array();
    const std::vector<ShearBand> bands = shear_bands(report.result.sensitivity);
    int number = 0;
    for (const solver::Mode& mode : report.result.modes) {
        const solver::JudgedMode& judged = report.judged.at(static_cast<std::size_t>(number));
        Json object = mode_object(mode, judged, ++number, report.cabinet);
        const auto m = static_cast<std::size_t>(number - 1);
        if (m < bands.size()) object["band_by_through_shear_hz"] = finite(bands[m].shear * mode.f_Hz, "a band's part");
        if (m < report.mesh_error.size()) object["mesh_error"] = finite(report.mesh_error[m], "an error of the mesh");
        object["antinodes"] = antinodes_json(report.cabinet, report.result.drawn, report.result.shapes, m);
        modes.push_back(std::move(object));
    }
    Json document = document_about({report.cabinet, report.books, report.outer_size});
    document["model"] = model_object(report);
    document["modes"] = std::move(modes);
    if (report.result.worth) document["worth"] = worth_json(*report.result.worth, report.result);
    return document.dump(2) + '\n';
}

} // namespace stillwall::app
