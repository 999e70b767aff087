#include "solver/verdict/resonance.h"

#include <cassert>

namespace stillwall::solver {

std::string kind_word(Resonance::Kind kind)
{
    switch (kind) {
    case Resonance::Kind::Wall:
        return "wall";
    case Resonance::Kind::Air:
        return "air";
    case Resonance::Kind::Port:
        return "port";
    case Resonance::Kind::Driver:
        return "driver";
    }
    assert(false);
    return {};
}

bool is_worse(const ModeAtListener& first, const ModeAtListener& second)
{
    const Verdict &a = first.verdict, &b = second.verdict;
    if (a.word != b.word) return a.word < b.word; // declared from audible to out of the band
    return a.over_strict_dB > b.over_strict_dB;
}

std::optional<double> over_notice_dB(const Resonance& resonance)
{
    if (!resonance.worst) return std::nullopt;
    return resonance.worst->verdict.over_strict_dB;
}

} // namespace stillwall::solver
