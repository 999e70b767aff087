#pragma once
// How finely the boards are meshed: the one place for these figures.

#include <string>

namespace stillwall::solver {

enum class Accuracy
{
    Draft,
    Normal,
    Fine
};

/// Node spacings per shortest bending wave below the upper frequency. Measured on three boxes (DEVELOPERS.md): 10 lies
/// within 0.2 % of a mesh twice as fine, 7 within 0.6 %.
[[nodiscard]] constexpr double points_per_wave(Accuracy accuracy)
{
    switch (accuracy) {
    case Accuracy::Draft:
        return 7;
    case Accuracy::Normal:
        return 10;
    case Accuracy::Fine:
        return 16;
    }
    return 10;
}

/// What an accuracy promises: how far a mode's frequency may lie from that on the finest mesh [-]. A law test on random
/// cabinets holds it; where a run's own estimate (mesh_error.h) says more, it is meshed again or told.
[[nodiscard]] constexpr double promised_error(Accuracy accuracy)
{
    return accuracy == Accuracy::Draft ? 0.03 : 0.01;
}

[[nodiscard]] inline std::string accuracy_word(Accuracy accuracy)
{
    switch (accuracy) {
    case Accuracy::Draft:
        return "draft";
    case Accuracy::Normal:
        return "normal";
    case Accuracy::Fine:
        return "fine";
    }
    return "normal";
}

} // namespace stillwall::solver
