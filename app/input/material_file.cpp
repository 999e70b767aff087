#include "app/input/material_file.h"

#include "app/input/internal/fixing_reader.h"
#include "app/input/internal/material_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <system_error>

namespace stillwall::app {
namespace {

std::vector<std::filesystem::path> yaml_files(const std::filesystem::path& dir)
{
    std::vector<std::filesystem::path> files;
    std::error_code problem;
    for (std::filesystem::directory_iterator it(dir, problem), end; !problem && it != end; it.increment(problem))
        if (it->path().extension() == ".yaml") files.push_back(it->path());
    if (problem) throw InputError({dir.string()}, "", "materials folder cannot be read: " + problem.message());
    if (files.empty()) throw InputError({dir.string()}, "", "materials folder holds no .yaml file");
    std::sort(files.begin(), files.end()); // the order on disk is arbitrary
    return files;
}

void check_names(const std::vector<PlacedStock>& placed)
{
    for (auto it = placed.begin(); it != placed.end(); ++it) {
        const auto has_name = [](const std::string& name) {
            return [&name](const PlacedStock& other) { return other.stock.info.name == name; };
        };
        const auto first = std::find_if(placed.begin(), it, has_name(it->stock.info.name));
        if (first != it)
            throw InputError(it->where, it->stock.info.name,
                             fmt::format("name is taken by {}:{}", first->where.file, first->where.line));
        const auto& facing = it->stock.facing;
        if (!facing) continue;
        const auto sheet = std::find_if(placed.begin(), placed.end(), has_name(facing->stock));
        if (sheet == placed.end() || sheet->stock.plywood || sheet->stock.facing)
            throw InputError(it->where, it->stock.info.name + ".faced_with",
                             fmt::format("'{}' is not a stock of one material", facing->stock));
        const StockInfo& info = sheet->stock.info;
        if (facing->thickness > info.thickest)
            throw InputError(it->where, it->stock.info.name + ".faced_with", "thicker than that stock is made");
    }
}

} // namespace

std::filesystem::path default_materials_dir()
{
    if (const char* named = std::getenv("STILLWALL_MATERIALS"); named != nullptr && *named != '\0') return named;
    std::error_code problem;
    const std::filesystem::path program = std::filesystem::read_symlink("/proc/self/exe", problem);
    if (!problem) {
        const auto installed = program.parent_path().parent_path() / "share" / "stillwall" / "materials";
        if (std::filesystem::is_directory(installed, problem)) return installed;
    }
    return STILLWALL_SOURCE_MATERIALS;
}

MaterialLibrary load_materials(const std::filesystem::path& dir)
{
    std::vector<PlacedStock> placed;
    for (const auto& file : yaml_files(dir))
        for (PlacedStock& stock : read_stock_file(file)) placed.push_back(std::move(stock));
    check_names(placed);

    MaterialLibrary library;
    for (PlacedStock& stock : placed) library.stocks.push_back(std::move(stock.stock));
    for (const char* folder : {"fixings", "filling"})
        if (std::error_code problem; std::filesystem::is_directory(dir / folder, problem))
            for (const auto& file : yaml_files(dir / folder)) read_fixing_file(file, library.fixings);
    return library;
}

} // namespace stillwall::app
