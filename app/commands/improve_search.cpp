#include "app/commands/improve_search.h"

#include "app/commands/apart.h"
#include "app/commands/archive.h"
#include "app/commands/improve_slopes.h"
#include "mesh/core/build.h"
#include "solver/choose/search.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <random>
#include <set>

namespace stillwall::app {
namespace {

using Aim = ImproveAsk::Aim;
constexpr const char* idle = "–";
constexpr std::size_t most_combinations = 20000;

/// One value of every choice: the place of a listed value, 1 for "out"; ranges stand at `numbers`.
struct Combination
{
    std::vector<std::size_t> pick;
};

/// The choices as a search sees them.
class Space
{
public:
    Space(const CabinetSource& source, const std::vector<ChangeAxis>& choices) : source_(source), choices_(choices)
    {
        for (const ChangeAxis& choice : choices_) {
            sizes_.push_back(choice.within ? 1 : choice.takes_out ? 2 : choice.values.size());
            starts_.push_back(choice.within ? start_of(choice) : 0);
        }
    }

    [[nodiscard]] std::vector<Combination> combinations() const
    {
        std::vector<Combination> all{{{}}};
        for (const std::size_t size : sizes_) {
            if (all.size() * size > most_combinations) throw InputError(choices_.front().where, "improve.choices", fmt::format("more than {} combinations", most_combinations));
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

    /// Whether a choice concerns a part that this combination takes out.
    [[nodiscard]] bool is_idle(const Combination& c, std::size_t choice) const
    {
        for (std::size_t other = 0; other < choices_.size(); ++other) {
            if (other == choice || !choices_[other].takes_out || c.pick[other] == 0) continue;
            for (const std::string& gone : choices_[other].paths)
                if (std::all_of(choices_[choice].paths.begin(), choices_[choice].paths.end(), [&](const std::string& path) { return path.starts_with(gone + "."); }))
                    return true;
        }
        return false;
    }

    [[nodiscard]] std::vector<std::size_t> free_numbers(const Combination& c) const
    {
        std::vector<std::size_t> free;
        for (std::size_t i = 0; i < choices_.size(); ++i)
            if (choices_[i].within && !is_idle(c, i)) free.push_back(i);
        return free;
    }

    /// Per choice what it is set to; `numbers` holds a number for every choice, used where it is a range.
    [[nodiscard]] std::vector<std::string> words(const Combination& c, const std::vector<double>& numbers) const
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

    [[nodiscard]] std::vector<Setting> settings(const std::vector<std::string>& words) const
    {
        std::vector<Setting> settings;
        for (std::size_t i = 0; i < choices_.size(); ++i) {
            if (words[i] == idle || words[i] == "in") continue;
            for (const Setting& s : choices_[i].set_to(words[i])) settings.push_back(s);
        }
        return settings;
    }

    [[nodiscard]] CabinetPlan plan(const std::vector<std::string>& words) const { return source_.plan(settings(words)); }
    [[nodiscard]] const std::vector<double>& starts() const { return starts_; }
    [[nodiscard]] const std::vector<ChangeAxis>& choices() const { return choices_; }
    [[nodiscard]] const CabinetSource& source() const { return source_; }

private:
    /// The number in the file where it lies in the range, else the middle.
    [[nodiscard]] double start_of(const ChangeAxis& choice) const
    {
        const auto& range = *choice.within;
        const auto written = split_number(source_.scalar_at(choice.paths.front()));
        if (written && written->unit == range.unit && written->number >= range.low && written->number <= range.high) return written->number;
        return (range.low + range.high) / 2;
    }
    /// To a round step, a hundredth of the range or a little less.
    [[nodiscard]] static double rounded(const ChangeAxis& choice, double number)
    {
        const double step = std::pow(10.0, std::floor(std::log10((choice.within->high - choice.within->low) / 100)));
        return std::clamp(std::round(number / step) * step, choice.within->low, choice.within->high);
    }

    const CabinetSource& source_;
    const std::vector<ChangeAxis>& choices_;
    std::vector<std::size_t> sizes_;
    std::vector<double> starts_;
};

bool keeps_limits(const ImproveAsk& ask, const Tried& tried)
{
    return !(ask.most_mass && tried.mass > *ask.most_mass) && !(ask.least_volume && tried.net_volume < *ask.least_volume) &&
           !(ask.most_price && tried.price && *tried.price > *ask.most_price) && !(ask.least_first_Hz && tried.first_Hz > 0 && tried.first_Hz < *ask.least_first_Hz);
}

/// Mass, litres and price of a combination, without computing how it rings; nothing when it cannot be built.
std::optional<Tried> weighed(const Space& space, const std::vector<std::string>& words, std::string& problem)
{
    try {
        const CabinetPlan plan = space.plan(words);
        const Cabinet cabinet = build_cabinet(plan);
        const Bookkeeping books = bookkeeping(cabinet);
        Tried tried;
        tried.values = words;
        tried.mass = books.mass;
        tried.net_volume = books.net_litres;
        tried.price = price_by_area(sawn_parts(plan, cabinet, books), space.source().workshop());
        return tried;
    } catch (const InputError& error) {
        if (problem.empty()) problem = error.what();
        return std::nullopt;
    }
}

/// Says which limit leaves nothing.
[[noreturn]] void fail_excluded(const ImproveAsk& ask, const std::vector<Tried>& all)
{
    const auto none = [&](auto keeps) { return std::none_of(all.begin(), all.end(), keeps); };
    const auto by = [&](auto less) { return *std::min_element(all.begin(), all.end(), less); };
    std::string bites;
    if (ask.most_mass && none([&](const Tried& t) { return t.mass <= *ask.most_mass; }))
        bites = fmt::format("'mass' of at most {:.2f} kg excludes all {} combinations, the lightest weighs {:.2f} kg", *ask.most_mass, all.size(),
                            by([](const Tried& a, const Tried& b) { return a.mass < b.mass; }).mass);
    else if (ask.least_volume && none([&](const Tried& t) { return t.net_volume >= *ask.least_volume; }))
        bites = fmt::format("'net_volume' of at least {:.1f} l excludes all {} combinations, the roomiest has {:.1f} l", *ask.least_volume * 1e3, all.size(),
                            by([](const Tried& a, const Tried& b) { return a.net_volume > b.net_volume; }).net_volume * 1e3);
    else if (ask.most_price && none([&](const Tried& t) { return !t.price || *t.price <= *ask.most_price; }))
        bites = fmt::format("'price' of at most {:.2f} excludes all {} combinations, the cheapest costs {:.2f}", *ask.most_price, all.size(),
                            *by([](const Tried& a, const Tried& b) { return *a.price < *b.price; }).price);
    else
        bites = "each limit by itself leaves something, all together leave nothing; the limits on mass, net_volume and price contradict each other";
    throw InputError(ask.where_limits, "improve.limits", bites);
}

struct Open
{
    Combination combination;
    Tried weighed;
};

/// Combinations that can be built and keep the limits that need no solution.
std::vector<Open> possible(const Space& space, const ImproveAsk& ask, ImproveReport& report)
{
    std::vector<Open> open;
    std::vector<Tried> all;
    std::string problem;
    const std::vector<Combination> combinations = space.combinations();
    for (const Combination& c : combinations) {
        const std::optional<Tried> tried = weighed(space, space.words(c, space.starts()), problem);
        if (!tried) continue;
        all.push_back(*tried);
        if (keeps_limits(ask, *tried)) open.push_back({c, *tried});
    }
    report.n_combinations = static_cast<int>(combinations.size());
    if (all.empty()) throw InputError(ask.where, "improve.choices", fmt::format("no combination can be built; the first fails with: {}", problem));
    if (ask.aim == Aim::Cheapest && std::any_of(all.begin(), all.end(), [](const Tried& t) { return !t.price; }))
        throw InputError(ask.where, "improve.aim", "the cheapest needs prices; give each board's under workshop.sheets");
    if (open.empty()) fail_excluded(ask, all);
    report.n_excluded = report.n_combinations - static_cast<int>(open.size());
    return open;
}

/// At most `most` of them: a seeded sample where there are more.
void thin_out(std::vector<Open>& open, const ImproveAsk& ask, std::size_t most, unsigned seed, ImproveReport& report)
{
    if (open.size() <= most) return;
    report.saw_all = false;
    if (ask.aim == Aim::Cheapest || ask.aim == Aim::Lightest) {
        // From the cheapest up: the answer lies there, if anywhere.
        std::stable_sort(open.begin(), open.end(), [&](const Open& a, const Open& b) { return merit(ask, a.weighed) < merit(ask, b.weighed); });
    } else {
        std::mt19937 random(seed);
        for (std::size_t i = open.size() - 1; i > 0; --i) std::swap(open[i], open[random() % (i + 1)]);
    }
    open.resize(most);
}

std::string packed(const std::vector<Tried>& list)
{
    Packer packer;
    packer.put(list.size());
    for (const Tried& t : list) {
        packer.put(t.values), packer.put(t.is_played), packer.put(t.first_Hz), packer.put(t.loudest_dB), packer.put(t.over_dB);
        packer.put(t.first_board), packer.put(t.loudest_board), packer.put(t.loudest_Hz), packer.put(t.n_audible), packer.put(t.n_borderline);
        packer.put(t.mass), packer.put(t.net_volume), packer.put(t.price), packer.put(t.is_within);
    }
    return packer.take();
}

std::vector<Tried> unpacked_list(const std::string& bytes)
{
    Unpacker unpacker(bytes);
    std::size_t n = 0;
    unpacker.get(n);
    std::vector<Tried> list(n);
    for (Tried& t : list) {
        unpacker.get(t.values), unpacker.get(t.is_played), unpacker.get(t.first_Hz), unpacker.get(t.loudest_dB), unpacker.get(t.over_dB);
        unpacker.get(t.first_board), unpacker.get(t.loudest_board), unpacker.get(t.loudest_Hz), unpacker.get(t.n_audible), unpacker.get(t.n_borderline);
        unpacker.get(t.mass), unpacker.get(t.net_volume), unpacker.get(t.price), unpacker.get(t.is_within);
    }
    return list;
}

/// Where one search over numbers stands.
struct Walk
{
    const Space& space;
    const SchemeTask& task;
    const ImproveAsk& ask;
    Combination combination;
    std::vector<std::size_t> free;
    std::vector<Tried> seen{};
    std::map<std::vector<std::string>, std::optional<double>> known{};

    [[nodiscard]] std::vector<std::string> words(const std::vector<double>& x) const
    {
        std::vector<double> numbers = space.starts();
        for (std::size_t k = 0; k < free.size(); ++k) numbers[free[k]] = x[k];
        return space.words(combination, numbers);
    }
    void see(Tried tried, const std::vector<std::string>& at)
    {
        tried.values = at;
        tried.is_within = keeps_limits(ask, tried);
        std::optional<double>& result = known[at];
        if (tried.is_within) result = ask.aim == Aim::FirstMode ? merit(ask, tried) : tried.over_dB;
        seen.push_back(std::move(tried));
    }
    /// The lowest modes with their derivatives by the free numbers.
    [[nodiscard]] std::optional<solver::Lowest> slopes(const std::vector<double>& x, const solver::SearchSpace& box)
    {
        const std::vector<std::string> at = words(x);
        try {
            const CabinetPlan plan = space.plan(at);
            std::vector<CabinetPlan> beside;
            std::vector<double> step;
            for (std::size_t k = 0; k < x.size(); ++k) {
                std::vector<double> moved = x;
                step.push_back((moved[k] > (box.low[k] + box.high[k]) / 2 ? -0.05 : 0.05) * (box.high[k] - box.low[k]));
                moved[k] += step[k];
                beside.push_back(space.plan(words(moved)));
            }
            SchemeTask with_worth = task;
            with_worth.wants_worth = true;
            const ComputedScheme scheme = compute_scheme(plan, space.source().workshop(), with_worth);
            see(tried_of(scheme), at);
            if (!known[at]) return std::nullopt; // beyond a limit
            return lowest_with_slopes(plan, scheme, beside, step);
        } catch (const Error&) {
            return std::nullopt;
        }
    }
    /// How quiet, or how low the first mode, at these numbers; beyond a limit counts as not to be built.
    [[nodiscard]] std::optional<double> value(const std::vector<double>& x)
    {
        const std::vector<std::string> at = words(x);
        if (const auto found = known.find(at); found != known.end()) return found->second;
        known[at] = std::nullopt;
        try {
            see(tried_of(compute_scheme(space.plan(at), space.source().workshop(), task)), at);
        } catch (const Error&) {
            // A place where it cannot be built is an answer, too.
        }
        return known[at];
    }
};

/// A combination whose numbers are to be moved, over all of the box or over one half of its first number.
struct WalkTask
{
    std::size_t open = 0;
    enum class Part { All, Lower, Upper } part = Part::All;
};

/// Moves the numbers of one combination, in a process of its own.
std::string moved(const Space& space, const SchemeTask& task, const ImproveAsk& ask, const Open& open, WalkTask::Part part, int tries)
{
    Walk walk{space, task, ask, open.combination, space.free_numbers(open.combination)};
    solver::SearchSpace box;
    std::vector<ChangeAxis> axes;
    for (const std::size_t i : walk.free) {
        box.low.push_back(space.choices()[i].within->low);
        box.high.push_back(space.choices()[i].within->high);
        box.start.push_back(space.starts()[i]);
        axes.push_back(space.choices()[i]);
    }
    const double middle = (box.low[0] + box.high[0]) / 2;
    if (part == WalkTask::Part::Lower) box.high[0] = middle;
    if (part == WalkTask::Part::Upper) box.low[0] = middle;
    if (box.start[0] < box.low[0] || box.start[0] > box.high[0]) box.start[0] = (box.low[0] + box.high[0]) / 2;
    if (ask.aim == Aim::FirstMode && std::all_of(axes.begin(), axes.end(), has_slope)) {
        solver::search_highest_lowest(box, [&](const std::vector<double>& x) { return walk.slopes(x, box); }, std::max(2, tries / 3)); // each costs about two
        const int left = tries - 2 * (tries / 3);
        if (left > 2) solver::search_least(box, [&](const std::vector<double>& x) { return walk.value(x); }, left);
        return packed(walk.seen);
    }
    solver::search_least(box, [&](const std::vector<double>& x) { return walk.value(x); }, tries);
    return packed(walk.seen);
}

/// Orders by what the aim counts, those that keep the limits and do what it asks first.
bool is_better(const ImproveAsk& ask, const Tried& a, const Tried& b)
{
    if (a.is_within != b.is_within) return a.is_within;
    const bool good_a = is_good_enough(ask, a), good_b = is_good_enough(ask, b);
    if (good_a != good_b) return good_a;
    // Until something is quiet enough the quieter one leads.
    if (!good_a && a.over_dB != b.over_dB) return a.over_dB < b.over_dB;
    return merit(ask, a) < merit(ask, b);
}

/// What no other beats in both the aim and the weight, best first.
std::vector<std::size_t> front_of(const ImproveAsk& ask, const std::vector<Tried>& tried)
{
    std::vector<std::size_t> within;
    std::vector<solver::TwoAims> points;
    for (std::size_t i = 0; i < tried.size(); ++i) {
        if (!tried[i].is_within) continue;
        within.push_back(i);
        const double quiet = ask.aim == Aim::FirstMode ? merit(ask, tried[i]) : tried[i].over_dB;
        points.push_back({quiet, ask.aim == Aim::Cheapest ? *tried[i].price : tried[i].mass});
    }
    std::vector<std::size_t> front;
    for (const std::size_t p : solver::trade_off_front(points)) front.push_back(within[p]);
    return front;
}

/// At most `most`, spread evenly, the ends kept and the one the aim wants.
std::vector<std::size_t> thinned(const std::vector<std::size_t>& front, std::size_t chief, std::size_t most)
{
    if (front.size() <= most) return front;
    std::vector<std::size_t> kept;
    for (std::size_t k = 0; k < most; ++k) kept.push_back(front[k * (front.size() - 1) / (most - 1)]);
    if (std::find(kept.begin(), kept.end(), chief) == kept.end()) {
        const auto at = std::find(front.begin(), front.end(), chief) - front.begin();
        kept[std::min(most - 1, static_cast<std::size_t>(at) * most / front.size())] = chief;
    }
    return kept;
}

} // namespace

void search_improvements(const CabinetSource& source, const SchemeTask& task, const ImproveLimits& limits, ImproveReport& report, Progress& progress)
{
    const ImproveAsk& ask = report.ask;
    const Space space(source, ask.choices);
    std::vector<Open> open = possible(space, ask, report);
    const bool has_numbers = std::any_of(ask.choices.begin(), ask.choices.end(), [](const ChangeAxis& c) { return c.within.has_value(); });
    const auto tries = static_cast<std::size_t>(limits.tries);
    thin_out(open, ask, std::max<std::size_t>(1, has_numbers ? tries / 2 : tries), limits.seed, report);

    // 1. Every combination, its numbers where the file has them.
    std::vector<std::optional<Tried>> at_start(open.size());
    const auto to_tried = [&](const Open& one, const std::string& bytes) {
        Tried tried = tried_of(unpacked(bytes));
        tried.values = space.words(one.combination, space.starts());
        tried.is_within = keeps_limits(ask, tried);
        return tried;
    };
    std::size_t n_done = 0;
    compute_apart(
        open.size(), [&](std::size_t i) { return packed(compute_scheme(space.plan(space.words(open[i].combination, space.starts())), source.workshop(), task)); },
        [&](std::size_t i, const Outcome& outcome) {
            if (outcome.problem.empty())
                at_start[i] = to_tried(open[i], outcome.bytes);
            else
                ++report.n_failed;
            progress.show("combinations", 0.02 + 0.5 * static_cast<double>(++n_done) / static_cast<double>(open.size()));
        },
        {.at_most = limits.jobs});
    for (const std::optional<Tried>& tried : at_start)
        if (tried) report.tried.push_back(*tried);

    // 2. The numbers of the most promising ones.
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < open.size(); ++i)
        if (!space.free_numbers(open[i].combination).empty() && at_start[i]) order.push_back(i);
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return is_better(ask, *at_start[a], *at_start[b]); });
    constexpr std::size_t most_walks = 4;
    order.resize(std::min(order.size(), most_walks));
    std::vector<WalkTask> walks;
    for (const std::size_t i : order) walks.push_back({i});
    // A single one is walked in two halves: one core would have nothing to do.
    if (order.size() == 1) walks = {{order[0], WalkTask::Part::Lower}, {order[0], WalkTask::Part::Upper}};
    if (!walks.empty()) {
        const int each = std::max(3, (limits.tries - static_cast<int>(open.size())) / static_cast<int>(walks.size()));
        std::vector<std::vector<Tried>> found(walks.size());
        n_done = 0;
        compute_apart(
            walks.size(), [&](std::size_t k) { return moved(space, task, ask, open[walks[k].open], walks[k].part, each); },
            [&](std::size_t k, const Outcome& outcome) {
                if (!outcome.problem.empty()) throw Error(outcome.problem);
                found[k] = unpacked_list(outcome.bytes);
                progress.show("positions and sizes", 0.52 + 0.3 * static_cast<double>(++n_done) / static_cast<double>(walks.size()));
            },
            {.at_most = limits.jobs});
        for (const std::vector<Tried>& list : found) report.tried.insert(report.tried.end(), list.begin(), list.end());
    }
    if (report.tried.empty()) throw Error("none of the combinations could be computed");

    // 3. What is worth looking at.
    std::size_t chief = 0;
    for (std::size_t i = 1; i < report.tried.size(); ++i)
        if (is_better(ask, report.tried[i], report.tried[chief])) chief = i;
    if (!report.tried[chief].is_within)
        throw InputError(ask.where_limits, "improve.limits",
                         fmt::format("'first_mode' of at least {:.0f} Hz is not reached by any of the {} cabinets computed", ask.least_first_Hz.value_or(0), report.tried.size()));
    std::vector<std::size_t> front = thinned(front_of(ask, report.tried), chief, 6);
    if (std::find(front.begin(), front.end(), chief) == front.end()) front.insert(front.begin(), chief);
    std::stable_sort(front.begin(), front.end(), [&](std::size_t a, std::size_t b) { return is_better(ask, report.tried[a], report.tried[b]); });
    for (const std::size_t i : front) report.front.push_back({report.tried[i], {}, space.settings(report.tried[i].values)});
}

} // namespace stillwall::app
