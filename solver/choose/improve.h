#pragma once
// The search behind `improve`: stock by enumeration, numbers by optimisation, limits before anything is computed.

#include "solver/choose/aim.h"

namespace stillwall::solver {

struct ImproveTask
{
    double f_max = 1500; ///< [Hz]
    int tries = 120;     ///< cabinets computed in the search
    unsigned seed = 1;   ///< of the sample where there are too many combinations
};

/// A cabinet worth looking at.
struct FrontPoint
{
    Tried draft;                  ///< as the search saw it
    std::optional<Tried> checked; ///< computed again at normal accuracy; nothing: that failed
    std::vector<Setting> settings;

    /// As well as it is known.
    [[nodiscard]] const Tried& known() const { return checked ? *checked : draft; }
};

struct Improved
{
    Tried drawn; ///< the cabinet as it stands in the description, at normal accuracy
    std::vector<Tried> tried;
    std::vector<FrontPoint> front; ///< best first
    int n_combinations = 0, n_excluded = 0, n_failed = 0;
    bool saw_all = true; ///< every combination was tried
};

/// Tries every combination of listed values (a seeded sample where there are more than tries), moves the numbers of the
/// most promising ones, and computes the trade-off front again at normal accuracy. The same task gives the same answer.
/// @throws InputError  levels are sought but cannot be computed; the limits leave nothing, saying which one bites
/// @throws Error  nothing could be computed
[[nodiscard]] Improved improve(const PlanSource& source, const ImproveAsk& ask, const ImproveTask& task,
                               const SchemeComputer& computer, const ShowProgress& progress);

} // namespace stillwall::solver
