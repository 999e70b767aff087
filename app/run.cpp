#include "app/run.h"

#include "app/verbs/common/commands.h"
#include "app/version.h"
#include "app/workers/apart.h"
#include "mesh/cabinet/error.h"
#include "mesh/cabinet/names.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ostream.h>
#include <fmt/ranges.h>

#include <sstream>

namespace stillwall::app {
namespace {

constexpr const char* about =
    "stillwall predicts how the boards of a loudspeaker cabinet vibrate: which of them ring, at what frequency,\n"
    "for how long, how hard the drivers push them, and whether a listener could hear it.";

constexpr const char* overview =
    "\nExample:\n"
    "  stillwall modes examples/01-small-two-way/cabinet.yaml\n"
    "\n'stillwall VERB --help' explains one verb. Exit codes: 0 done, 1 computation failed, 2 input wrong.";

/// The verb the user reached, or the program when none.
const CLI::App& reached(const CLI::App& program)
{
    const std::vector<CLI::App*> verbs = program.get_subcommands();
    return verbs.empty() ? program : *verbs.front();
}

std::string full_name(const CLI::App& program)
{
    const CLI::App& verb = reached(program);
    return &verb == &program ? "stillwall" : "stillwall " + verb.get_name();
}

std::vector<std::string> verb_names(const CLI::App& program)
{
    std::vector<std::string> names;
    for (const CLI::App* verb : program.get_subcommands([](const CLI::App*) { return true; }))
        names.push_back(verb->get_name());
    return names;
}

std::vector<std::string> option_names(const CLI::App& verb)
{
    std::vector<std::string> names;
    for (const CLI::Option* option : verb.get_options())
        for (const std::string& name : option->get_lnames()) names.push_back("--" + name);
    return names;
}

/// The library's own words, or better ones where a word was left over or no verb was given.
std::string parse_problem(const CLI::App& program, const CLI::ParseError& error)
{
    const std::vector<std::string> left_over = program.remaining(true);
    const bool has_verb = &reached(program) != &program;
    if (left_over.empty() && !has_verb) return fmt::format("say what to do: {}", fmt::join(verb_names(program), ", "));
    if (left_over.empty()) return error.what();
    const std::string& word = left_over.front();
    if (word.starts_with("-"))
        return fmt::format("unknown option '{}', {}", word, name_hint(word, option_names(reached(program))));
    if (!has_verb) return fmt::format("unknown verb '{}', {}", word, name_hint(word, verb_names(program)));
    return fmt::format("'{}' is one word too many", word);
}

int report_parse_result(const CLI::App& program, const CLI::ParseError& error, const Streams& streams)
{
    if (error.get_exit_code() == static_cast<int>(CLI::ExitCodes::Success)) {
        // --help and --version arrive as "errors" with the text still to be printed.
        program.exit(error, streams.out, streams.err);
        return exit_done;
    }
    fmt::print(streams.err, "stillwall: {}; see '{} --help'\n", parse_problem(program, error), full_name(program));
    return exit_wrong_input;
}

int parse_and_act(int argc, const char* const* argv, const Streams& streams)
{
    CLI::App program{about, "stillwall"};
    program.set_version_flag("--version", fmt::format("stillwall {}", program_version), "Print the version and exit");
    program.set_help_flag("-h,--help", "Explain and exit");
    program.get_formatter()->label("SUBCOMMAND", "VERB");
    program.get_formatter()->label("Subcommands", "Verbs");
    program.get_formatter()->label("Positionals", "Reads");
    program.require_subcommand(1);
    program.footer(overview);

    Action action;
    add_check(program, action);
    add_modes(program, action);
    add_sound(program, action);
    add_compare(program, action);
    add_vary(program, action);
    add_improve(program, action);
    add_workshop(program, action);
    add_report(program, action);
    add_explain(program, action);
    add_knock(program, action);
    add_driver(program, action);
    add_strip(program, action);
    add_materials(program, action);

    try {
        program.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
        return report_parse_result(program, error, streams);
    }
    action(streams);
    streams.out.flush();
    if (!streams.out) throw Error("could not write to standard output");
    return exit_done;
}

} // namespace

int run(int argc, const char* const* argv, const Streams& own_streams) noexcept
{
    // Of processes started together one speaks for all.
    std::ostringstream nowhere;
    const bool is_helper = is_helper_rank();
    const Streams streams{is_helper ? nowhere : own_streams.out, is_helper ? nowhere : own_streams.err,
                          own_streams.err_is_terminal && !is_helper};
    try {
        return parse_and_act(argc, argv, streams);
    } catch (const InputError& error) {
        streams.err << error.what() << '\n';
        return exit_wrong_input;
    } catch (const Error& error) {
        streams.err << "stillwall: " << error.what() << '\n';
    } catch (const std::bad_alloc&) {
        streams.err << "stillwall: not enough memory; try --accuracy draft or a lower --upper\n";
    } catch (const std::exception& error) {
        streams.err << "stillwall: internal error: " << error.what() << '\n';
    }
    return exit_failed;
}

} // namespace stillwall::app
