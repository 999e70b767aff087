#include "app/write/page.h"

#include "app/write/files.h"
#include "mesh/cabinet/error.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <fstream>
#include <sstream>

namespace stillwall::app {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view title_place = "{{stillwall title}}", data_place = "<!--{{stillwall data}}-->";

/// Beside the program as built or as installed.
fs::path parts_file()
{
    std::error_code ignored;
    const fs::path program = fs::read_symlink("/proc/self/exe", ignored).parent_path();
    return program.parent_path() / "share" / "stillwall" / "page.html";
}

std::string replaced(const std::string& text, std::string_view what, const std::string& by)
{
    std::string result;
    result.reserve(text.size() + by.size());
    std::size_t from = 0;
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, from)) {
        result.append(text, from, at - from).append(by);
        from = at + what.size();
    }
    return result.append(text, from);
}

std::string escaped_text(const std::string& text)
{
    return replaced(replaced(replaced(text, "&", "&amp;"), "<", "&lt;"), ">", "&gt;");
}

void require_once(const std::string& parts, std::string_view place)
{
    const std::size_t at = parts.find(place);
    if (at == std::string::npos || parts.find(place, at + 1) != std::string::npos)
        throw Error(fmt::format("the page's parts are of another version: no single {}", place));
}

std::string block(const std::string& kind, const std::string& verb, const std::string& json)
{
    // '<' stands only inside strings of a JSON text, where \u003c means the same.
    return fmt::format("<script type=\"application/json\" data-{}=\"{}\">{}</script>\n", kind, verb,
                       replaced(json, "<", "\\u003c"));
}

/// The page shows drawings as pictures, in which nothing runs and nothing is fetched.
std::string drawings_json(const std::vector<PageDrawing>& drawings)
{
    nlohmann::ordered_json list = nlohmann::ordered_json::array();
    for (const PageDrawing& drawing : drawings) list.push_back({{"name", drawing.name}, {"svg", drawing.svg}});
    return list.dump();
}

} // namespace

void require_page(const fs::path& file, std::string_view option)
{
    require_writable_file(file, option);
    if (!fs::is_regular_file(parts_file()))
        throw InputError(
            {}, std::string(option),
            fmt::format("the page's parts are missing ({}); they are built where node and npm are (apt-get "
                        "install nodejs npm) and STILLWALL_PAGE is not OFF: configure and build again",
                        parts_file().string()));
}

std::string page_text(const std::string& parts, const std::string& title, const PageRuns& runs)
{
    require_once(parts, title_place);
    require_once(parts, data_place);
    std::string data;
    for (const PageRun& run : runs) {
        // A run may only carry shapes of another: one scheme of several.
        if (!run.result.empty()) data += block("result", run.verb, run.result);
        if (!run.geometry.empty()) data += block("geometry", run.verb, run.geometry);
        if (!run.drawings.empty()) data += block("drawings", run.verb, drawings_json(run.drawings));
    }
    return replaced(replaced(parts, title_place, escaped_text(title)), data_place, data);
}

void write_page(const fs::path& file, const std::string& title, const PageRuns& runs)
{
    std::ifstream stream(parts_file(), std::ios::binary);
    std::ostringstream parts;
    parts << stream.rdbuf();
    if (!stream) throw Error(fmt::format("cannot read {}", parts_file().string()));
    write_whole_file(file, page_text(parts.str(), title, runs));
}

} // namespace stillwall::app
