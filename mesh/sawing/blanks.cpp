#include "mesh/sawing/blanks.h"

namespace stillwall {

std::vector<SawnPart> blanks_of(const std::vector<SawnPart>& parts)
{
    std::vector<SawnPart> blanks;
    for (const SawnPart& part : parts) {
        if (part.sheets.empty()) {
            blanks.push_back(part);
            continue;
        }
        for (std::size_t i = 0; i < part.sheets.size(); ++i) {
            SawnPart& blank = blanks.emplace_back();
            blank.name = part.name + ", sheet " + std::to_string(i + 1) + " of " + std::to_string(part.sheets.size());
            blank.material = part.sheets[i].label;
            blank.thickness = part.sheets[i].thickness;
            blank.length = part.length + glue_up_allowance;
            blank.width = part.width + glue_up_allowance;
            blank.has_grain = part.has_grain;
        }
    }
    return blanks;
}

} // namespace stillwall
