#pragma once
// A place to draw: the X display already there, or a virtual one of our own. No VTK here.

#include <sys/types.h>

#include <string>

namespace stillwall::viz {

/// An X display that can be reached for as long as this object lives. A virtual one is stopped at the end.
class Display
{
public:
    /// An existing display.
    explicit Display(std::string name) : name_(std::move(name)) {}
    /// A virtual display served by our child process `server`.
    Display(std::string name, pid_t server) : name_(std::move(name)), server_(server) {}
    ~Display();
    Display(Display&& other) noexcept;
    Display(const Display&) = delete;
    Display& operator=(const Display&) = delete;
    Display& operator=(Display&&) = delete;

    [[nodiscard]] const std::string& name() const noexcept { return name_; } ///< e.g. ":99"
    [[nodiscard]] bool is_virtual() const noexcept { return server_ > 0; }

private:
    std::string name_;
    pid_t server_ = -1;
};

/// The display named by DISPLAY if it answers and can draw in three dimensions, else a virtual one: starts
/// `Xvfb` from PATH. The environment is not changed.
/// @throws RenderError  saying in one line what to install or what went wrong
[[nodiscard]] Display ensure_display();

} // namespace stillwall::viz
