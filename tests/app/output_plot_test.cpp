#include "tests/app/sound_fixture.h"

#include "app/verbs/sound/sound_plots.h"
#include "app/write/svg_plot.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <limits>
#include <sstream>

using namespace stillwall;
using namespace stillwall::app;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;

namespace {

/// Whether every tag is closed in its order, attributes are quoted and no bare < or & stands in a text: what XML asks
/// of such a file.
bool is_well_formed(const std::string& xml)
{
    std::vector<std::string> open;
    for (std::size_t i = 0; i < xml.size(); ++i) {
        if (xml[i] == '&') {
            const std::size_t end = xml.find(';', i);
            const std::string name = xml.substr(i + 1, end == std::string::npos ? 0 : end - i - 1);
            if (name != "amp" && name != "lt" && name != "gt" && name != "quot") return false;
        }
        if (xml[i] == '>') return false;
        if (xml[i] != '<') continue;
        const std::size_t end = xml.find('>', i);
        if (end == std::string::npos) return false;
        std::string tag = xml.substr(i + 1, end - i - 1);
        i = end;
        if (std::count(tag.begin(), tag.end(), '"') % 2 != 0 || tag.find('<') != std::string::npos) return false;
        if (tag.starts_with('/')) {
            if (open.empty() || open.back() != tag.substr(1)) return false;
            open.pop_back();
        } else if (!tag.ends_with('/')) {
            open.push_back(tag.substr(0, tag.find(' ')));
        }
    }
    return open.empty();
}

/// Whether "nan" or "inf" stands where a number should: between what may border a number.
bool has_broken_number(const std::string& svg)
{
    const std::string before = "\" ML-(", after = "\" ML)";
    for (const std::string word : {"nan", "inf"})
        for (std::size_t at = 0; (at = svg.find(word, at)) != std::string::npos; ++at)
            if (before.find(svg[at - 1]) != std::string::npos && after.find(svg[at + 3]) != std::string::npos)
                return true;
    return false;
}

std::size_t count(const std::string& text, const std::string& part)
{
    std::size_t n = 0;
    for (std::size_t at = 0; (at = text.find(part, at)) != std::string::npos; at += part.size()) ++n;
    return n;
}

const PlotFile& file_named(const std::vector<PlotFile>& files, const std::string& name)
{
    const auto found =
        std::find_if(files.begin(), files.end(), [&](const PlotFile& file) { return file.name == name; });
    REQUIRE(found != files.end());
    return *found;
}

} // namespace

TEST_CASE("plot ticks: 1-2-5 steps inside the axis", "[app][output][plot]")
{
    const auto texts = [](double low, double high, bool is_logarithmic, std::optional<double> step = {}) {
        const PlotAxis axis{.title = "", .low = low, .high = high, .is_logarithmic = is_logarithmic, .step = step};
        std::string all;
        for (const auto& [value, text] : axis_ticks(axis)) all += text + ' ';
        return all;
    };
    CHECK(texts(20, 3000, true) == "20 50 100 200 500 1000 2000 ");
    CHECK(texts(0.001, 10, true) == "0.001 0.01 0.1 1 10 ");
    CHECK(texts(-30, 10, false, 10) == "−30 −20 −10 0 10 ");
    CHECK(texts(0, 43, false) == "0 10 20 30 40 ");
    CHECK(texts(0, 0.66, false) == "0 0.1 0.2 0.3 0.4 0.5 0.6 ");
}

TEST_CASE("plot labels are spread without overlap, in order, near what they want", "[app][output][plot]")
{
    // Reference: by hand, the least shifts that keep order, gap and ends.
    // Tolerance: round-off of sums of such sizes.
    const auto check = [](const std::vector<double>& found, const std::vector<double>& wanted) {
        REQUIRE(found.size() == wanted.size());
        for (std::size_t i = 0; i < found.size(); ++i) CHECK_THAT(found[i], WithinAbs(wanted[i], 1e-9));
    };
    check(spread({10, 50}, 20, 0, 100), {10, 50});
    check(spread({50, 50}, 20, 0, 100), {40, 60});           // both give way alike
    check(spread({60, 50, 40}, 20, 0, 100), {70, 50, 30});   // the order stays
    check(spread({0, 1}, 20, 0, 100), {0, 20});              // held by the edge
    check(spread({95, 99, 100}, 20, 0, 100), {60, 80, 100}); // and by the other
    check(spread({5, 5, 5}, 60, 0, 100), {0, 50, 100});      // too many: even
    CHECK(spread({}, 20, 0, 100).empty());
}

