// The file of `vary`: written line by line, read back when a run goes on.

#include "app/verbs/vary/vary_report.h"
#include "app/write/csv.h"
#include "mesh/cabinet/error.h"

#include <cstdlib>

namespace stillwall::app {
namespace {

constexpr const char* columns = "problem,first_wall_mode_hz,first_board,loudest_wall_db,loudest_wall_hz,loudest_board,"
                                "over_strict_db,audible,borderline,"
                                "air_waves_heard,mass_kg,net_volume_l,board_area_m2,tuning_hz,price,seconds,modes,run";
constexpr std::size_t n_columns = 18;

std::string optional_number(const std::optional<double>& value)
{
    return value ? csv_number(*value) : std::string();
}

/// "133.2/-24.7/i": frequency, level, verdict.
std::string modes_field(const std::vector<VaryRow::ModePoint>& modes)
{
    std::string text;
    for (const VaryRow::ModePoint& m : modes)
        text += fmt::format("{}{:.5g}/{:.4g}/{}", text.empty() ? "" : " ", m.f_Hz, m.level_dB, m.word);
    return text;
}

/// Fields of one line; RFC 4180 without line breaks inside fields.
std::vector<std::string> fields_of(const std::string& line)
{
    std::vector<std::string> fields(1);
    bool is_quoted = false;
    for (std::size_t i = 0; i < line.size(); ++i) {
        const char c = line[i];
        if (is_quoted && c == '"' && i + 1 < line.size() && line[i + 1] == '"')
            fields.back() += line[++i];
        else if (c == '"')
            is_quoted = !is_quoted;
        else if (c == ',' && !is_quoted)
            fields.emplace_back();
        else
            fields.back() += c;
    }
    return fields;
}

struct LineReader
{
    const std::vector<std::string>& fields;
    SourcePos where;
    std::size_t at = 0;

