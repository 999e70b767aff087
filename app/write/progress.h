#pragma once
// How far a run is: a bar on a terminal, a line now and then elsewhere, and life signs while a step takes long.

#include <chrono>
#include <condition_variable>
#include <mutex>
#include <ostream>
#include <string>
#include <thread>

namespace stillwall::app {

/// On a terminal the bar is drawn anew at every step and, with the seconds since the step began, once a second; it is
/// wiped at the end of its life so that nothing of it stays on the screen. Elsewhere nothing is said for a minute, then
/// a line a minute: "stillwall: 41 %, sound outside, 2 min". Life signs come from a thread of its own, which ends with
/// clear(); forked children do without it.
class Progress
{
public:
    using Seconds = std::chrono::duration<double>;

    /// @param between  time between life signs
    Progress(std::ostream& stream, bool is_terminal, Seconds between)
        : stream_(&stream), is_terminal_(is_terminal), between_(between)
    {
    }
    Progress(std::ostream& stream, bool is_terminal) : Progress(stream, is_terminal, Seconds(is_terminal ? 1 : 60)) {}
    /// Says nothing and starts no thread.
    Progress() = default;
    ~Progress() { clear(); }
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;

    /// @param fraction  of the whole run, 0 to 1
    void show(const std::string& step, double fraction);
    void clear();

private:
    using Clock = std::chrono::steady_clock;

    void draw();
    void give_life_signs();

    std::ostream* stream_ = nullptr;
    bool is_terminal_ = false;
    Seconds between_{1};
    bool is_drawn_ = false;
    std::string step_;
    double fraction_ = 0;
    Clock::time_point run_began_, step_began_;

    std::mutex mutex_; ///< guards all above while the thread lives
    std::condition_variable ends_;
    bool is_over_ = false;
    std::thread thread_;
};

/// A duration for people who wait: "45 s", "3 min", "1.5 h".
[[nodiscard]] std::string waiting_time(double seconds);

} // namespace stillwall::app
