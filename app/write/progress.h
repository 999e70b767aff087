#pragma once
// A bar on a terminal, silence elsewhere.

#include <ostream>
#include <string>

namespace stillwall::app {

/// Shows how far a run is; the bar is wiped at the end of its life so that nothing of it stays on the screen.
class Progress
{
public:
    Progress(std::ostream& stream, bool is_terminal) : stream_(stream), is_terminal_(is_terminal) {}
    ~Progress() { clear(); }
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;

    /// @param fraction  of the whole run, 0 to 1
    void show(const std::string& step, double fraction);
    void clear();

private:
    std::ostream& stream_;
    bool is_terminal_;
    bool is_drawn_ = false;
};

} // namespace stillwall::app
