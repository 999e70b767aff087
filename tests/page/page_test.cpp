#include "app/write/page.h"
#include "mesh/cabinet/error.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

using namespace stillwall;
using namespace stillwall::app;

namespace {

const std::string parts = "<title>{{stillwall title}}</title><body><!--{{stillwall data}}--><script>1</script>";

int count(const std::string& text, const std::string& what)
{
    int n = 0;
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++n;
    return n;
}

} // namespace

TEST_CASE("names that are markup stay text on a page")
{
    const std::string evil = R"(</script><script>alert(1)</script><!-- {{stillwall title}} <!--{{stillwall data}}-->)";
    const nlohmann::json result{{"cabinet", {{"name", evil}}}};
    const std::string text = page_text(parts, evil, {{"check", result.dump(), {}}});
    // Reference: by hand, the elements of the parts and one block of data. Tolerance: none, these are counts.
    CHECK(count(text, "<script") == 2);
    CHECK(count(text, "</script") == 2);
    CHECK(count(text, "<!--") == 0);
    CHECK(count(text, "</title>") == 1);

    // Reference: the result that was put in. Tolerance: none, the same JSON value.
    const std::size_t from = text.find("data-result=\"check\">") + 20;
    CHECK(nlohmann::json::parse(text.substr(from, text.find("</script>", from) - from)) == result);
}

TEST_CASE("a page has a block for each result and each geometry")
{
    const std::string text = page_text(parts, "two", {{"check", "{}", {}}, {"modes", "{}", "{}"}});
    // Reference: by hand. Tolerance: none, these are counts.
    CHECK(count(text, "data-result=") == 2);
    CHECK(count(text, "data-geometry=\"modes\"") == 1);
}

TEST_CASE("drawings are data of a page, and shapes may come without a result")
{
    const std::string svg = "<svg><script>alert(1)</script></svg>";
    const std::string text = page_text(parts, "two",
                                       {{.verb = "workshop", .result = "{}", .drawings = {{"a <b>", svg}}},
                                        {.verb = "compare-0", .result = {}, .geometry = "{}"}});
    // Reference: by hand: the page's own script and three blocks of data. Tolerance: none, these are counts.
    CHECK(count(text, "<script") == 4);
    CHECK(count(text, "<svg") == 0);
    CHECK(count(text, "data-result=") == 1);
    CHECK(count(text, "data-geometry=\"compare-0\"") == 1);
    const std::size_t from = text.find("data-drawings=\"workshop\">") + 25;
    const auto drawings = nlohmann::json::parse(text.substr(from, text.find("</script>", from) - from));
    CHECK(drawings[0]["svg"] == svg);
    CHECK(drawings[0]["name"] == "a <b>");
}

TEST_CASE("parts of another version are refused")
{
    CHECK_THROWS_AS(page_text("<title>{{stillwall title}}</title>", "a", {}), Error);
    CHECK_THROWS_AS(page_text(parts + parts, "a", {}), Error);
}
