#include "solver/measured/knock.h"

#include "mesh/cabinet/error.h"
#include "solver/measured/internal/rings.h"

#include <fmt/format.h>

#include <algorithm>

namespace stillwall::solver {

std::string fault_words(KnockFault fault)
{
    switch (fault) {
    case KnockFault::Silent:
        return "silent";
    case KnockFault::TooShort:
        return "cut off before the ring has died away";
    case KnockFault::Clipped:
        return "clipped: the recording level was too high";
    case KnockFault::NoKnock:
        return "no single knock that dies away: music, speech, hum or a rattle";
    case KnockFault::Noisy:
        return "less than 10 dB over the noise";
    }
    return {};
}

namespace {

[[noreturn]] void refuse(const KnockResult& result)
{
    std::string text;
    for (const Knock& knock : result.knocks) {
        if (!text.empty()) text += "; ";
        text += knock.recording + (knock.at_s > 0 ? fmt::format(" at {:.2f} s", knock.at_s) : std::string()) + ": ";
        for (std::size_t i = 0; i < knock.faults.size(); ++i)
            text += (i > 0 ? ", " : "") + fault_words(knock.faults[i]);
    }
    throw DomainError("no knock can be used: " + text);
}

} // namespace

KnockResult analyse_knocks(const std::vector<Recording>& recordings, const KnockSetting& setting)
{
    KnockResult result;
    result.f_from = setting.f_from;
    result.f_to = setting.f_to;
    constexpr double of_rate = 0.42; // passed by any recorder's filter
    for (const Recording& r : recordings) result.f_to = std::min(result.f_to, of_rate * r.rate_Hz);
    std::vector<std::pair<double, Eigen::VectorXd>> decays; // rate, ring
    for (const Recording& recording : recordings) {
        const internal::Decimated low = internal::decimated(recording, result.f_to);
        for (internal::Ring& ring : internal::rings_of(recording, low)) {
            result.knocks.push_back(ring.knock);
            if (ring.knock.is_used) decays.emplace_back(low.rate_Hz, std::move(ring.decay));
        }
    }
    if (decays.empty()) refuse(result);
    // Recordings of other rates than the first are told apart: one shift must be one time.
    const double rate = decays.front().first;
    std::vector<Eigen::VectorXd> rings;
    for (auto& [ring_rate, decay] : decays)
        if (std::abs(ring_rate / rate - 1) < 1e-9) rings.push_back(std::move(decay));
    if (rings.size() < decays.size())
        result.warnings.push_back("recordings at another rate than the first are left out: record all at one rate");
    KnockSetting used = setting;
    used.f_from = result.f_from;
    used.f_to = result.f_to;
    static_cast<Rung&>(result) = modes_of_rings(rings, rate, used);
    if (rings.size() == 1)
        result.warnings.push_back("one knock only: three or more, at the same place, tell modes from chance");
    return result;
}

} // namespace stillwall::solver
