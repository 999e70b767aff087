#pragma once
// Work done in a child process, so that a library that aborts or exits cannot take the caller with it.

#include <functional>

namespace stillwall::viz {

/// Runs `work` in a forked child and waits for it. `work` gets a function that reports progress;
/// each report calls `on_report` here. What the child changes in memory is lost, files stay.
/// @throws RenderError  with the message of an exception thrown by `work`, or how the child died
void run_in_child(const std::function<void(const std::function<void()>& report)>& work,
                  const std::function<void()>& on_report);

} // namespace stillwall::viz
