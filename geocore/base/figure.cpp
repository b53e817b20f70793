#include "geocore/base/figure.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "geocore/base/calendar.hpp"

namespace nestround {

namespace {

constexpr std::array kMarks{std::string_view{"published"}, std::string_view{"secondhand"},
                            std::string_view{"derived"},   std::string_view{"memory"},
                            std::string_view{"practice"},  std::string_view{"assumption"}};

constexpr std::array kColumns{
    std::string_view{"subject"}, std::string_view{"parameter"}, std::string_view{"low"},
    std::string_view{"typical"}, std::string_view{"high"},      std::string_view{"words"},
    std::string_view{"unit"},    std::string_view{"latitude"},  std::string_view{"condition"},
    std::string_view{"source"},  std::string_view{"mark"}};

enum Column {
    Subject,
    Parameter,
    Low,
    Typical,
    High,
    Words,
    Unit,
    Latitude,
    Condition,
    Source,
    MarkColumn
};

struct Line {
    int number = 0;
    std::vector<std::string> fields;
};

/// Fields of one line; false when a quote is left open.
bool split(std::string_view text, std::vector<std::string>& fields)
{
    fields.assign(1, {});
    bool quoted = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (quoted) {
            if (c == '"' && i + 1 < text.size() && text[i + 1] == '"') {
                fields.back().push_back('"');
                ++i;
            } else if (c == '"') {
                quoted = false;
            } else {
                fields.back().push_back(c);
            }
        } else if (c == '"') {
            quoted = true;
        } else if (c == ',') {
            fields.emplace_back();
        } else {
            fields.back().push_back(c);
        }
    }
    return !quoted;
}

/// Lines with their fields, without the header, notes and empty lines.
Result<std::vector<Line>> read_lines(std::string_view csv, std::size_t columns,
                                     std::string_view first_column, std::string_view file)
{
    std::vector<Line> lines;
    int number = 0;
    bool header = true;
    while (!csv.empty()) {
        const auto end = csv.find('\n');
        std::string_view text = csv.substr(0, end);
        csv.remove_prefix(end == std::string_view::npos ? csv.size() : end + 1);
        ++number;
        if (!text.empty() && text.back() == '\r') {
            text.remove_suffix(1);
        }
        if (text.empty() || text.front() == '#') {
            continue;
        }
        Line line{number, {}};
        const auto where = fmt::format("{}:{}", file, number);
        if (!split(text, line.fields)) {
            return fail(ErrorCode::InvalidInput, "a quote is left open", where);
        }
        if (line.fields.size() != columns) {
            return fail(ErrorCode::InvalidInput,
                        fmt::format("{} columns found, {} expected", line.fields.size(), columns),
                        where);
        }
        if (header) {
            header = false;
            if (line.fields.front() != first_column) {
                return fail(ErrorCode::InvalidInput,
                            fmt::format("the header line is missing; its first column is '{}'",
                                        first_column),
                            where);
            }
            continue;
        }
        lines.push_back(std::move(line));
    }
    if (header) {
        return fail(ErrorCode::InvalidInput, "the table is empty", std::string{file});
    }
    return lines;
}

std::optional<double> number_in(std::string_view text)
{
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) {
        return std::nullopt;
    }
    return value;
}

/// "08-18" as a day of a common year, 1 = 1 January.
std::optional<double> date_in(std::string_view text)
{
    if (text.size() != 5 || text[2] != '-') {
        return std::nullopt;
    }
    const auto day = parse_day(fmt::format("2001-{}", text));
    if (!day) {
        return std::nullopt;
    }
    return day_of_year(*day);
}

bool has_source(const std::vector<SourceEntry>& sources, std::string_view key)
{
    return std::any_of(sources.begin(), sources.end(),
                       [&](const SourceEntry& entry) { return entry.key == key; });
}

/// Each of the keys in "S1 S12" is known.
Result<void> check_source(std::string_view keys, const std::vector<SourceEntry>& sources,
                          const std::string& where)
{
    if (keys.empty()) {
        return fail(ErrorCode::InvalidInput, "a figure needs a source", where + ", column source");
    }
    while (!keys.empty()) {
        const auto space = keys.find(' ');
        const auto key = keys.substr(0, space);
        keys.remove_prefix(space == std::string_view::npos ? keys.size() : space + 1);
        if (!has_source(sources, key)) {
            return fail(ErrorCode::InvalidInput,
                        fmt::format("'{}' is not in the list of sources", key),
                        where + ", column source");
        }
    }
    return {};
}

