#pragma once
// A cabinet file held in memory, from which changed cabinets are made: variants, numbers that are varied, and what a
// search may choose from. The format is told in examples/FORMAT.md.

#include "mesh/cabinet/plan.h"
#include "mesh/sawing/workshop.h"

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace stillwall::app {

struct MaterialLibrary;

/// One value put at a place of the file, or what is there taken out.
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

/// What `improve` is to find.
struct ImproveAsk
{
    enum class Aim
    {
        Quietest,  ///< the loudest wall as far below notice as may be
        FirstMode, ///< the first wall mode as high as may be
        Cheapest,  ///< the least price at which nothing is heard
        Lightest   ///< the least weight at which nothing is heard
    };
    Aim aim = Aim::Quietest;
    std::vector<ChangeAxis> choices;
    std::optional<double> most_mass;    ///< [kg]
    std::optional<double> least_volume; ///< [m³] net
    std::optional<double> most_price;
    std::optional<double> least_first_Hz; ///< [Hz]
    SourcePos where;
    SourcePos where_limits;
};

/// One cabinet file and everything that can be made of it.
class CabinetSource
{
public:
    /// Reads the file and checks it whole, every variant included.
    /// @throws InputError
    CabinetSource(const std::filesystem::path& file, const MaterialLibrary& library);
    /// The same from text already in memory.
    CabinetSource(std::string text, const std::string& file, const MaterialLibrary& library);
    ~CabinetSource();
    CabinetSource(CabinetSource&&) noexcept;

    [[nodiscard]] const std::string& text() const;
    [[nodiscard]] const std::string& file() const;
    /// The cabinet as written, changed by these settings in their order.
    /// @throws InputError at the setting's place
    [[nodiscard]] CabinetPlan plan(const std::vector<Setting>& settings = {}) const;

    /// `variants`, in the order written.
    [[nodiscard]] const std::vector<std::string>& variants() const;
    [[nodiscard]] CabinetPlan variant(std::size_t index) const;

    /// The same for an entry of `variants` given as text: "{name: x, change: {boards.left.thickness: 22}}".
    [[nodiscard]] CabinetPlan variant_of_text(const std::string& entry) const;

    [[nodiscard]] const std::vector<ChangeAxis>& vary() const; ///< `vary`: none, one or two
    [[nodiscard]] const std::optional<ImproveAsk>& improve() const;
    [[nodiscard]] const WorkshopPlan& workshop() const;
    /// The scalar written at a path, empty when there is none.
    [[nodiscard]] std::string scalar_at(const std::string& path) const;

private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

/// An axis from the words of a command line: `paths` with commas between, `over` as the file's key has it.
/// @throws InputError
[[nodiscard]] ChangeAxis axis_from_words(const std::string& paths, const std::string& over);

} // namespace stillwall::app
