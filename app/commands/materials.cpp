#include "app/commands/commands.h"
#include "app/input/material_file.h"
#include "app/output/materials_text.h"

#include <CLI/CLI.hpp>

#include <memory>
#include <string>

namespace stillwall::app {
namespace {

constexpr const char* example =
    "\nExample:\n"
    "  stillwall materials birch_plywood\n"
    "\nThe library is the folder materials/ of the source tree; STILLWALL_MATERIALS names another folder.";

void list_materials(const std::string& name, const Streams& streams)
{
    const MaterialLibrary library = load_materials(default_materials_dir());
    if (name.empty()) {
        streams.out << materials_list_text(library);
        return;
    }
    try {
        streams.out << stock_text(library, find_stock(library, name));
    } catch (const MaterialError& error) {
        throw InputError({}, "", error.what());
    }
}

} // namespace

void add_materials(CLI::App& program, Action& action)
{
    CLI::App* verb = program.add_subcommand("materials", "The boards and layers the program knows, with sources");
    verb->footer(example);

    // Shared by the option and the action, which outlives this function.
    const auto name = std::make_shared<std::string>();
    verb->add_option("NAME", *name, "Show every figure of this one")->option_text(" ");
    verb->callback([name, &action] { action = [name](const Streams& streams) { list_materials(*name, streams); }; });
}

} // namespace stillwall::app
