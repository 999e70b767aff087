#include "app/write/internal/base64.h"
#include "app/write/page_geometry.h"
#include "tests/page/one_board.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include <cmath>

using namespace stillwall;
using namespace stillwall::app;

namespace {

std::vector<std::uint8_t> ascii(const std::string& text)
{
    return {text.begin(), text.end()};
}

/// RFC 4648 backwards, plainly.
std::vector<std::uint8_t> unpacked(const std::string& text)
{
    const std::string digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    std::vector<std::uint8_t> bytes;
    unsigned bits = 0;
    int n_bits = 0;
    for (const char c : text) {
        if (c == '=') break;
        bits = bits << 6 | static_cast<unsigned>(digits.find(c));
        n_bits += 6;
        if (n_bits >= 8) bytes.push_back(static_cast<std::uint8_t>(bits >> (n_bits -= 8) & 0xFFU));
    }
    return bytes;
}

int word(const std::vector<std::uint8_t>& bytes, std::size_t index)
{
    return bytes.at(2 * index) | bytes.at(2 * index + 1) << 8;
}

} // namespace

TEST_CASE("base64 of the standard's examples")
{
    // Reference: RFC 4648, section 10. Tolerance: none, these are texts.
    CHECK(base64(ascii("")).empty());
    CHECK(base64(ascii("f")) == "Zg==");
    CHECK(base64(ascii("fo")) == "Zm8=");
    CHECK(base64(ascii("foo")) == "Zm9v");
    CHECK(base64(ascii("foobar")) == "Zm9vYmFy");
}

TEST_CASE("places and displacements come back from a page's geometry")
{
    const Cabinet cabinet = test::front_board();
    const ShellMesh mesh = test::one_element();
    const Eigen::MatrixXd shapes = Eigen::MatrixXd::Random(27, 1);
    const auto json = nlohmann::json::parse(page_geometry(cabinet, mesh, shapes, {{7, 0}}));

    const auto places = unpacked(json.at("nodes").at("uint16"));
    const double step = json.at("nodes").at("step_mm");
    REQUIRE(places.size() == 2 * 27);
    // Reference: the mesh. Tolerance: half a step of the 16 bits, 300 mm / 65535 / 2, and round-off.
    for (std::size_t i = 0; i < 27; ++i) {
        const double low = json.at("nodes").at("low_mm").at(i % 3);
        const double want = 1e3 * mesh.nodes.reshaped()(static_cast<Eigen::Index>(i));
        CHECK(std::abs(low + step * word(places, i) - want) <= 0.5001 * step);
    }

    const auto packed = unpacked(json.at("shapes").at(0).at("int16"));
    const double scale = json.at("shapes").at(0).at("scale");
    REQUIRE(packed.size() == 2 * 27);
    // Reference: the shape. Tolerance: half a step of the 16 bits, the largest component / 32767 / 2, and round-off.
    for (std::size_t i = 0; i < 27; ++i) {
        const int value = static_cast<std::int16_t>(word(packed, i));
        CHECK(std::abs(scale * value - shapes(static_cast<Eigen::Index>(i), 0)) <= 0.5001 * scale);
    }
    // Reference: the request. Tolerance: none, a number of a mode.
    CHECK(json.at("shapes").at(0).at("mode") == 7);
}

TEST_CASE("shapes past a page's size are left out, the last ones first, never all")
{
    const Eigen::MatrixXd shapes = Eigen::MatrixXd::Random(27, 3);
    const auto made = [&](std::size_t bytes) {
        return nlohmann::json::parse(
            page_geometry(test::front_board(), test::one_element(), shapes, {{3, 2}, {1, 0}, {2, 1}}, bytes));
    };
    // Reference: by hand. Tolerance: none, these are counts.
    CHECK(made(1'000'000).at("shapes").size() == 3);
    const auto small = made(1);
    CHECK(small.at("shapes").size() == 1);
    CHECK(small.at("shapes").at(0).at("mode") == 3);
    CHECK(small.at("shapes_left_out") == 2);
}
