#include "solver/drive/internal/reason.h"

#include <fmt/format.h>

#include <cmath>

namespace stillwall::solver::internal {
namespace {

/// What drives a wall mode.
std::string drive_words(const SoundMode& mode)
{
    const double f = mode.force_share;
    if (mode.driver.empty() || f < 0.3) return "the air pressure of the cones pushes it";
    if (f > 0.7) return fmt::format("the {}'s recoil shakes it", mode.driver);
    return fmt::format("the {}'s recoil and the air pressure share in driving it", mode.driver);
}

std::string level_words(const ModeAtListener& heard)
{
    const Verdict& v = heard.verdict;
    const double over_lenient = heard.level_dB - v.lenient_dB, under_strict = -v.over_strict_dB;
    const std::string where = heard.listener ? "" : ", in all directions";
    if (v.word == Audibility::OutOfBand) return "where the direct sound is far below its best: not held against it";
    if (over_lenient >= 0)
        return fmt::format("{:.0f} dB above what is heard even in popular music{}", over_lenient, where);
    if (under_strict > 0.5)
        return fmt::format("{:.0f} dB short of what trained ears find in noise{}", under_strict, where);
    return fmt::format("above what trained ears find in noise, {:.0f} dB short of what shows in popular music{}",
                       -over_lenient, where);
}

} // namespace

std::string reason_of(const SoundMode& mode)
{
    if (mode.kind == SoundMode::Kind::Port || !mode.worst) return "the box's tuning: wanted, not judged";
    const ModeAtListener& heard = *mode.worst;
    if (heard.level_dB <= -200) return "nothing drives it or carries it to the listener";
    const std::string level = level_words(heard);
    if (mode.kind == SoundMode::Kind::Air) return fmt::format("heard through the {}: {}", mode.part, level);
    return fmt::format("{} and the {} sounds: {}", drive_words(mode), mode.part, level);
}

} // namespace stillwall::solver::internal
