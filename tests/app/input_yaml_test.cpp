// The strict subset of YAML: what is refused, and where it says so.

#include "app/input/internal/nearest.h"
#include "app/input/internal/text_file.h"
#include "app/input/internal/yaml_node.h"

#include <catch2/catch.hpp>

#include <cstdlib>
#include <filesystem>
#include <fstream>

using namespace stillwall;
using namespace stillwall::app;

namespace {

/// The complaint about a text, or "" when it is good.
std::string complaint(const std::string& text)
{
    try {
        const YamlDocument document = parse_yaml(text, "f");
        return document.root().where().line > 0 ? "" : "no line";
    } catch (const InputError& error) {
        return error.what();
    }
}

class TemporaryFolder
{
public:
    TemporaryFolder()
    {
        std::string pattern = (std::filesystem::temp_directory_path() / "stillwall-XXXXXX").string();
        REQUIRE(mkdtemp(pattern.data()) != nullptr);
        path_ = pattern;
    }
    ~TemporaryFolder() { std::filesystem::remove_all(path_); }
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;
    [[nodiscard]] std::filesystem::path file(const std::string& name) const { return path_ / name; }

private:
    std::filesystem::path path_;
};

std::string read_complaint(const std::filesystem::path& path)
{
    try {
        const YamlDocument document = read_yaml(path);
        return "";
    } catch (const InputError& error) {
        return error.what();
    }
}

} // namespace

TEST_CASE("places and paths of values", "[app][input][yaml]")
{
    const YamlDocument document = parse_yaml("\xEF\xBB\xBF"
                                             "é: {b: 3}\r\nc:\r\n  - ü x: 1\r\n    y: [1, 'é', zz]\r\n",
                                             "f.yaml");
    const YamlNode root = document.root();
    root.only_keys({"é", "c"});
    CHECK(root.at("é").at("b").path() == "é.b");
    CHECK(root.at("é").at("b").where().column == 8); // characters, not bytes
    const YamlNode item = root.at("c").items().front();
    CHECK(item.path() == "c[1]");
    CHECK(item.where().line == 3);
    const YamlNode last = item.at("y").items(3)[2];
    CHECK(last.path() == "c[1].y[3]");
    CHECK(last.where().line == 4);
    CHECK(last.where().column == 17);
    CHECK(last.text() == "zz");
    CHECK_FALSE(root.has("b"));
}

TEST_CASE("YAML that is refused", "[app][input][yaml]")
{
    CHECK(complaint("") == "f: is empty");
    CHECK(complaint("# only a comment\n") == "f: is empty");
    CHECK(complaint("a: 1\nb: 2\na: 3\n") == "f:3:1: a: key is repeated, first written in line 1");
    CHECK(complaint("a: {b: [1, {c: 1, c: 2}]}") == "f:1:19: a.b[2].c: key is repeated, first written in line 1");
    CHECK(complaint("a: &x 1\n") == "f:1:4: anchor '&x' is not supported, write the values out where they are used");
    CHECK(complaint("a: !!int 3\n") == "f:1:4: tag 'tag:yaml.org,2002:int' is not supported");
    CHECK(complaint("a: !mine {b: 1}\n") == "f:1:4: tag '!mine' is not supported");
    CHECK(complaint("<<: {b: 1}\n") == "f:1:1: merge keys (<<) are not supported, write the keys out");
    CHECK(complaint("a: 1\n---\nb: 2\n") == "f:2:1: a second document starts here, only one per file is read");
    CHECK(complaint("%YAML 1.2\n---\na: 1\n") == "f:1:1: directives (%) are not supported, remove this line");
    CHECK(complaint("? [a]\n: 1\n") == "f:1:3: a key must be text, not a list or a map");
    CHECK(complaint(": 1\n") == "f:1:1: a key is missing before ':'");
    CHECK(complaint("a:\n\t- 1\n") == "f:2:1: tab in the indentation, use spaces");
    CHECK_THAT(complaint("a: *x\n"), Catch::Matchers::StartsWith("f:1:4: not valid YAML"));
    CHECK_THAT(complaint("a: [1, 2\n"), Catch::Matchers::StartsWith("f:2:1: not valid YAML"));
    CHECK(complaint("a: 'x\nb: 2\n") == "f:1:4: the quote (') that begins here is never closed");
    CHECK(complaint("a: 'it''s\n") == "f:1:4: the quote (') that begins here is never closed");
    CHECK(complaint("a: \"x\\\"\n") == "f:1:4: the quote (\") that begins here is never closed");
    CHECK(complaint("a: 'it''s'\nb: \"x\\\"\"\nc: 11/16\"\n").empty());
}

