#include "mesh/cabinet/error.h"

namespace stillwall {
namespace {

std::string one_line(const SourcePos& where, std::string_view key, std::string_view problem)
{
    std::string text = where.file;
    if (where.line > 0) text += ":" + std::to_string(where.line);
    if (where.line > 0 && where.column > 0) text += ":" + std::to_string(where.column);
    if (!text.empty()) text += ": ";
    if (!key.empty()) text += std::string(key) + ": ";
    return text + std::string(problem);
}

} // namespace

InputError::InputError(SourcePos where, std::string_view key, std::string_view problem)
    : Error(one_line(where, key, problem)), where_(std::move(where))
{
}

} // namespace stillwall
