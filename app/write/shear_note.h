#pragma once
// Whether a frequency's band is mostly ignorance of the shear through the thickness, which one offcut would tell.

#include "solver/modes/sensitivity.h"

#include <string>
#include <vector>

namespace stillwall::app {

/// Widths of a mode's band, relative to its frequency.
struct ShearBand
{
    double whole = 0; ///< low to high
    double shear = 0; ///< what the shear moduli through the thickness make alone; squares add
    double left = 0;  ///< were these measured to ±6 %, as a short offcut gives them

    /// Over half of the band's square is theirs, and the band is worth a measurement.
    [[nodiscard]] bool is_mostly_shear() const;
};

/// Of every mode; empty when the sensitivity is.
[[nodiscard]] std::vector<ShearBand> shear_bands(const solver::Sensitivity& sensitivity);

/// A printed row: its number, the mode it is of and that mode's frequency.
struct NotedMode
{
    std::size_t number = 0, mode = 0;
    double f_Hz = 0;
};

/// A paragraph on the rows whose bands are mostly shear: how much of the widest one, of which boards, and what to do;
/// empty when none is. At most 120 columns wide.
[[nodiscard]] std::string shear_note(const solver::Sensitivity& sensitivity, const std::vector<NotedMode>& rows);

/// Put behind the band of such a row.
inline constexpr const char* shear_mark = " *";

} // namespace stillwall::app