TEST_CASE("characters that are refused", "[app][input][yaml]")
{
    using namespace std::string_literals;
    CHECK(complaint("a: é\xff\n") == "f:1:5: byte 0xFF is not UTF-8, save the file as UTF-8");
    CHECK(complaint("a: \xc0\xaf\n") == "f:1:4: byte 0xC0 is not UTF-8, save the file as UTF-8");
    CHECK(complaint("a: \xed\xa0\x80\n") == "f:1:4: byte 0xED is not UTF-8, save the file as UTF-8");
    CHECK(complaint("a: \xf5\x80\x80\x80\n") == "f:1:4: byte 0xF5 is not UTF-8, save the file as UTF-8");
    CHECK(complaint("a: \xe2\x82") == "f:1:4: byte 0xE2 is not UTF-8, save the file as UTF-8");
    CHECK(complaint("a: 1\nb: x\0y\n"s) == "f:2:5: NUL byte, this does not look like a text file; save it as UTF-8");
    CHECK(complaint("a: \x1b[31m\n") == "f:1:4: control character U+001B, remove it");
    CHECK(complaint("a: \xe2\x80\xae\n") == "f:1:4: control character U+202E, remove it");
    CHECK(complaint("a: 1\rb: 2\r") ==
          "f:1:5: line end of an old kind (CR alone), save the file with LF or CRLF line ends");
    // The same by way of an escape.
    CHECK(complaint("a: \"\\x1b[31m\"\n") ==
          "f:1:4: text holds a control character or a broken one, remove the escape");
    CHECK(complaint("\"\\0\": 1\n") == "f:1:1: text holds a control character or a broken one, remove the escape");
    CHECK(complaint("a: é ü ✓ 𝄞\n").empty());
}

