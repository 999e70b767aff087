#include "solver/choose/improve.h"

#include "solver/choose/internal/pass.h"
#include "solver/choose/internal/possible.h"
#include "solver/choose/search.h"
#include "solver/choose/walk.h"

#include <fmt/format.h>

#include <algorithm>

namespace stillwall::solver {
namespace {

/// What no other beats in both the aim and the weight, best first.
std::vector<std::size_t> front_of(const ImproveAsk& ask, const std::vector<Tried>& tried)
{
    const AimFacts& aim = facts_of(ask.aim);
    std::vector<std::size_t> within;
    std::vector<TwoAims> points;
    for (std::size_t i = 0; i < tried.size(); ++i) {
        if (!tried[i].is_within) continue;
        within.push_back(i);
        points.push_back({aim.searched(tried[i]), aim.is_by_price ? *tried[i].price : tried[i].mass});
    }
    std::vector<std::size_t> front;
    for (const std::size_t p : trade_off_front(points)) front.push_back(within[p]);
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

/// One run of `improve`.
class Search
{
public:
    Search(const PlanSource& source, const ImproveAsk& ask, const ImproveTask& task, const SchemeComputer& computer,
           const ShowProgress& progress)
        : source_(source), ask_(ask), task_(task), computer_(computer), progress_(progress), space_(source, ask.choices)
    {
        scheme_.plays = facts_of(ask.aim).plays; // positions of modes need no playing; what is heard does
        scheme_.f_max = task.f_max;
    }

    Improved run()
    {
        open_ = internal::possible(space_, ask_, found_);
        const bool has_numbers = std::any_of(ask_.choices.begin(), ask_.choices.end(),
                                             [](const ChangeAxis& c) { return c.within.has_value(); });
        const auto tries = static_cast<std::size_t>(task_.tries);
        internal::thin_out(open_, ask_, std::max<std::size_t>(1, has_numbers ? tries / 2 : tries), task_.seed, found_);
        try_combinations();
        move_numbers();
        if (found_.tried.empty()) throw Error("none of the combinations could be computed");
        set_front();
        check_front();
        return std::move(found_);
    }

private:
    [[nodiscard]] std::vector<std::string> start_words(const Open& one) const
    {
        return space_.words(one.combination, space_.starts());
    }

    /// 1. Every combination, its numbers where the description has them.
    void try_combinations()
    {
        at_start_.resize(open_.size());
        std::size_t n_done = 0;
        computer_.apart(
            open_.size(),
            [&](std::size_t i) {
                return packed(computer_.compute(space_.plan(start_words(open_[i])), source_.workshop(), scheme_));
            },
            [&](std::size_t i, const Outcome& outcome) {
                if (outcome.problem.empty()) {
                    Tried tried = tried_of(unpacked(outcome.bytes));
                    tried.values = start_words(open_[i]);
                    tried.is_within = keeps_limits(ask_, tried);
                    at_start_[i] = std::move(tried);
                } else {
                    ++found_.n_failed;
                }
                progress_("combinations",
                          0.02 + 0.5 * static_cast<double>(++n_done) / static_cast<double>(open_.size()));
            });
        for (const std::optional<Tried>& tried : at_start_)
            if (tried) found_.tried.push_back(*tried);
    }

    /// 2. The numbers of the most promising ones.
    void move_numbers()
    {
        std::vector<std::size_t> order;
        for (std::size_t i = 0; i < open_.size(); ++i)
            if (!space_.free_numbers(open_[i].combination).empty() && at_start_[i]) order.push_back(i);
        std::stable_sort(order.begin(), order.end(),
                         [&](std::size_t a, std::size_t b) { return is_better(ask_, *at_start_[a], *at_start_[b]); });
        constexpr std::size_t most_walks = 4;
        order.resize(std::min(order.size(), most_walks));
        if (order.empty()) return;
        struct Way
        {
            std::size_t open = 0;
            WalkPart part = WalkPart::All;
        };
        std::vector<Way> ways;
        for (const std::size_t i : order) ways.push_back({i});
        // A single one is walked in two halves: one core would have nothing to do.
        if (order.size() == 1) ways = {{order[0], WalkPart::Lower}, {order[0], WalkPart::Upper}};
        const int each = std::max(3, (task_.tries - static_cast<int>(open_.size())) / static_cast<int>(ways.size()));
        const WalkTask walk{space_, ask_, scheme_, computer_, each};
        std::vector<std::vector<Tried>> found(ways.size());
        std::size_t n_done = 0;
        computer_.apart(
            ways.size(),
            [&](std::size_t k) {
                Packer packer;
                packer(walked(walk, open_[ways[k].open], ways[k].part));
                return packer.take();
            },
            [&](std::size_t k, const Outcome& outcome) {
                if (!outcome.problem.empty()) throw Error(outcome.problem);
                Unpacker unpacker(outcome.bytes);
                unpacker(found[k]);
                progress_("positions and sizes",
                          0.52 + 0.3 * static_cast<double>(++n_done) / static_cast<double>(ways.size()));
            });
        for (const std::vector<Tried>& list : found) found_.tried.insert(found_.tried.end(), list.begin(), list.end());
    }

    /// 3. What is worth looking at.
    void set_front()
    {
        const std::vector<Tried>& tried = found_.tried;
        const auto better = [&](std::size_t a, std::size_t b) { return is_better(ask_, tried[a], tried[b]); };
        std::size_t chief = 0;
        for (std::size_t i = 1; i < tried.size(); ++i)
            if (better(i, chief)) chief = i;
        if (!tried[chief].is_within)
            throw InputError(
                ask_.where_limits, "improve.limits",
                fmt::format("'first_mode' of at least {:.0f} Hz is not reached by any of the {} cabinets computed",
                            ask_.least_first_Hz.value_or(0), tried.size()));
        std::vector<std::size_t> front = thinned(front_of(ask_, tried), chief, 6);
        if (std::find(front.begin(), front.end(), chief) == front.end()) front.insert(front.begin(), chief);
        std::stable_sort(front.begin(), front.end(), better);
        for (const std::size_t i : front) found_.front.push_back({tried[i], {}, space_.settings(tried[i].values)});
    }

    /// 4. The cabinet as drawn and the front once more at normal accuracy.
    void check_front()
    {
        SchemeTask scheme = scheme_;
        scheme.accuracy = Accuracy::Normal;
        std::vector<std::vector<Setting>> all{{}};
        for (const FrontPoint& point : found_.front) all.push_back(point.settings);
        std::size_t n_done = 0;
        computer_.apart(
            all.size(),
            [&](std::size_t i) { return packed(computer_.compute(source_.plan(all[i]), source_.workshop(), scheme)); },
            [&](std::size_t i, const Outcome& outcome) {
                progress_("checking", 0.82 + 0.18 * static_cast<double>(++n_done) / static_cast<double>(all.size()));
                if (!outcome.problem.empty()) {
                    if (i == 0) throw Error(outcome.problem);
                    return; // the draft figures stand
                }
                Tried tried = tried_of(unpacked(outcome.bytes));
                if (i == 0) {
                    found_.drawn = tried;
                    return;
                }
                tried.values = found_.front[i - 1].draft.values;
                found_.front[i - 1].checked = tried;
            });
        for (const ChangeAxis& choice : ask_.choices)
            found_.drawn.values.push_back(choice.takes_out ? "in" : source_.scalar_at(choice.paths.front()));
        std::stable_sort(found_.front.begin(), found_.front.end(), [&](const FrontPoint& a, const FrontPoint& b) {
            const Tried &x = a.known(), &y = b.known();
            const bool good_x = is_good_enough(ask_, x), good_y = is_good_enough(ask_, y);
            if (good_x != good_y) return good_x;
            return good_x ? merit(ask_, x) < merit(ask_, y) : x.over_notice() < y.over_notice();
        });
    }

    const PlanSource& source_;
    const ImproveAsk& ask_;
    const ImproveTask& task_;
    const SchemeComputer& computer_;
    const ShowProgress& progress_;
    ChoiceSpace space_;
    SchemeTask scheme_;
    Improved found_;
    std::vector<Open> open_;
    std::vector<std::optional<Tried>> at_start_;
};

} // namespace

Improved improve(const PlanSource& source, const ImproveAsk& ask, const ImproveTask& task,
                 const SchemeComputer& computer, const ShowProgress& progress)
{
    if (facts_of(ask.aim).plays && !can_play(source.plan({})))
        throw InputError(
            ask.where, "improve.aim",
            "levels need a driver with figures (examples/FORMAT.md); without them only first_mode can be sought");
    return Search(source, ask, task, computer, progress).run();
}

} // namespace stillwall::solver
