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
