#pragma once
// The page of a run: one HTML file that holds the results as JSON, the cabinet's shapes, and the script that shows
// them.

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace stillwall::app {

/// A drawing as the verb makes it for a file.
struct PageDrawing
{
    std::string name, svg;
};

/// What one verb found.
struct PageRun
{
    std::string verb;
    std::string result;     ///< as --json writes it
    std::string geometry{}; ///< of page_geometry(); empty: nothing to draw
    std::vector<PageDrawing> drawings{};
};

/// Everything a page shows, in its order.
using PageRuns = std::vector<PageRun>;

/// Asked before a long computation: the file can be written, and the page's own parts were built.
/// @throws InputError  naming the option and, where the parts are missing, how to get them
void require_page(const std::filesystem::path& file, std::string_view option = "--report");

/// The page's text: `parts` (built from viz/page) with title and data put in. Data cannot end its element nor open a
/// comment: in JSON '<' is written \u003c, in the title &lt;.
/// @throws Error  when the parts do not have both places exactly once
[[nodiscard]] std::string page_text(const std::string& parts, const std::string& title, const PageRuns& runs);

/// Writes the whole file or nothing.
/// @throws Error
void write_page(const std::filesystem::path& file, const std::string& title, const PageRuns& runs);

} // namespace stillwall::app
