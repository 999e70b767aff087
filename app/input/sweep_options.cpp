#include "app/input/sweep_options.h"

#include "app/input/internal/measure.h"
#include "mesh/cabinet/error.h"

#include <fmt/format.h>

namespace stillwall::app {
namespace {

double positive(const std::string& option, const std::string& text, Dimension dimension)
{
    const Measure measure = parse_measure(text, dimension, LengthUnit::Millimetre);
    if (!measure.problem.empty()) throw InputError({}, "", fmt::format("{} {}: {}", option, text, measure.problem));
    if (!(measure.value > 0)) throw InputError({}, "", fmt::format("{} {}: must be above 0", option, text));
    return measure.value;
}

SweepWith split(const std::string& option, const std::string& text, Dimension dimension, const char* example)
{
    const std::size_t at = text.find('=');
    if (at == std::string::npos || at == 0 || at + 1 == text.size())
        throw InputError({}, "",
                         fmt::format("{} {}: an amount and a sweep are wanted, as in \"{}\"", option, text, example));
    return {positive(option, text.substr(0, at), dimension), text.substr(at + 1)};
}

} // namespace

SweepWith mass_and_file(const std::string& option, const std::string& text)
{
    return split(option, text, Dimension::Mass, "10 g=with_mass.txt");
}

SweepWith volume_and_file(const std::string& option, const std::string& text)
{
    return split(option, text, Dimension::Volume, "20 l=in_box.txt");
}

double area_of(const std::string& option, const std::string& text)
{
    return positive(option, text, Dimension::Area);
}

double resistance_of(const std::string& option, const std::string& text)
{
    return positive(option, text, Dimension::Resistance);
}

} // namespace stillwall::app