TEST_CASE("nesting has a limit", "[app][input][yaml]")
{
    const auto nested = [](int n) { return "a: " + std::string(n, '[') + "1" + std::string(n, ']') + "\n"; };
    CHECK(complaint(nested(49)).empty());
    CHECK(complaint(nested(50)) == "f:1:53: nested deeper than 50 levels");
    CHECK_THAT(complaint("a: " + std::string(500'000, '[')), Catch::Matchers::StartsWith("f:1:"));
    CHECK_THAT(complaint("a: " + std::string(500'000, '{')), Catch::Matchers::StartsWith("f:1:"));
    std::string staircase;
    for (int i = 0; i < 1000; ++i) staircase += std::string(static_cast<std::size_t>(i), ' ') + "a:\n";
    CHECK(complaint(staircase) == "f:51:51: nested deeper than 50 levels");
}

TEST_CASE("a value of the wrong kind says what is wanted", "[app][input][yaml]")
{
    const YamlDocument document =
        parse_yaml("text: abc\nlist: [1, 2]\nmap: {k: 1}\nnone:\nempty: []\nblock: |\n  a\n  b\n", "f");
    const YamlNode root = document.root();
    CHECK_THROWS_WITH(root.at("text").items(), "f:1:7: text: needs a list, like [1, 2] or lines that start with '-'; "
                                               "got a single value");
    CHECK_THROWS_WITH(root.at("text").entries(),
                      "f:1:7: text: needs keys with values, like {key: value}; got a single value");
    CHECK_THROWS_WITH(root.at("list").text(), "f:2:7: list: needs a single value; got a list");
    CHECK_THROWS_WITH(root.at("map").text(), "f:3:6: map: needs a single value; got keys");
    CHECK_THROWS_WITH(root.at("none").text(), "f:4:1: none: value is missing, needs a single value");
    CHECK_THROWS_WITH(root.at("empty").items(), "f:5:8: empty: list is empty, leave the key out or fill it");
    CHECK_THROWS_WITH(root.at("list").items(3), "f:2:7: list: needs a list of 3 values, got 2");
    CHECK_THROWS_WITH(root.at("block").text(), "f:6:8: block: must be one line of at most 200 bytes");
    CHECK_THROWS_WITH(root.at("gone"), "f:1:1: gone: key is missing");
    CHECK_THROWS_WITH(root.at("map").only_keys({"kk"}), "f:3:7: map.k: unknown key, known here: kk");
    CHECK_THROWS_WITH(root.at("text").choice({"abd", "xyz"}), "f:1:7: text: unknown word 'abc', did you mean 'abd'?");
    CHECK_THROWS_WITH(root.at("list").items()[1].length({0.01, 0.02}),
                      "f:2:11: list[2]: must lie between 10 mm and 20 mm, got 2");
}

TEST_CASE("a limit holds to the last bit in any unit", "[app][input][yaml]")
{
    // 8 in is 203.2 mm: the two products differ by rounding.
    const YamlDocument document = parse_yaml("a: 8 in\nb: 20.32 cm\nc: 203.2\n", "f");
    for (const YamlNode::Entry& entry : document.root().entries()) CHECK_NOTHROW(entry.value.length({0, 203.2e-3}));
}

TEST_CASE("hints name the nearest word, or all if few", "[app][input][yaml]")
{
    const std::vector<std::string> known{"material", "thickness", "grain", "layers"};
    CHECK(hint_from("thicknes", known) == ", did you mean 'thickness'?");
    CHECK(hint_from("Grain", known) == ", did you mean 'grain'?");
    CHECK(hint_from("garin", known) == ", did you mean 'grain'?");
    CHECK(hint_from("zzz", known) == ", known here: material, thickness, grain, layers");
    CHECK(hint_from("x", {"y"}) == ", known here: y");
    CHECK(hint_from("zzz", std::vector<std::string>(13, "long_word")).empty());
    CHECK(hint_from("zzz", {}).empty());
    CHECK(hint_from(std::string(100'000, 'a'), known) == ", known here: material, thickness, grain, layers");
}

TEST_CASE("files that cannot be read", "[app][input][yaml]")
{
    const TemporaryFolder folder;
    const auto file = folder.file("f.yaml");
    CHECK(read_complaint(file) == file.string() + ": no such file");
    CHECK(read_complaint(file / "below") == (file / "below").string() + ": no such file");
    const auto directory = folder.file("");
    CHECK(read_complaint(directory) == directory.string() + ": is a directory, name the file inside it");
    std::ofstream(file).close();
    CHECK(read_complaint(file) == file.string() + ": is empty");
    CHECK(read_complaint("/dev/zero") == "/dev/zero: is not a regular file");
}

TEST_CASE("100 MB of noise are refused at once", "[app][input][yaml]")
{
    const TemporaryFolder folder;
    const auto file = folder.file("noise.yaml");
    std::ofstream stream(file, std::ios::binary);
    std::string block(1'000'000, '\0');
    unsigned state = 1;
    for (char& c : block) c = static_cast<char>((state = state * 1664525u + 1013904223u) >> 24);
    for (int i = 0; i < 100; ++i) stream.write(block.data(), static_cast<std::streamsize>(block.size()));
    stream.close();
    REQUIRE(std::filesystem::file_size(file) == 100'000'000);
    CHECK(read_complaint(file) == file.string() + ": larger than 1 MB, is it really a text file for this program?");

    // Below the size limit the first odd byte stops it.
    CHECK_THAT(complaint(block), Catch::Matchers::Contains("UTF-8") || Catch::Matchers::Contains("control"));
}
