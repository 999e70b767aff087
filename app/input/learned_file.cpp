#include "app/input/learned_file.h"

#include "app/input/internal/read_learned.h"

#include <fmt/format.h>

#include <algorithm>

namespace stillwall::app {
namespace {

using Factor = LearnedMaterial::Factor;

std::optional<Factor> combined(const std::optional<Factor>& before, const std::optional<Factor>& now)
{
    if (!before || !now) return now ? now : before;
    return Factor{before->value * now->value, now->error};
}

void write_factor(std::string& text, const char* key, const std::optional<Factor>& factor)
{
    if (factor)
        text += fmt::format(", {}: {:.4f}, {}_error: {:.1f} %", key, factor->value, key,
                            std::max(0.1, 100 * factor->error));
}

/// Lines of the top level's `learned` block: from its key to before the next key, a comment above that not included.
std::string without_block(std::string_view text)
{
    std::string kept;
    bool is_inside = false;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find('\n', at), text.size() - 1) + 1;
        const std::string_view line = text.substr(at, end - at);
        const bool is_key = line.find_first_of(" \t-#\r\n") != 0;
        if (is_key) is_inside = line.starts_with("learned:");
        if (!is_inside) kept += line;
        at = end;
    }
    return kept;
}

} // namespace

std::string with_learned(std::string_view text, const std::string& file, const std::vector<LearnedMaterial>& learned,
                         const std::vector<std::string>& remarks)
{
    const YamlDocument document = parse_yaml(text, file);
    std::vector<LearnedMaterial> all;
    if (const auto before = document.root().find("learned")) all = read_learned(*before);
    std::size_t first = 0;
    while (first < text.size() &&
           (text[first] == '#' || text[first] == '\n' || text[first] == '\r' || text[first] == ' ')) {
        first = text[first] == '#' ? std::min(text.find('\n', first), text.size()) : first + 1;
    }
    if (first < text.size() && text[first] == '{')
        throw InputError({file, 0, 0}, "",
                         "the whole file is one map in braces; write one key a line to have 'learned' added");
    for (const LearnedMaterial& now : learned) {
        const auto same =
            std::find_if(all.begin(), all.end(), [&](const LearnedMaterial& m) { return m.material == now.material; });
        if (same == all.end()) {
            all.push_back(now);
            continue;
        }
        same->stiffness = combined(same->stiffness, now.stiffness);
        same->shear = combined(same->shear, now.shear);
        same->loss = combined(same->loss, now.loss);
    }
    std::string result = without_block(text);
    const bool has_crlf = text.find("\r\n") != std::string_view::npos;
    const std::string end = has_crlf ? "\r\n" : "\n";
    if (!result.empty() && result.back() != '\n') result += end;
    result += "learned:" + end;
    for (const std::string& remark : remarks) result += "  # " + remark + end;
    for (const LearnedMaterial& m : all) {
        std::string entry = fmt::format("  - {{material: \"{}\"", m.material);
        write_factor(entry, "stiffness", m.stiffness);
        write_factor(entry, "shear", m.shear);
        write_factor(entry, "loss", m.loss);
        result += entry + "}" + end;
    }
    return result;
}

} // namespace stillwall::app
