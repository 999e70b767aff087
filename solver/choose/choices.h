#pragma once
// What may be changed of a cabinet, and where changed cabinets come from. Texts are as a cabinet file would have them;
// who makes the cabinets knows what they mean.

#include "mesh/cabinet/plan.h"
#include "mesh/sawing/workshop.h"

#include <optional>
#include <string>
#include <vector>

namespace stillwall::solver {

/// One value put at a place of the description, or what is there taken out.
struct Setting
{
    std::string path; ///< "boards.left.thickness"
    std::string text; ///< as it would be written there: "22", "3/4 in", "mdf"
    bool takes_out = false;
    SourcePos where; ///< for messages
    std::string key; ///< likewise
};

/// Something that takes several values, the same at all its paths.
struct ChangeAxis
{
    std::vector<std::string> paths;
    std::vector<std::string> values; ///< as written, one at a time
    bool takes_out = false;          ///< instead of values: there, or taken out
    /// Any value between two numbers of one unit, instead of values.
    struct Range
    {
        double low = 0, high = 0; ///< in `unit` as written
        std::string unit;         ///< "", "mm", "%" …
    };
    std::optional<Range> within;
    SourcePos where;
    std::string key;

    /// The settings that give this value.
    [[nodiscard]] std::vector<Setting> set_to(const std::string& text) const;
};

/// The number in front of a text and the unit behind it: "120 mm" → 120, "mm".
struct NumberAndUnit
{
    double number = 0;
    std::string unit;
};
/// Nothing when the text does not begin with a decimal number.
[[nodiscard]] std::optional<NumberAndUnit> split_number(const std::string& text);

/// A number with its unit as a file would have it, to 1e-9 of itself.
[[nodiscard]] std::string number_text(double number, const std::string& unit);

/// One cabinet and all that can be made of it by changing its description.
class PlanSource
{
public:
    virtual ~PlanSource() = default;

    /// The cabinet as described, changed by these settings in their order.
    /// @throws InputError at the setting's place
    [[nodiscard]] virtual CabinetPlan plan(const std::vector<Setting>& settings) const = 0;
    /// The same for a variant given as text: "{name: x, change: {boards.left.thickness: 22}}".
    [[nodiscard]] virtual CabinetPlan variant_of_text(const std::string& entry) const = 0;
    /// The scalar written at a path, empty when there is none.
    [[nodiscard]] virtual std::string scalar_at(const std::string& path) const = 0;
    [[nodiscard]] virtual const WorkshopPlan& workshop() const = 0;
};

} // namespace stillwall::solver
