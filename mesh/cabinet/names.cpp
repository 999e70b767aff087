#include "mesh/cabinet/names.h"

#include <algorithm>
#include <cctype>

namespace stillwall {
namespace {

char lower(char c)
{
    return static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
}

} // namespace

int edit_distance(std::string_view a, std::string_view b)
{
    const std::size_t n = b.size();
    // Three rows of the table are enough: a swap looks two rows back.
    std::vector<int> before_last(n + 1), last(n + 1), row(n + 1);
    for (std::size_t j = 0; j <= n; ++j) last[j] = static_cast<int>(j);
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = static_cast<int>(i);
        for (std::size_t j = 1; j <= n; ++j) {
            const int change = lower(a[i - 1]) == lower(b[j - 1]) ? 0 : 1;
            row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + change});
            const bool is_swap =
                i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) && lower(a[i - 2]) == lower(b[j - 1]);
            if (is_swap) row[j] = std::min(row[j], before_last[j - 2] + 1);
        }
        std::swap(before_last, last);
        std::swap(last, row);
    }
    return last[n];
}

std::optional<std::string> nearest_name(std::string_view wanted, const std::vector<std::string>& known)
{
    constexpr std::size_t shortest_compared = 3; // any two single letters are one slip apart
    constexpr std::size_t longest_compared = 64;
    if (wanted.size() < shortest_compared || wanted.size() > longest_compared) return std::nullopt;
    std::optional<std::string> best;
    int best_distance = std::min(3, std::max(1, static_cast<int>(wanted.size()) / 3)) + 1;
    for (const std::string& name : known) {
        const int distance = edit_distance(wanted, name);
        if (distance < best_distance) {
            best_distance = distance;
            best = name;
        }
    }
    return best;
}

std::string name_hint(std::string_view wanted, const std::vector<std::string>& known)
{
    if (const auto near = nearest_name(wanted, known)) return "did you mean '" + *near + "'?";
    if (known.empty()) return "there is none to name";
    std::string text = "known here: ";
    for (std::size_t i = 0; i < known.size(); ++i) text += (i ? ", " : "") + known[i];
    return text;
}

} // namespace stillwall