Result<Figure> figure_in(const Line& line, const std::vector<SourceEntry>& sources,
                         std::string_view file)
{
    const auto where = fmt::format("{}:{}", file, line.number);
    const auto& fields = line.fields;
    Figure figure;
    figure.subject = fields[Subject];
    figure.parameter = fields[Parameter];
    figure.words = fields[Words];
    figure.unit = fields[Unit];
    figure.condition = fields[Condition];
    figure.source = fields[Source];
    figure.file = file;
    figure.line = line.number;
    if (figure.subject.empty() || figure.parameter.empty()) {
        return fail(ErrorCode::InvalidInput, "a figure needs a subject and a parameter", where);
    }
    if (auto known = check_source(figure.source, sources, where); !known) {
        return tl::unexpected{std::move(known).error()};
    }
    const auto found = mark(fields[MarkColumn]);
    if (!found) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("'{}' is not a mark (published, secondhand, derived, memory, "
                                "practice or assumption)",
                                fields[MarkColumn]),
                    where + ", column mark");
    }
    figure.mark = *found;
    const bool is_date = figure.unit == "date";
    const auto read = [&](Column column, std::optional<double>& into) -> bool {
        if (fields[column].empty()) {
            return true;
        }
        into = is_date && column != Latitude ? date_in(fields[column]) : number_in(fields[column]);
        return into.has_value();
    };
    for (const auto& [column, into] :
         {std::pair{Low, &figure.low}, std::pair{Typical, &figure.typical},
          std::pair{High, &figure.high}, std::pair{Latitude, &figure.latitude}}) {
        if (!read(column, *into)) {
            return fail(ErrorCode::InvalidInput,
                        fmt::format("'{}' is not a {}", fields[column],
                                    is_date && column != Latitude ? "date (month-day, as 08-18)"
                                                                  : "number"),
                        fmt::format("{}, column {}", where, kColumns[column]));
        }
    }
    const bool number = figure.low || figure.typical || figure.high;
    if (!number && figure.words.empty()) {
        return fail(ErrorCode::InvalidInput, "a figure needs a number or words", where);
    }
    if (number && !(figure.lowest() <= figure.middle() && figure.middle() <= figure.highest())) {
        return fail(ErrorCode::InvalidInput, "low <= typical <= high does not hold", where);
    }
    if (number && figure.unit.empty()) {
        return fail(ErrorCode::InvalidInput, "a number needs a unit", where + ", column unit");
    }
    return figure;
}

}  // namespace

std::string_view text(Mark mark) { return kMarks[static_cast<std::size_t>(mark)]; }

std::optional<Mark> mark(std::string_view text)
{
    const auto found = std::find(kMarks.begin(), kMarks.end(), text);
    if (found == kMarks.end()) {
        return std::nullopt;
    }
    return static_cast<Mark>(found - kMarks.begin());
}

double Figure::middle() const
{
    if (typical) {
        return *typical;
    }
    if (low && high) {
        return (*low + *high) / 2;
    }
    return low ? *low : high.value_or(0);
}

double Figure::lowest() const { return low ? *low : middle(); }

double Figure::highest() const { return high ? *high : middle(); }

Result<std::vector<SourceEntry>> parse_sources(std::string_view csv, std::string_view file)
{
    const auto lines = read_lines(csv, 2, "key", file);
    if (!lines) {
        return tl::unexpected{lines.error()};
    }
    std::vector<SourceEntry> sources;
    for (const auto& line : *lines) {
        const auto where = fmt::format("{}:{}", file, line.number);
        if (line.fields[0].empty() || line.fields[1].empty()) {
            return fail(ErrorCode::InvalidInput, "a source needs a key and a citation", where);
        }
        if (has_source(sources, line.fields[0])) {
            return fail(ErrorCode::InvalidInput,
                        fmt::format("source '{}' is there twice", line.fields[0]), where);
        }
        sources.push_back({line.fields[0], line.fields[1]});
    }
    return sources;
}

Result<std::vector<Figure>> parse_figures(std::string_view csv,
                                          const std::vector<SourceEntry>& sources,
                                          std::string_view file)
{
    const auto lines = read_lines(csv, kColumns.size(), kColumns.front(), file);
    if (!lines) {
        return tl::unexpected{lines.error()};
    }
    std::vector<Figure> figures;
    figures.reserve(lines->size());
    for (const auto& line : *lines) {
        auto figure = figure_in(line, sources, file);
        if (!figure) {
            return tl::unexpected{std::move(figure).error()};
        }
        figures.push_back(std::move(*figure));
    }
    return figures;
}

}  // namespace nestround
