#include "app/write/fit_note.h"

#include "mesh/cabinet/fit.h"

namespace stillwall::app {

std::vector<std::string> fit_notes(const Cabinet& cabinet)
{
    std::vector<std::string> notes;
    for (const Clash& clash : clashes(cabinet, 0))
        if (!clash.is_certain) notes.emplace_back(InputError(clash.where, clash.key, clash.problem).what());
    return notes;
}

} // namespace stillwall::app
