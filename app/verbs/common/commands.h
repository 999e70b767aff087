#pragma once
// The verbs. Each declares its options on the program and, when the user chose it, leaves what is to be done.

#include "app/write/streams.h"

#include <functional>

namespace CLI {
class App;
}

namespace stillwall::app {

/// What the chosen verb does, run after the whole command line was found right.
using Action = std::function<void(const Streams&)>;

void add_check(CLI::App& program, Action& action);
void add_modes(CLI::App& program, Action& action);
void add_sound(CLI::App& program, Action& action);
void add_materials(CLI::App& program, Action& action);
void add_strip(CLI::App& program, Action& action);
void add_driver(CLI::App& program, Action& action);
void add_knock(CLI::App& program, Action& action);
void add_explain(CLI::App& program, Action& action);
void add_compare(CLI::App& program, Action& action);
void add_vary(CLI::App& program, Action& action);
void add_improve(CLI::App& program, Action& action);
void add_workshop(CLI::App& program, Action& action);
void add_report(CLI::App& program, Action& action);

} // namespace stillwall::app
