#include "app/verbs/explain/explain_report.h"
#include "app/write/numbers.h"

#include <fmt/format.h>

#include <cassert>
#include <cmath>

namespace stillwall::app {
namespace {

using solver::Cause;
using solver::CauseOdds;
using solver::Proof;

const solver::Candidate* candidate_of(const ExplainReport& report, const CauseOdds& cause)
{
    return cause.candidate ? &report.explanation.suspects.candidates[static_cast<std::size_t>(*cause.candidate)]
                           : nullptr;
}

const solver::Background* background_of(const ExplainReport& report, const CauseOdds& cause)
{
    return cause.background ? &report.explanation.suspects.backgrounds[static_cast<std::size_t>(*cause.background)]
                            : nullptr;
}

/// A point on a board as one would measure it: from which of the cabinet's faces, how far.
std::string spot_words(const ExplainReport& report, int board, const Vector3d& at)
{
    const Vector3d& n = report.cabinet.board(board).frame.n;
    const Vector3d& size = report.outer_size;
    std::string text;
    const auto add = [&](double from_low, double from_high, const char* low, const char* high) {
        const bool is_low = from_low <= from_high;
        text += fmt::format("{}{} mm from its {} edge", text.empty() ? "" : " and ",
                            in_mm(std::round(1e3 * (is_low ? from_low : from_high)) * 1e-3), is_low ? low : high);
    };
    if (std::abs(n.x()) < 0.7) add(at.x(), size.x() - at.x(), "left", "right");
    if (std::abs(n.y()) < 0.7) add(at.y(), size.y() - at.y(), "front", "back");
    if (std::abs(n.z()) < 0.7) add(at.z(), size.z() - at.z(), "lower", "upper");
    return text;
}

std::string putty_words(const ExplainReport& report, const Proof::Lump& putty, double f_Hz, const std::string& first,
                        const std::string& second)
{
    const auto outcome = [&](double f) {
        return f_Hz - f < 0.002 * f_Hz ? std::string("stays") : fmt::format("falls to about {} Hz", in_hertz(f));
    };
    return fmt::format("Press {:.0f} g of putty onto the outside of {}, {}, and measure again: if it is {}, the "
                       "wrinkle {}; if it is {}, it {}.",
                       putty.mass * 1e3, report.cabinet.board(putty.board).name,
                       spot_words(report, putty.board, putty.at), first, outcome(putty.first_falls_to), second,
                       outcome(putty.second_falls_to));
}

} // namespace

std::string cause_name(const ExplainReport& report, const CauseOdds& cause)
{
    if (const solver::Candidate* c = candidate_of(report, cause))
        return c->cause == Cause::Rocking ? c->name + " (rocking)" : c->name;
    return background_of(report, cause)->name;
}

std::string cause_word(const ExplainReport& report, const CauseOdds& cause)
{
    const solver::Candidate* c = candidate_of(report, cause);
    switch (c != nullptr ? c->cause : background_of(report, cause)->cause) {
    case Cause::Wall:
        return "wall";
    case Cause::Air:
        return "air";
    case Cause::Port:
        return "port";
    case Cause::Rocking:
        return "rocking";
    case Cause::Driver:
        return "driver";
    case Cause::Nothing:
        return "none";
    }
    assert(false);
    return "";
}

std::string odds_words(double odds)
{
    if (odds > 0.995) return "> 99 %";
    if (odds < 0.01) return "< 1 %";
    return fmt::format("{:.0f} %", 100 * odds);
}

std::string measurement_word(const ExplainReport& report, const solver::ToExplain& reading)
{
    const auto board = report.explanation.evidence.measurements[static_cast<std::size_t>(reading.measurement)].board;
    return board ? "knock on " + report.cabinet.board(*board).name : "impedance";
}

std::string proof_words(const ExplainReport& report, const solver::ExplainedReading& explained)
{
    assert(explained.proof && explained.causes.size() > 1);
    const Proof& proof = *explained.proof;
    const auto short_name = [&](const CauseOdds& cause) {
        const std::string word = cause_word(report, cause);
        if (word == "none") return std::string("something else");
        if (word == "driver") return std::string("the driver");
        if (word == "rocking") return std::string("the cabinet's rocking");
        return "'" + cause_name(report, cause) + "'";
    };
    const std::string first = short_name(explained.causes[0]), second = short_name(explained.causes[1]);
    switch (proof.kind) {
    case Proof::Kind::Putty:
        return putty_words(report, *proof.putty, explained.reading.f_Hz.value, first, second);
    case Proof::Kind::Filling:
        return fmt::format("Put a loose handful of wadding into the middle of the box and measure again: a wave of the "
                           "air shrinks and "
                           "moves down, {} stays.",
                           cause_word(report, explained.causes[0]) == "air" ? second : first);
    case Proof::Kind::BlockPort:
        return fmt::format("Stop the port with a rag and measure again: what is the port's goes, {} stays.",
                           cause_word(report, explained.causes[0]) == "port" ? second : first);
    case Proof::Kind::FreeAir:
        return "Take the driver out, sweep it in free air held by its magnet, and give the sweep as --free-air: what "
               "it shows there too is its own.";
    case Proof::Kind::SwapDriver:
        return "Put another unit of the same driver in and measure again: what is the driver's own moves or goes, what "
               "is the box's stays.";
    case Proof::Kind::Feet:
        return "Stand the cabinet on soft foam and measure again: what comes from its feet or stand goes.";
    case Proof::Kind::Repeat:
        break;
    }
    return "Measure again at half the level with the leads moved: what belongs to neither driver nor box goes or "
           "moves.";
}

} // namespace stillwall::app
