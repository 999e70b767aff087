#include "app/input/material_file.h"
#include "app/verbs/common/commands.h"
#include "app/verbs/materials/materials_text.h"
#include "mesh/cabinet/names.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <memory>
#include <string>
#include <vector>

namespace stillwall::app {
namespace {

constexpr const char* example =
    "\nExample:\n"
    "  stillwall materials birch_plywood\n"
    "\nThe library is the folder materials/ of the source tree; STILLWALL_MATERIALS names another folder.";

/// Every entry of this name, since a stock, a strip, a foot and a filling may share one; empty when there is none.
std::string pages_of(const MaterialLibrary& library, const std::string& name)
{
    std::vector<std::string> pages;
    for (const Stock& stock : library.stocks)
        if (stock.info.name == name) pages.push_back(stock_text(library, stock));
    for (const Fixing& fixing : library.fixings)
        if (fixing.name == name) pages.push_back(fixing_text(fixing));
    return fmt::format("{}", fmt::join(pages, "\n"));
}

[[noreturn]] void refuse(const MaterialLibrary& library, const std::string& name)
{
    std::vector<std::string> known;
    for (const Stock& stock : library.stocks) known.push_back(stock.info.name);
    for (const Fixing& fixing : library.fixings) known.push_back(fixing.name);
    if (const auto nearest = nearest_name(name, known))
        throw InputError({}, "",
                         fmt::format("unknown material, fixing or filling '{}', did you mean '{}'?", name, *nearest));
    try {
        static_cast<void>(find_stock(library, name)); // knows parts of names, too
    } catch (const MaterialError& error) {
        throw InputError({}, "", error.what());
    }
    throw InputError({}, "", fmt::format("unknown material, fixing or filling '{}'", name));
}

void list_materials(const std::string& name, const Streams& streams)
{
    const MaterialLibrary library = load_materials(default_materials_dir());
    if (name.empty()) {
        streams.out << materials_list_text(library);
        return;
    }
    const std::string pages = pages_of(library, name);
    if (pages.empty()) refuse(library, name);
    streams.out << pages;
}

} // namespace

void add_materials(CLI::App& program, Action& action)
{
    CLI::App* verb =
        program.add_subcommand("materials", "Boards, layers, fixings and fillings the program knows, with sources");
    verb->footer(example);

    // Shared by the option and the action, which outlives this function.
    const auto name = std::make_shared<std::string>();
    verb->add_option("NAME", *name, "Show every figure of this one")->option_text(" ");
    verb->callback([name, &action] { action = [name](const Streams& streams) { list_materials(*name, streams); }; });
}

} // namespace stillwall::app
