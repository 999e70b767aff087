#pragma once
// Frequencies and losses of a structure from recordings of knocks on it.

#include "solver/measured/recording.h"
#include "solver/measured/strip.h" // Known
#include "solver/measured/sweep.h"

namespace stillwall::solver {

/// A resonance that rings in the knocks.
struct RungMode
{
    Known f_Hz;
    Known Q;
    double level_dB = 0; ///< of its start against the strongest one, mean over knocks
    int n_knocks = 0;    ///< in how many of the knocks it rings
};

/// Why a recording, or one knock of it, is not used.
enum class KnockFault
{
    Silent,   ///< no sound above the noise
    TooShort, ///< rings into its end, or is cut
    Clipped,  ///< full scale reached at the start
    NoKnock,  ///< sound without onset and decay: music, speech, a hum
    Noisy     ///< under 10 dB over the noise
};

struct Knock
{
    std::string recording;
    double at_s = 0;     ///< onset
    double length_s = 0; ///< of what is analysed
    double over_noise_dB = 0;
    bool is_used = true;
    std::vector<KnockFault> faults; ///< in words by fault_words()
};

struct KnockSetting
{
    double f_from = 60, f_to = 2000; ///< [Hz]
    int most_modes = 40;
    bool hears_room = true; ///< recordings of sound; false: transfer functions
};

/// What rings in a set of decays.
struct Rung
{
    std::vector<RungMode> modes; ///< ascending in frequency; stable poles only
    /// Poles that do not stand out of a tail that fills all frequencies: the room's, or too weak to tell from it.
    std::vector<RungMode> of_room;
    std::optional<double> room_s; ///< [s] in which that tail falls by 60 dB; nothing: there is none
};

struct KnockResult : Rung
{
    std::vector<Knock> knocks;
    double f_from = 0, f_to = 0;       ///< [Hz] what the recordings allow
    std::vector<std::string> warnings; ///< one sentence each
};

[[nodiscard]] std::string fault_words(KnockFault fault);

/// Onsets, windows, decimation to three times the band; then the poles of all knocks together by ESPRIT: signal
/// subspace of their stacked Hankel matrices, shift invariance, for rising orders. Poles that stay over five orders
/// (frequency to 0.5 %, Q to 20 %) are modes; their figures are medians over those orders. Errors: the Cramér–Rao bound
/// of a decaying sine in white noise,
///     σ_ω² = σ_α² = 16 α³ σ² / (f_s Σ A²)    over the knocks, α = ω/2Q,
/// doubled (what the method scatters), with the noise σ that all poles together leave, and the scatter over the orders.
/// A room's tail is noise that all frequencies share and that dies away; a pole that does not rise ten times over its
/// power about it is taken for the room's.
/// Done in four windows, 50 ms to 1.2 s: each pole is taken where it is surest. The level does not matter.
/// @throws DomainError  when no knock can be used: one sentence with every recording's fault
/// @source R. Roy, T. Kailath, IEEE Trans. ASSP 37 (1989) 984; bound derived for a window that holds the decay
[[nodiscard]] KnockResult analyse_knocks(const std::vector<Recording>& recordings, const KnockSetting& setting = {});

/// The same from transfer functions, as their impulse responses; acceleration, velocity and displacement have the same
/// poles.
/// @throws DomainError  too few lines, or none in the band
[[nodiscard]] KnockResult analyse_transfer(const std::vector<TransferFunction>& functions,
                                           const KnockSetting& setting = {});

/// Poles of decays that are already cut out; what analyse_knocks() goes on with.
/// @param rings    any lengths over 16 samples
/// @param rate_Hz  of all of them
[[nodiscard]] Rung modes_of_rings(const std::vector<Eigen::VectorXd>& rings, double rate_Hz,
                                  const KnockSetting& setting);

} // namespace stillwall::solver
