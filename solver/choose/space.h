#pragma once
// The choices of `improve` as a search sees them.

#include "mesh/cabinet/cabinet.h"
#include "solver/choose/choices.h"

namespace stillwall::solver {

/// One value of every choice: the place of a listed value, 1 for "out"; ranges stand at 0.
struct Combination
{
    std::vector<std::size_t> pick;
};

class ChoiceSpace
{
public:
    /// Keeps references to both.
    ChoiceSpace(const PlanSource& source, const std::vector<ChangeAxis>& choices);

    /// All of them, those that differ only in what is idle once.
    /// @throws InputError  too many
    [[nodiscard]] std::vector<Combination> combinations() const;
    /// Choices that are ranges, in this combination.
    [[nodiscard]] std::vector<std::size_t> free_numbers(const Combination& c) const;
    /// Per choice what it is set to; `numbers` holds a number for every choice, used where it is a range. "–": it
    /// concerns a part that is left out.
    [[nodiscard]] std::vector<std::string> words(const Combination& c, const std::vector<double>& numbers) const;
    [[nodiscard]] std::vector<Setting> settings(const std::vector<std::string>& words) const;
    /// The cabinet with these choices.
    /// @throws InputError  it cannot be built, or leaves less than `proposed_room` where the drawn one leaves it
    [[nodiscard]] CabinetPlan plan(const std::vector<std::string>& words) const;
    /// Per choice the number to begin with: that in the file where it lies in the range, else the middle.
    [[nodiscard]] const std::vector<double>& starts() const { return starts_; }
    [[nodiscard]] const std::vector<ChangeAxis>& choices() const { return choices_; }
    [[nodiscard]] const PlanSource& source() const { return source_; }

private:
    [[nodiscard]] bool is_idle(const Combination& c, std::size_t choice) const;
    [[nodiscard]] double start_of(const ChangeAxis& choice) const;

    const PlanSource& source_;
    const std::vector<ChangeAxis>& choices_;
    Cabinet drawn_;
    std::vector<std::size_t> sizes_;
    std::vector<double> starts_;
};

} // namespace stillwall::solver
