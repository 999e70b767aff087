#pragma once
// From what was measured on a strip sawn from a board (frequencies of its modes, their decay, a static bending test) to
// moduli, loss and their uncertainties; data that contradict each other or the theory are refused. SI units.

#include "mesh/cabinet/error.h"
#include "solver/measured/bar.h"

#include <optional>
#include <string>
#include <vector>

namespace stillwall::solver {

/// A measured figure and half the width of its band.
struct Known
{
    double value = 0;
    double error = 0; ///< >= 0; read as one standard deviation
};

/// A figure taken over from elsewhere.
struct Assumed
{
    double low = 0, value = 0, high = 0;
};

/// One reading of a mode's damping, already a loss factor.
struct LossReading
{
    std::string how; ///< the user's key, for messages: "t60"
    double loss = 0; ///< [-]
};

struct ModeReading
{
    bool is_torsion = false;
    int number = 1; ///< 1 to highest_bar_mode
    Known f;        ///< [Hz]
    std::vector<LossReading> losses;
};

/// Three-point bending: differences of force and mid-span deflection on the straight part of the curve.
struct StaticReading
{
    double span = 0;                     ///< [m]
    Known force;                         ///< [N]
    Known deflection;                    ///< [m]
    Assumed dynamic_per_static{1, 1, 1}; ///< [-] used when nothing was rung
};

struct StripData
{
    Known length, width, thickness; ///< [m]
    Known mass;                     ///< [kg] of the whole strip
    BarEnds ends = BarEnds::FreeFree;
    double free_length = 0;             ///< [m] clamped strips: from the clamp's edge to the tip
    std::optional<Assumed> given_ratio; ///< E/G through the thickness, said by the user: used as it is
    std::optional<Assumed> usual_ratio; ///< the same for this kind of board: used when nothing better is known
    std::optional<Assumed> given_nu;    ///< in-plane Poisson's ratio; 0.3 with 0.2 to 0.4 when absent
    bool is_same_all_ways = false;      ///< no grain: the board is alike in every direction of its plane
    std::vector<ModeReading> modes;
    std::optional<StaticReading> bending_test;
};

/// Which part of the data a refusal is about.
enum class StripPart
{
    Whole,
    Length,
    Width,
    Thickness,
    Mass,
    Mode, ///< with the index
    Static
};

/// Data that contradict each other or the theory; what() is one sentence with the reason.
class StripError : public DomainError
{
public:
    StripError(StripPart part, const std::string& problem, std::optional<int> mode = {})
        : DomainError(problem), part_(part), mode_(mode)
    {
    }
    [[nodiscard]] StripPart part() const { return part_; }
    [[nodiscard]] std::optional<int> mode() const { return mode_; } ///< index into StripData::modes

private:
    StripPart part_;
    std::optional<int> mode_;
};

/// Where E/G through the thickness comes from.
enum class RatioSource
{
    Fitted,   ///< from the ratios of the bending modes
    Given,    ///< by the user
    Torsion,  ///< board alike in every direction: E/G of the torsion mode
    Usual,    ///< of this kind of board
    Isotropic ///< 2 (1 + ν)
};

struct ModeOutcome
{
    double f_model = 0;         ///< [Hz] of the bar with the moduli found
    std::optional<double> loss; ///< mean of its readings
};

struct StaticOutcome
{
    double E_apparent = 0;               ///< [Pa] shear counted as bending
    double E = 0;                        ///< [Pa] without the shear part
    double shear_share = 0;              ///< [-] deflection by shear over that by bending
    std::optional<double> dynamic_ratio; ///< E rung / E static, when both are known
};

/// Share of one input in the variance of E.
struct ErrorShare
{
    std::string input; ///< "thickness"
    double share = 0;  ///< [-]
};

struct StripResult
{
    Known rho;                ///< [kg/m³]
    Known E;                  ///< [Pa] along the strip, dynamic, shear and rotary inertia taken out exactly
    bool is_E_static = false; ///< from the static test times the assumed ratio
    Known E_over_G;           ///< [-] through the thickness
    RatioSource ratio_source = RatioSource::Usual;
    bool is_ratio_unresolved = false; ///< several bending modes were given but their scatter hides the shear
    Known G_t;                        ///< [Pa] through the thickness: E / E_over_G
    std::optional<Known> G_in;        ///< [Pa] in the plane of the board, from a torsion mode
    std::optional<Known> nu;          ///< [-] E / (2 G_in) − 1, boards alike in every direction
    /// [Pa] modulus of an isotropic board (G = E / (2 (1 + ν)) in all directions) that rings like this strip.
    Known E_isotropic;
    double nu_used = 0;             ///< [-] in the isotropic formulas
    std::optional<double> E_astm;   ///< [Pa] ASTM E1876, first bending mode of a free strip
    std::optional<double> G_astm;   ///< [Pa] likewise, first torsion mode
    std::vector<ModeOutcome> modes; ///< as in StripData::modes
    std::optional<StaticOutcome> bending_test;
    std::optional<Assumed> loss;      ///< [-] of the bending modes: lowest − 15 %, mean, highest + 15 %
    std::vector<ErrorShare> E_errors; ///< largest first; sums to 1, empty when no input has an error
};

/// Spread of a loss factor read off a decay by eye, counted into StripResult::loss (a judgement).
inline constexpr double loss_reading_spread = 0.15;

/// @throws StripError   data refused, see tests/bad_input/strip for the cases
/// @throws DomainError  a figure outside the range of bar.h
[[nodiscard]] StripResult evaluate_strip(const StripData& data);

/// Only the checks that need no result: sizes, density, order and likeness of modes, losses.
/// @throws StripError
void check_strip_data(const StripData& data);

/// Bar that vibrates: the whole strip, or what stands out of the clamp with its part of the mass.
[[nodiscard]] Bar vibrating_bar(const StripData& data);

} // namespace stillwall::solver
