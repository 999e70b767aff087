#include "app/write/numbers.h"
#include "app/write/progress.h"
#include "app/write/text_table.h"

#include <catch2/catch.hpp>

#include <sstream>

using namespace stillwall::app;

TEST_CASE("numbers as people read them", "[app][output]")
{
    // Reference: rounding by hand.
    CHECK(significant(0.03456, 2) == "0.035");
    CHECK(significant(9.96, 2) == "10");
    CHECK(significant(1234, 2) == "1200");
    CHECK(significant(0.0996, 2) == "0.10");
    CHECK(significant(50, 2) == "50");
    CHECK(significant(0, 2) == "0");
    CHECK(shortest(2.50, 3) == "2.5");
    CHECK(shortest(740, 3) == "740");
    CHECK(shortest(1000, 3) == "1000");
    CHECK(shortest(0.00042, 3) == "0.00042");
    CHECK(in_mm(0.0185) == "18.5");
    CHECK(in_mm(0.35) == "350");
    CHECK(in_mm(0.0254) == "25.4");
    CHECK(in_mm(-0.00001) == "0");
    CHECK(in_percent(0.394) == "39 %");
    CHECK(in_kg(9.624) == "9.62");
    CHECK(in_kg(123.44) == "123.4");
    CHECK(in_litres(0.01426) == "14.3");
    CHECK(in_hertz(64.26) == "64.3");
    CHECK(in_hertz(412.6) == "413");
}

TEST_CASE("bands: symmetric, lopsided, below 100 Hz", "[app][output]")
{
    CHECK(with_band(412, 388, 436) == "412 ±24");
    CHECK(with_band(412, 388.4, 435.6) == "412 ±24");
    CHECK(with_band(412, 394, 436) == "412 +24/−18");
    CHECK(with_band(64, 62.5, 65.5) == "64.0 ±1.5");
}

TEST_CASE("display width counts characters, not bytes", "[app][output]")
{
    CHECK(display_width("412 ±24") == 7);
    CHECK(display_width("− – ×") == 5);
    CHECK(display_width("") == 0);
}

TEST_CASE("wrapping keeps every word and no line is too long", "[app][output]")
{
    const std::string text = "the back moves as one surface and the woofer pushes it";
    std::string joined;
    for (const std::string& line : wrap_text(text, 14)) {
        CHECK(display_width(line) <= 14);
        joined += (joined.empty() ? "" : " ") + line;
    }
    CHECK(joined == text);
    CHECK(wrap_text("", 10) == std::vector<std::string>{""});
    CHECK(wrap_text("unbreakable word", 4) == std::vector<std::string>{"unbreakable", "word"});
}

TEST_CASE("table: columns line up, wrapped cells continue below", "[app][output]")
{
    TextTable table;
    table.columns = {{"#", Align::Right}, {"Band", Align::Left}, {"Why", Align::Left, 9}};
    table.rows = {{"1", "412 ±24", "front and shelf"}, {"10", "–", "x"}};
    CHECK(table.text("  ") == "   #  Band     Why\n"
                              "   1  412 ±24  front and\n"
                              "               shelf\n"
                              "  10  –        x\n");
    CHECK(table.width_without_last("  ") == 15);
}

TEST_CASE("progress: a bar on a terminal, wiped at the end; silence elsewhere", "[app][output]")
{
    std::ostringstream quiet, terminal;
    {
        Progress progress(quiet, false);
        progress.show("meshing", 0.5);
    }
    CHECK(quiet.str().empty());
    {
        Progress progress(terminal, true);
        progress.show("meshing", 0.5);
        CHECK(terminal.str().find("50 %  meshing") != std::string::npos);
        CHECK(terminal.str().find('\n') == std::string::npos);
    }
    const std::string wiped = "\r\x1b[K";
    CHECK(terminal.str().substr(terminal.str().size() - wiped.size()) == wiped);
}

TEST_CASE("a long step gives life signs: seconds on a terminal, lines elsewhere", "[app][output]")
{
    using namespace std::chrono_literals;
    std::ostringstream terminal, piped;
    {
        Progress bar(terminal, true, 50ms), lines(piped, false, 50ms);
        bar.show("sound outside", 0.41);
        lines.show("sound outside", 0.41);
        std::this_thread::sleep_for(2500ms); // the bar tells seconds from the second one on
    }
    CHECK(terminal.str().find("41 %  sound outside, 2 s") != std::string::npos);
    CHECK(piped.str().starts_with("stillwall: 41 %, sound outside, 0 s\n"));
    CHECK(piped.str().find('\r') == std::string::npos);
    std::ostringstream silent;
    {
        Progress none;
        none.show("anything", 0.5);
        Progress late(silent, false);
        late.show("anything", 0.5);
    }
    CHECK(silent.str().empty()); // over before its first minute
}

TEST_CASE("waiting is told in the unit that fits", "[app][output]")
{
    CHECK(waiting_time(0.4) == "0 s");
    CHECK(waiting_time(89) == "89 s");
    CHECK(waiting_time(150) == "2 min");
    CHECK(waiting_time(3 * 3600) == "3.0 h");
}