    [[nodiscard]] const std::string& text() { return fields[at++]; }
    [[nodiscard]] std::optional<double> maybe()
    {
        const std::string& field = fields[at++];
        if (field.empty()) return std::nullopt;
        char* end = nullptr;
        const double value = std::strtod(field.c_str(), &end);
        if (*end != '\0' || !std::isfinite(value))
            throw InputError(where, "", fmt::format("'{}' is no number; take this line out", field));
        return value;
    }
    [[nodiscard]] double number() { return maybe().value_or(0); }
};

std::vector<VaryRow::ModePoint> modes_of(const std::string& field, const SourcePos& where)
{
    std::vector<VaryRow::ModePoint> modes;
    const char* at = field.c_str();
    while (*at != '\0') {
        VaryRow::ModePoint m;
        char* end = nullptr;
        m.f_Hz = std::strtod(at, &end);
        if (end == at || *end != '/') throw InputError(where, "modes", "is damaged; take this line out");
        at = end + 1;
        m.level_dB = std::strtod(at, &end);
        if (end == at || *end != '/' || end[1] == '\0')
            throw InputError(where, "modes", "is damaged; take this line out");
        m.word = end[1];
        at = end + 2;
        while (*at == ' ') ++at;
        modes.push_back(m);
    }
    return modes;
}

} // namespace

VaryRow row_of(const std::vector<std::string>& values, const solver::ComputedScheme& scheme)
{
    const solver::SchemeFigures& f = scheme.figures;
    VaryRow row;
    row.values = values;
    if (const solver::SchemeMode* first = f.at(f.first)) {
        row.first_Hz = first->f_Hz;
        row.first_board = first->part;
    }
    if (const solver::SchemeMode* loudest = f.at(f.loudest)) {
        row.loudest_dB = loudest->worst->level_dB;
        row.loudest_Hz = loudest->f_Hz;
        row.loudest_board = loudest->part;
    }
    row.over_dB = solver::loudest_over_notice(f).value_or(0);
    row.n_audible = f.n_audible;
    row.n_borderline = f.n_borderline;
    row.n_air_heard = f.n_air_heard;
    row.mass = f.mass;
    row.net_volume = f.net_volume;
    row.board_area = f.board_area;
    row.tuning_Hz = f.tuning_Hz;
    row.price = scheme.price;
    row.seconds = scheme.seconds;
    for (const std::size_t i : solver::wall_modes(f)) {
        const solver::SchemeMode& m = f.modes[i];
        row.modes.push_back({m.f_Hz, m.worst ? m.worst->level_dB : 0,
                             m.worst ? solver::audibility_word(m.worst->verdict.word).front() : 'm'});
    }
    return row;
}

std::string vary_header(const std::vector<std::string>& axes)
{
    std::string line;
    for (const std::string& axis : axes) line += csv_field(axis) + ',';
    return line + columns + '\n';
}

std::string vary_line(const VaryRow& row, const std::string& run)
{
    std::vector<std::string> fields = row.values;
    if (!row.problem.empty()) {
        fields.push_back(row.problem);
        fields.resize(row.values.size() + n_columns - 1);
        fields.push_back(run);
        return csv_line(fields);
    }
    const bool is_played = !row.modes.empty() && row.modes.front().word != 'm';
    const std::string none;
    fields.insert(fields.end(),
                  {none, csv_number(row.first_Hz), row.first_board, is_played ? csv_number(row.loudest_dB) : none,
                   is_played ? csv_number(row.loudest_Hz) : none, row.loudest_board,
                   is_played ? csv_number(row.over_dB) : none, is_played ? std::to_string(row.n_audible) : none,
                   is_played ? std::to_string(row.n_borderline) : none,
                   is_played ? std::to_string(row.n_air_heard) : none, csv_number(row.mass),
                   csv_number(row.net_volume * 1e3), csv_number(row.board_area), optional_number(row.tuning_Hz),
                   optional_number(row.price), csv_number(row.seconds), modes_field(row.modes), run});
    return csv_line(fields);
}

void read_vary_lines(const std::string& text, const std::string& file, const std::vector<std::string>& axes,
                     const std::string& run, const std::function<void(VaryRow)>& found)
{
    const std::string header = vary_header(axes);
    if (!text.starts_with(header))
        throw InputError({file, 1, 1}, "",
                         "holds something else than this run's results; name another file with --csv, or move it away");
    int line_number = 1;
    for (std::size_t at = header.size(); at < text.size();) {
        const std::size_t end = text.find('\n', at);
        if (end == std::string::npos) break; // cut off when the run was killed
        ++line_number;
        const std::vector<std::string> fields = fields_of(text.substr(at, end - at));
        at = end + 1;
        const SourcePos where{file, line_number, 1};
        if (fields.size() != axes.size() + n_columns)
            throw InputError(where, "", "has the wrong number of fields; take this line out");
        if (fields.back() != run)
            throw InputError(where, "run",
                             "was computed for another cabinet or with other settings; name another file with --csv, "
                             "or move it away");
        LineReader read{fields, where};
        VaryRow row;
        for (std::size_t a = 0; a < axes.size(); ++a) row.values.push_back(read.text());
        row.problem = read.text();
        row.first_Hz = read.number();
        row.first_board = read.text();
        row.loudest_dB = read.number();
        row.loudest_Hz = read.number();
        row.loudest_board = read.text();
        row.over_dB = read.number();
        row.n_audible = static_cast<int>(read.number());
        row.n_borderline = static_cast<int>(read.number());
        row.n_air_heard = static_cast<int>(read.number());
        row.mass = read.number();
        row.net_volume = read.number() * 1e-3;
        row.board_area = read.number();
        row.tuning_Hz = read.maybe();
        row.price = read.maybe();
        row.seconds = read.number();
        row.modes = modes_of(read.text(), where);
        found(std::move(row));
    }
}

} // namespace stillwall::app
