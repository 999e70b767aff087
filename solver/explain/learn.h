#pragma once
// From measured frequencies and Qs of known modes to the moduli and losses of the boards: Gauss–Newton steps towards
// the most probable values, with the model's own derivatives and the library's ranges as prior.

#include "solver/measured/strip.h" // Known
#include "solver/modes/sensitivity.h"

#include <functional>
#include <optional>

namespace stillwall::solver {

/// What was measured of one of the model's modes.
struct ModeMeasured
{
    int mode = 0; ///< row of Sensitivity
    Known f_Hz;
    std::optional<Known> Q;
};

/// The model with some figures changed; its modes are those of the first model, followed by their shapes.
struct ModelAnswer
{
    Eigen::VectorXd f_Hz; ///< per mode; NaN for one that was lost
    Eigen::VectorXd Q;
    Sensitivity sensitivity;
};
/// @param factors  on the typical values of the first model's Sensitivity::figures, > 0; empty: all 1
using Model = std::function<ModelAnswer(const std::vector<double>& factors)>;

struct LearnSetting
{
    double model_error = 0.02;     ///< of ln f, independent from mode to mode: what no modulus mends
    double loss_model_error = 0.3; ///< of ln Q: joints, air, reading
    double least_share =
        0.05; ///< of a reading's prior variance; a figure that makes less of every reading is not asked
    double stands_above = 0.7; ///< of the prior's error: a figure known no better than that is left as it was
    int most_rounds = 6;
    /// r.m.s. of ln (measured / model) that frequencies may be off after all: figures that leave more are not taken.
    /// Good fits leave 0.4 to 0.8 %, mistaken ones 2.3 to 3.7 % (measured on blind boxes).
    double poor_fit = 0.015;
};

struct LearnedFigure
{
    UncertainFigure figure;
    double factor = 1; ///< most probable value over the typical one
    double error = 0;  ///< of ln factor, one standard deviation
    double prior_error = 0;
    bool is_learned = false; ///< false: the prior stands, factor 1
};

/// One kind of figures from one kind of readings.
struct Lesson
{
    std::vector<LearnedFigure> figures; ///< those the readings depend on
    int n_readings = 0;
    bool stands = false;                        ///< fewer readings than figures: nothing was changed
    bool is_poor = false;                       ///< the fit leaves too much: nothing was changed
    double misfit_before = 0, misfit_after = 0; ///< r.m.s. of ln (measured / model)
    double left_over = 0;                       ///< r.m.s. of that part of it which no figure's doubt can make
};

struct LearnResult
{
    Lesson stiffness;          ///< moduli from frequencies
    Lesson loss;               ///< material losses from Qs
    std::vector<int> outliers; ///< places in the readings: off by over 4 standard deviations after all
    int n_rounds = 0;
};

/// Minimum over x = ln factors of (r − S x)ᵀ R⁻¹ (r − S x) + xᵀ P⁻¹ x, the model computed anew at each step and the
/// step halved until the sum falls; R holds the readings' and the model's errors and what figures that are not asked
/// (densities, joints, those of small share) may do, P the prior. Range ends are range_deviations out.
/// @throws DomainError  a mode that the model does not have
/// @source A. Tarantola, Inverse Problem Theory (2005), section 3.2: least squares with a Gaussian prior
[[nodiscard]] LearnResult learn(const std::vector<ModeMeasured>& readings, const Model& model,
                                const LearnSetting& setting = {});

} // namespace stillwall::solver
