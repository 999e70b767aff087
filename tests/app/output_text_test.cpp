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
