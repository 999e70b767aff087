#include "solver/choose/space.h"

#include "mesh/cabinet/build.h"
#include "mesh/cabinet/fit.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace stillwall::solver {
namespace {

constexpr const char* idle = "–";
constexpr std::size_t most_combinations = 20000;

/// To a round step, a hundredth of the range or a little less.
double rounded(const ChangeAxis& choice, double number)
{
    const double step = std::pow(10.0, std::floor(std::log10((choice.within->high - choice.within->low) / 100)));
    return std::clamp(std::round(number / step) * step, choice.within->low, choice.within->high);
}

} // namespace

ChoiceSpace::ChoiceSpace(const PlanSource& source, const std::vector<ChangeAxis>& choices)
    : source_(source), choices_(choices), drawn_(build_cabinet(source.plan({})))
{
    for (const ChangeAxis& choice : choices_) {
        sizes_.push_back(choice.within ? 1 : choice.takes_out ? 2 : choice.values.size());
        starts_.push_back(choice.within ? start_of(choice) : 0);
    }
}

CabinetPlan ChoiceSpace::plan(const std::vector<std::string>& words) const
{
    CabinetPlan plan = source_.plan(settings(words));
    if (!fits_with_room(plan, drawn_, proposed_room))
        throw InputError(choices_.front().where, "improve.choices",
                         fmt::format("something would stand nearer than {:.0f} mm to a driver, a hole or a tube",
                                     proposed_room * 1e3));
    return plan;
}

std::vector<Combination> ChoiceSpace::combinations() const
{
    std::vector<Combination> all{{{}}};
    for (const std::size_t size : sizes_) {
        if (all.size() * size > most_combinations)
            throw InputError(choices_.front().where, "improve.choices",
                             fmt::format("more than {} combinations", most_combinations));
        std::vector<Combination> longer;
        for (const Combination& c : all)
            for (std::size_t v = 0; v < size; ++v) {
                longer.push_back(c);
                longer.back().pick.push_back(v);
            }
        all = std::move(longer);
    }
    // What is idle makes equal ones; one of them stays.
    std::set<std::vector<std::string>> seen;
    std::erase_if(all, [&](const Combination& c) { return !seen.insert(words(c, starts_)).second; });
    return all;
}

bool ChoiceSpace::is_idle(const Combination& c, std::size_t choice) const
{
    for (std::size_t other = 0; other < choices_.size(); ++other) {
        if (other == choice || !choices_[other].takes_out || c.pick[other] == 0) continue;
        for (const std::string& gone : choices_[other].paths)
            if (std::all_of(choices_[choice].paths.begin(), choices_[choice].paths.end(),
                            [&](const std::string& path) { return path.starts_with(gone + "."); }))
                return true;
    }
    return false;
}

std::vector<std::size_t> ChoiceSpace::free_numbers(const Combination& c) const
{
    std::vector<std::size_t> free;
    for (std::size_t i = 0; i < choices_.size(); ++i)
        if (choices_[i].within && !is_idle(c, i)) free.push_back(i);
    return free;
}

std::vector<std::string> ChoiceSpace::words(const Combination& c, const std::vector<double>& numbers) const
{
    std::vector<std::string> words;
    for (std::size_t i = 0; i < choices_.size(); ++i) {
        const ChangeAxis& choice = choices_[i];
        if (is_idle(c, i))
            words.push_back(idle);
        else if (choice.within)
            words.push_back(number_text(rounded(choice, numbers[i]), choice.within->unit));
        else if (choice.takes_out)
            words.push_back(c.pick[i] == 1 ? "out" : "in");
        else
            words.push_back(choice.values[c.pick[i]]);
    }
    return words;
}

std::vector<Setting> ChoiceSpace::settings(const std::vector<std::string>& words) const
{
    std::vector<Setting> settings;
    for (std::size_t i = 0; i < choices_.size(); ++i) {
        if (words[i] == idle || words[i] == "in") continue;
        for (const Setting& s : choices_[i].set_to(words[i])) settings.push_back(s);
    }
    return settings;
}

double ChoiceSpace::start_of(const ChangeAxis& choice) const
{
    const auto& range = *choice.within;
    const auto written = split_number(source_.scalar_at(choice.paths.front()));
    if (written && written->unit == range.unit && written->number >= range.low && written->number <= range.high)
        return written->number;
    return (range.low + range.high) / 2;
}

} // namespace stillwall::solver
