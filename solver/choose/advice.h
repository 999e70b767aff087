#pragma once
// What to change first: a few changes weighed by derivatives, the best of them computed again.

#include "solver/choose/choices.h"
#include "solver/choose/scheme.h"

namespace stillwall::solver {

/// A change that helps, and what it does.
struct AdvisedChange
{
    std::string words;               ///< "left and right 3 mm thicker"
    std::string entry;               ///< the variant that does it, one line
    std::optional<SchemeMode> same;  ///< the mode that was worst, found again by shape; nothing alike may be left
    std::optional<SchemeMode> worst; ///< the wall now nearest to notice
    double mass_change = 0, volume_change = 0; ///< [kg], [m³]

    /// Nearness of the wall now nearest to notice [dB]; silence without any.
    [[nodiscard]] double worst_over_dB() const { return worst ? nearness_dB(*worst) : -200; }
};

struct Advice
{
    bool is_played = false;
    std::optional<SchemeMode> worst;    ///< the wall nearest to notice, at draft accuracy
    std::vector<AdvisedChange> changes; ///< best first, at most three
    int n_computed = 0, n_weighed = 0;
    double seconds = 0;
};

struct AdviceTask
{
    bool plays = false;             ///< judge by the driven cabinet
    double f_max = 1500;            ///< [Hz]
    std::optional<double> worst_Hz; ///< the worst wall mode, where it is known: far above it nothing is computed again
};

/// Weighs boards 3 mm thicker, braces moved, sheets of damping and a new brace by the derivatives of the worst wall
/// mode, computes the six most promising cabinets again at draft accuracy and keeps the three that help most. The worst
/// wall is the one farthest over notice; where nothing can be played the most strongly coupled. Nothing that goes wrong
/// here spoils the run: what cannot be computed is left out.
/// @param plan  the cabinet as it is
[[nodiscard]] Advice advise(const PlanSource& source, const CabinetPlan& plan, const AdviceTask& task,
                            const SchemeComputer& computer, const ShowProgress& progress);

} // namespace stillwall::solver
