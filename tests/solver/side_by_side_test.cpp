// Schemes held against the first, and variants in order, on modes that are made up.

#include "solver/choose/side_by_side.h"
#include "tests/solver/made_up_schemes.h"

#include <catch2/catch.hpp>

#include <algorithm>

using namespace stillwall;
using namespace stillwall::solver;
using Places = std::vector<std::size_t>;

namespace {

/// A scheme whose wall modes each move one board alone; `levels` as the modes, where it is played.
SchemeFigures scheme_of(const std::vector<std::string>& boards, const std::vector<double>& f_Hz,
                        const std::vector<double>& levels = {})
{
    SchemeFigures figures;
    figures.is_played = !levels.empty();
    figures.signature.boards = {"left", "front", "shelf"};
    figures.signature.samples =
        Eigen::MatrixXf::Zero(3 * Signature::per_board, static_cast<Eigen::Index>(boards.size()));
    for (std::size_t m = 0; m < boards.size(); ++m) {
        figures.modes.push_back(
            made_up::wall_mode(boards[m], f_Hz[m], figures.is_played ? levels[m] : 0, figures.is_played));
        const auto b = std::find(figures.signature.boards.begin(), figures.signature.boards.end(), boards[m]) -
                       figures.signature.boards.begin();
        figures.signature.samples.col(static_cast<Eigen::Index>(m))
            .segment(Signature::per_board * b, Signature::per_board)
            .setOnes();
    }
    if (!boards.empty()) figures.first = 0;
    return figures;
}

} // namespace

TEST_CASE("side by side: modes are met again in every scheme, in the first each as its own", "[choose][compare]")
{
    const SchemeFigures first = scheme_of({"left", "front"}, {250, 400}),
                        swapped = scheme_of({"front", "left"}, {260, 270}),
                        bare = scheme_of({"shelf", "left"}, {200, 240});
    const std::vector<const SchemeFigures*> schemes{&first, &swapped, &bare};
    const auto met = met_in_each(schemes);
    REQUIRE(met.size() == 3);
    const auto places = [](const std::vector<Met>& one) { return std::vector<int>{one[0].mode, one[1].mode}; };
    CHECK(places(met[0]) == std::vector<int>{0, 1});
    CHECK(met[0][1].likeness == 1);
    CHECK(places(met[1]) == std::vector<int>{1, 0});
    CHECK(places(met[2]) == std::vector<int>{1, -1});
}

TEST_CASE("side by side: those nearest to being heard are followed, unplayed the lowest", "[choose][compare]")
{
    const std::vector<std::string> boards{"left", "front", "shelf"};
    CHECK(modes_to_follow(scheme_of(boards, {250, 400, 500}), 2) == Places{0, 1});
    // All have the same Q, so the order of the levels is that over notice.
    CHECK(modes_to_follow(scheme_of(boards, {250, 400, 500}, {-30, -5, -10}), 2) == Places{1, 2});
    SchemeFigures mounted = scheme_of(boards, {250, 400, 500}, {-30, -5, -10});
    mounted.modes[1].is_board = false; // a driver on its mount
    mounted.modes[2].worst.reset();    // not played: behind those that were
    CHECK(modes_to_follow(mounted, 1) == Places{0});
    CHECK(modes_to_follow(mounted, 9) == Places{0, 2});
    mounted.modes[0].kind = Resonance::Kind::Air;
    CHECK(modes_to_follow(mounted, 9) == Places{2});
}

TEST_CASE("side by side: what became of the chief mode", "[choose][compare]")
{
    const auto story = [](const SchemeFigures& first, const SchemeFigures& other) {
        return chief_story(first, other, met_again(first, other));
    };
    const SchemeFigures first = scheme_of({"left", "front"}, {250, 400});
    // The left board's rose above the front's: that one leads, and it was there before.
    const auto risen = story(first, scheme_of({"front", "left"}, {390, 420})).value();
    CHECK(risen.from == 0);
    CHECK(risen.there == std::size_t{1});
    CHECK(risen.now == std::size_t{0});
    CHECK_FALSE(risen.is_new);
    // The shelf's is lower now and like none before.
    const auto shelf = story(first, scheme_of({"shelf", "left"}, {200, 250})).value();
    CHECK(shelf.there == std::size_t{1});
    CHECK(shelf.is_new);
    const auto gone = story(first, scheme_of({"front"}, {400})).value();
    CHECK_FALSE(gone.there);
    CHECK(gone.now == std::size_t{0});
    const auto still = story(first, scheme_of({}, {})).value();
    CHECK_FALSE(still.now);
    CHECK_FALSE(still.is_new);
    CHECK_FALSE(story(scheme_of({}, {}), first));

    SchemeFigures played = scheme_of({"left", "front"}, {250, 400}, {-30, -5});
    played.loudest = 1; // goes before the first one
    CHECK(story(played, first).value().from == 1);
}

TEST_CASE("side by side: the best variant leads, those without figures are left out", "[choose][vary]")
{
    const std::vector<std::optional<VariantRank>> variants{
        VariantRank{300, -3}, {}, VariantRank{320, -1}, VariantRank{300, -9}, VariantRank{320, -1}};
    CHECK(best_first(variants, false) == Places{2, 4, 0, 3});
    CHECK(best_first(variants, true) == Places{3, 0, 2, 4});
    CHECK(best_first({{}, {}}, true).empty());
}
