#pragma once
// A source of plans and a computer of schemes that cost nothing: a box with a shelf whose modes are said by formulas.
// All figures invented.

#include "solver/choose/choices.h"
#include "solver/choose/scheme.h"
#include "tests/solver/cabinet_fixture.h"

#include <string>
#include <vector>

namespace made_up {

using namespace stillwall;
using namespace stillwall::solver;

inline constexpr double mm = 1e-3;

inline double number_of(const std::string& text)
{
    return split_number(text).value().number;
}

/// The box of cabinet_fixture with a driver; lengths are written in mm.
class BoxSource : public PlanSource
{
public:
    [[nodiscard]] CabinetPlan plan(const std::vector<Setting>& settings) const override
    {
        CabinetPlan plan = cabinet_fixture::box(cabinet_fixture::make({}));
        cabinet_fixture::add_driver(plan, 1);
        plan.openings[0].insert.small_signal.emplace();
        for (const Setting& s : settings) set(plan, s);
        return plan;
    }
    /// Knows two kinds: thicker boards, and a moved shelf.
    [[nodiscard]] CabinetPlan variant_of_text(const std::string& entry) const override
    {
        CabinetPlan changed = plan({});
        const auto value = [&](const std::string& path) -> std::optional<double> {
            const std::size_t at = entry.find(path);
            if (at == std::string::npos) return std::nullopt;
            return std::stod(entry.substr(entry.find(':', at) + 1)) * mm;
        };
        bool is_known = false;
        for (WallPlan& wall : changed.walls)
            if (const auto thickness = value("boards." + wall.name + ".thickness"))
                wall.layup.plies[0].thickness = *thickness, is_known = true;
        if (const auto place = value("braces.shelf.at")) changed.braces[0].at = *place, is_known = true;
        if (!is_known) throw Error("cannot be built");
        return changed;
    }
    [[nodiscard]] std::string scalar_at(const std::string& path) const override
    {
        return path == "boards.all.thickness" ? "18 mm" : path == "braces.shelf.at" ? "140 mm" : "";
    }
    [[nodiscard]] const WorkshopPlan& workshop() const override { return workshop_; }

private:
    static void set(CabinetPlan& plan, const Setting& s)
    {
        if (s.path == "braces.shelf" && s.takes_out) {
            plan.braces.clear();
        } else if (s.path == "braces.shelf.at") {
            plan.braces.at(0).at = number_of(s.text) * mm;
        } else if (s.path == "boards.all.thickness") {
            for (WallPlan& wall : plan.walls) wall.layup.plies[0].thickness = number_of(s.text) * mm;
            for (WallPlan* wall : {&plan.top, &plan.bottom}) wall->layup.plies[0].thickness = number_of(s.text) * mm;
        } else {
            throw InputError(s.where, s.key, "there is no " + s.path);
        }
    }

    WorkshopPlan workshop_;
};

/// A wall mode of one board; its level when it is played, or its coupling in decibels when not.
inline SchemeMode wall_mode(const std::string& board, double f_Hz, double level_dB, bool is_played)
{
    SchemeMode mode;
    mode.name = board + ": 1×1";
    mode.part = board;
    mode.f_Hz = f_Hz;
    mode.Q = 30;
    if (is_played)
        mode.worst = ModeAtListener{level_dB, f_Hz, judge_heard({level_dB, mode.Q, f_Hz, 2.2 * mode.Q / f_Hz})};
    else
        mode.coupling = std::pow(10, level_dB / 20);
    return mode;
}

/// Jobs one after another, the last one first, as nobody should mind.
inline void one_by_one(std::size_t n, const std::function<std::string(std::size_t)>& job,
                       const std::function<void(std::size_t, const Outcome&)>& done)
{
    for (std::size_t i = n; i-- > 0;) {
        Outcome outcome;
        try {
            outcome.bytes = job(i);
        } catch (const Error& error) {
            outcome.problem = error.what();
        }
        done(i, outcome);
    }
}

} // namespace made_up
