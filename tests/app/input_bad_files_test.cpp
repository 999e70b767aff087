// Every file in tests/bad_input must be refused with exactly the sentence in its .expected file: the
// message after the file's name.

#include "app/input/cabinet_file.h"
#include "app/input/material_file.h"
#include "mesh/cabinet/build.h"
#include "mesh/cabinet/build_sound.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <fstream>

using namespace stillwall;

namespace {

std::vector<std::filesystem::path> bad_files()
{
    std::vector<std::filesystem::path> files;
    for (const auto& entry : std::filesystem::directory_iterator("tests/bad_input"))
        if (entry.path().extension() == ".yaml") files.push_back(entry.path());
    std::sort(files.begin(), files.end());
    return files;
}

std::string first_line(std::filesystem::path file)
{
    std::ifstream stream(file.replace_extension(".expected"));
    std::string line;
    std::getline(stream, line);
    return line;
}

std::string complaint(const std::filesystem::path& file, const app::MaterialLibrary& library)
{
    try {
        const CabinetPlan plan = app::read_cabinet(file, library);
        static_cast<void>(build_sound(plan, build_cabinet(plan)));
        return "accepted";
    } catch (const InputError& error) {
        const std::string text = error.what();
        if (text.rfind(file.string(), 0) != 0) return "message without the file's name: " + text;
        // "f.yaml:3:5: key: problem", or "f.yaml: problem" about the whole file.
        return text.substr(text.find_first_not_of(' ', file.string().size() + 1));
    }
}

} // namespace

TEST_CASE("bad files are refused with a place and a reason", "[app][input][bad]")
{
    const app::MaterialLibrary library = app::load_materials("materials");
    const auto files = bad_files();
    REQUIRE(files.size() >= 100);
    for (const auto& file : files) {
        CAPTURE(file.string());
        const std::string message = complaint(file, library);
        CHECK(message == first_line(file));
        CHECK(message.find('\n') == std::string::npos);
    }
}
