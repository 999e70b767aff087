#include "app/write/assembled_note.h"

#include "app/input/stock_material.h"
#include "app/write/numbers.h"
#include "app/write/text_table.h"
#include "mesh/cabinet/stock_name.h"

#include <fmt/format.h>

namespace stillwall::app {

std::string assembled_note(const Cabinet& cabinet)
{
    std::string text;
    for (const Material& m : cabinet.materials)
        if (is_assembled(m))
            text += fmt::format("{}{}, loss factor {} ({} to {})", text.empty() ? "" : "; ", stock_name(m.name),
                                shortest(m.eta.value, 2), shortest(m.eta.low, 2), shortest(m.eta.high, 2));
    if (text.empty()) return text;
    return '\n' + wrapped("Boards bolted or glued together: " + text +
                          ". Welded ones ring longer: say welded: yes in 'cabinet' or at a board.");
}

} // namespace stillwall::app
