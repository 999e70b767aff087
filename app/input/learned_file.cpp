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

/// What is learned now, on top of what was there.
void add(const Learned& now, Learned& all)
{
    for (const LearnedMaterial& m : now.materials) {
        const auto same = std::find_if(all.materials.begin(), all.materials.end(),
                                       [&](const LearnedMaterial& other) { return other.material == m.material; });
        if (same == all.materials.end()) {
            all.materials.push_back(m);
            continue;
        }
        same->stiffness = combined(same->stiffness, m.stiffness);
        same->shear = combined(same->shear, m.shear);
        same->loss = combined(same->loss, m.loss);
    }
    for (const LearnedBasket& b : now.baskets) {
        const auto same = std::find_if(all.baskets.begin(), all.baskets.end(),
                                       [&](const LearnedBasket& other) { return other.driver == b.driver; });
        if (same == all.baskets.end())
            all.baskets.push_back(b);
        else
            same->motor_frequency = *combined(same->motor_frequency, b.motor_frequency);
    }
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

std::string with_learned(std::string_view text, const std::string& file, const Learned& learned,
                         const std::vector<std::string>& remarks)
{
    const YamlDocument document = parse_yaml(text, file);
    Learned all;
    if (const auto before = document.root().find("learned")) all = read_learned(*before);
    std::size_t first = 0;
    while (first < text.size() &&
           (text[first] == '#' || text[first] == '\n' || text[first] == '\r' || text[first] == ' ')) {
        first = text[first] == '#' ? std::min(text.find('\n', first), text.size()) : first + 1;
    }
    if (first < text.size() && text[first] == '{')
        throw InputError({file, 0, 0}, "",
                         "the whole file is one map in braces; write one key a line to have 'learned' added");
    add(learned, all);
    std::string result = without_block(text);
    const bool has_crlf = text.find("\r\n") != std::string_view::npos;
    const std::string end = has_crlf ? "\r\n" : "\n";
    if (!result.empty() && result.back() != '\n') result += end;
    result += "learned:" + end;
    for (const std::string& remark : remarks) result += "  # " + remark + end;
    for (const LearnedMaterial& m : all.materials) {
        std::string entry = fmt::format("  - {{material: \"{}\"", m.material);
        write_factor(entry, "stiffness", m.stiffness);
        write_factor(entry, "shear", m.shear);
        write_factor(entry, "loss", m.loss);
        result += entry + "}" + end;
    }
    for (const LearnedBasket& b : all.baskets) {
        std::string entry = fmt::format("  - {{driver: \"{}\"", b.driver);
        write_factor(entry, "motor_frequency", b.motor_frequency);
        result += entry + "}" + end;
    }
    return result;
}

} // namespace stillwall::app
