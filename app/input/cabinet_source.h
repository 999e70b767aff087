#pragma once
// A cabinet file held in memory, from which changed cabinets are made: variants, numbers that are varied, and what a
// search may choose from. The format is told in examples/FORMAT.md.

#include "app/input/bench_note.h"
#include "solver/choose/aim.h"

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace stillwall::app {

struct MaterialLibrary;

using solver::ChangeAxis, solver::ImproveAsk, solver::Setting;

/// One cabinet file and everything that can be made of it.
class CabinetSource : public solver::PlanSource
{
public:
    /// Reads the file and checks it whole, every variant included, with the library of default_materials_dir().
    /// @throws InputError
    explicit CabinetSource(const std::filesystem::path& file);
    /// The same from text already in memory, with a library that must outlive it.
    CabinetSource(std::string text, const std::string& file, const MaterialLibrary& library);
    ~CabinetSource() override;
    CabinetSource(CabinetSource&&) noexcept;

    [[nodiscard]] const std::string& text() const;
    [[nodiscard]] const std::string& file() const;
    /// The cabinet as written, changed by these settings in their order.
    /// @throws InputError at the setting's place
    [[nodiscard]] CabinetPlan plan(const std::vector<Setting>& settings) const override;
    [[nodiscard]] CabinetPlan plan() const { return plan({}); }
    /// Whether these settings can be read; whether the cabinet can be built is not asked.
    /// @throws InputError at the setting's place
    void check_settings(const std::vector<Setting>& settings) const;

    /// `variants`, in the order written.
    [[nodiscard]] const std::vector<std::string>& variants() const;
    [[nodiscard]] CabinetPlan variant(std::size_t index) const;

    /// The same for an entry of `variants` given as text.
    [[nodiscard]] CabinetPlan variant_of_text(const std::string& entry) const override;

    [[nodiscard]] const std::vector<ChangeAxis>& vary() const; ///< `vary`: none, one or two
    [[nodiscard]] const std::optional<ImproveAsk>& improve() const;
    [[nodiscard]] const WorkshopPlan& workshop() const override;
    [[nodiscard]] const BenchRecord& record() const; ///< `record`, in the order written
    /// What the reader accepts but doubts, each with its place: for the stream of warnings.
    [[nodiscard]] const std::vector<std::string>& notes() const;
    /// The scalar written at a path, empty when there is none.
    [[nodiscard]] std::string scalar_at(const std::string& path) const override;

private:
    struct Inside;
    CabinetSource(std::string text, const std::string& file, std::shared_ptr<const MaterialLibrary> library);
    std::unique_ptr<Inside> inside_;
};

/// An axis from the words of a command line: `paths` with commas between, `over` as the file's key has it.
/// @throws InputError
[[nodiscard]] ChangeAxis axis_from_words(const std::string& paths, const std::string& over);

} // namespace stillwall::app