TEST_CASE("a plot is well-formed XML, gaps stay open, names are escaped", "[app][output][plot]")
{
    CHECK_FALSE(is_well_formed("<a><b></a></b>")); // the check itself can fail
    CHECK_FALSE(is_well_formed("<a>x & y</a>"));
    CHECK(xml_text("a<b> & \"c\"\n") == "a&lt;b&gt; &amp; &quot;c&quot;");

    const double nan = std::numeric_limits<double>::quiet_NaN();
    Plot plot{.title = "A & B <C>", .subtitle = "", .x = {.title = "x", .low = 1, .high = 10, .is_logarithmic = true}};
    plot.panels.push_back(
        {.y = {.title = "y", .low = 0, .high = 10},
         .lines = {{"one", {1, 2, 3, 4}, {1, nan, 3, 4}, pen(0)}},
         .marks = {{2, 5, PlotMark::Symbol::Triangle, "here"}, {2, 5, PlotMark::Symbol::Diamond, "there"}}});
    const std::string svg = svg_plot(plot);
    CAPTURE(svg);
    CHECK(is_well_formed(svg));
    CHECK_THAT(svg, Contains("A &amp; B &lt;C&gt;") && Contains(">one</text>"));
    CHECK_FALSE(has_broken_number(svg));
    CHECK(has_broken_number("M1 nanL2 3"));
    // One point alone, a gap, then a line of two: two moves and one stroke.
    const std::size_t at = svg.find("<path d=\"M");
    const std::string path = svg.substr(at, svg.find("fill", at) - at);
    CHECK(count(path, "M") == 2);
    CHECK(count(path, "L") == 1);
    // Marks in one place: their labels must not be.
    const auto place = [&](const std::string& label) {
        const std::size_t end = svg.find(">" + label + "<");
        const std::size_t begin = svg.rfind("<text", end);
        return svg.substr(begin, svg.find(" text-anchor", begin) - begin);
    };
    CHECK(place("here") != place("there"));
}

TEST_CASE("pens: every pair differs in colour and every other pen in dashes too", "[app][output][plot]")
{
    for (std::size_t i = 0; i < 8; ++i)
        for (std::size_t k = i + 1; k < 8; ++k) {
            CAPTURE(i, k);
            CHECK(pen(i).colour != pen(k).colour);
            // Two solid ones differ in width.
            CHECK((pen(i).dash != pen(k).dash || pen(i).width != pen(k).width));
        }
}

TEST_CASE("sound plots: five files with what was computed in them", "[app][output][sound][plot]")
{
    test::SmallSound sound;
    sound.cabinet.name = "a <box> & more";
    const std::vector<PlotFile> files = sound_plots(sound.report());
    REQUIRE(files.size() == 5);
    for (const PlotFile& file : files) {
        CAPTURE(file.name);
        CHECK(is_well_formed(file.svg));
        CHECK_FALSE(has_broken_number(file.svg));
        CHECK_THAT(file.svg, Contains("Frequency, Hz"));
    }
    const std::string& walls = file_named(files, "sound-walls.svg").svg;
    CHECK_THAT(walls, Contains("a &lt;box&gt; &amp; more: at axis") && Contains(">all walls<") &&
                          Contains(">2: 412 Hz audible<"));
    CHECK_THAT(walls, Contains(">3: 640 Hz<") && !Contains(">4:"));
    // A symbol per judged mode and one in the key; inaudible ones are circles.
    CHECK(count(walls, "<circle") == 2 + 1);
    CHECK(count(walls, "l8 14h-16z") == 1 + 1);
    CHECK(count(walls, "l7 8l-7 8l-7-8z") == 1 + 1);
    const std::string& boards = file_named(files, "sound-boards.svg").svg;
    CHECK_THAT(boards, Contains(">front<") && Contains(">shelf<") && !Contains("others"));
    CHECK_THAT(file_named(files, "sound-impedance.svg").svg,
               Contains(">woofer way, walls still<") && Contains("Phase, degrees"));
    CHECK_THAT(file_named(files, "sound-motion.svg").svg, Contains(">woofer<") && Contains(">port<"));
    CHECK_THAT(file_named(files, "sound-modes.svg").svg,
               Contains(">air inside<") && Contains(">1: 38.0<") && Contains(">not judged<"));
}

TEST_CASE("sound plots: many boards are summed up, silence and a single frequency are drawn",
          "[app][output][sound][plot]")
{
    test::SmallSound sound;
    for (int i = 0; i < 9; ++i)
        sound.cabinet.boards.push_back(test::square_board("board " + std::to_string(i), Board::Kind::Wall));
    std::vector<solver::SoundMode> modes;
    std::vector<std::string> names;
    for (const Board& board : sound.cabinet.boards) names.push_back(board.name);
    for (int b = 0; b < 11; ++b)
        modes.push_back(test::wall_mode("m", 200 + 100 * b, 30, -20 - b, names.at(static_cast<std::size_t>(b))));
    sound.result = test::made_up_sound(modes, names);
    const std::string boards = file_named(sound_plots(sound.report()), "sound-boards.svg").svg;
    CHECK_THAT(boards, Contains(">4 others<") && Contains(">board 4<") && !Contains(">board 5<"));

    solver::SoundResult& result = sound.result;
    for (solver::HeardCurves& listener : result.listeners) {
        listener.walls.setZero();
        for (Eigen::VectorXcd& board : listener.boards) board.setZero();
    }
    for (solver::SourceMotion& motion : result.motion) {
        motion.displacement.setZero();
        motion.velocity.setZero();
    }
    result.modes.clear();
    const auto silent = sound_plots(sound.report());
    CHECK(silent.size() == 4); // no modes, no chart of them
    for (const PlotFile& file : silent) {
        CAPTURE(file.name);
        CHECK(is_well_formed(file.svg));
        CHECK_FALSE(has_broken_number(file.svg));
    }
}
