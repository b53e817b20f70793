#include "geocore/intake/weather_archive.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geocore/intake/fields.hpp"
#include "geocore/intake/grid.hpp"

namespace nestround::intake {

namespace {

constexpr int kMissing = -9999;
constexpr std::size_t kCodeWidth = 11;
constexpr std::size_t kFirstValue = 21;  // counted from 0
constexpr std::size_t kValueWidth = 5;
constexpr std::size_t kDayWidth = 8;  // value and three flags

bool is_digits(std::string_view text)
{
    return !text.empty() && text.find_first_not_of("0123456789") == std::string_view::npos;
}

bool is_code(std::string_view text)
{
    return text.size() == kCodeWidth &&
           text.find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-.") ==
               std::string_view::npos;
}

bool is_element(std::string_view text)
{
    return text.size() == 4 &&
           text.find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789") == std::string_view::npos;
}

std::optional<WeatherSeries::Which> which_in(std::string_view element)
{
    if (element == "TMIN") {
        return WeatherSeries::Which::Minimum;
    }
    if (element == "TMAX") {
        return WeatherSeries::Which::Maximum;
    }
    return std::nullopt;
}

/// Calls `use(line, number)` for each line; without its end.
template <class Use>
void for_lines(std::string_view text, Use use)
{
    std::size_t number = 0;
    while (!text.empty()) {
        const auto end = std::min(text.find('\n'), text.size());
        std::string_view line = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        if (line.ends_with('\r')) {
            line.remove_suffix(1);
        }
        ++number;
        if (!trimmed(line).empty()) {
            use(line, number);
        }
    }
}

std::string_view first_line(std::string_view text)
{
    while (text.starts_with('\n') || text.starts_with('\r')) {
        text.remove_prefix(1);
    }
    return text.substr(0, text.find_first_of("\r\n"));
}

bool has_fixed_head(std::string_view line)
{
    return line.size() >= kFirstValue + kValueWidth && is_code(line.substr(0, kCodeWidth)) &&
           is_digits(line.substr(11, 6)) && is_element(line.substr(17, 4));
}

void read_fixed_line(std::string_view line, std::size_t number, WeatherSeries& series)
{
    if (!has_fixed_head(line)) {
        series.refuse({number, "", "does not begin with station, year, month and element",
                       "fetch the file again"});
        return;
    }
    const std::string code{line.substr(0, kCodeWidth)};
    const std::string element{line.substr(17, 4)};
    const auto which = which_in(element);
    if (!which) {
        return;
    }
    series.station(code, "", std::nullopt, std::nullopt);
    for (unsigned day = 1; day <= 31; ++day) {
        const std::size_t at = kFirstValue + (day - 1) * kDayWidth;
        if (at >= line.size() || trimmed(line.substr(at)).empty()) {
            break;  // trailing blanks may be cut
        }
        const std::string column = fmt::format("VALUE{}", day);
        const auto value = intake::number(line.substr(at, kValueWidth));
        const auto date = loose_day(fmt::format("{}{:02}", line.substr(11, 6), day));
        if (!value) {
            series.refuse({number, column,
                           fmt::format("'{}' is not a number", shown(line.substr(at, kValueWidth))),
                           "fetch the file again"});
        } else if (*value == kMissing) {
            continue;
        } else if (!date) {
            series.refuse({number, column, fmt::format("{} has no day {}", line.substr(11, 6), day),
                           "fetch the file again"});
        } else if (at + 6 < line.size() && line[at + 6] != ' ') {
            series.doubted(code, *date, *which, std::string{line[at + 6]}, number, column);
        } else {
            series.reading(code, *date, *which, *value / 10.0, number, column);
        }
    }
}

std::vector<std::string> cells_of(std::string_view line)
{
    const auto grid = parse_text_grid(line, "", Header::No);
    return grid && grid->rows.size() == 1 ? grid->rows[0].cells : std::vector<std::string>{};
}

bool is_element_head(const std::vector<std::string>& cells)
{
    return cells.size() >= 4 && folded(cells[0]) == "id" && folded(cells[1]) == "date" &&
           folded(cells[2]) == "element";
}

void read_element_row(const GridRow& row, WeatherSeries& series)
{
    const auto which = which_in(trimmed(row.cells[2]));
    if (!which) {
        return;
    }
    const std::string code{trimmed(row.cells[0])};
    const auto date = loose_day(row.cells[1]);
    const auto value = number(row.cells[3]);
    const std::string column{trimmed(row.cells[2])};
    if (code.empty()) {
        series.refuse({row.number, "ID", "names no station", "fetch the file again"});
    } else if (!date) {
        series.refuse({row.number, "DATE", fmt::format("'{}' is not a date", shown(row.cells[1])),
                       "write yyyymmdd"});
    } else if (!value) {
        series.refuse({row.number, column, fmt::format("'{}' is not a number", shown(row.cells[3])),
                       "write tenths of a degree Celsius"});
    } else if (*value == kMissing) {
        return;
    } else if (row.cells.size() > 5 && !trimmed(row.cells[5]).empty()) {
        series.station(code, "", std::nullopt, std::nullopt);
        series.doubted(code, *date, *which, std::string{trimmed(row.cells[5])}, row.number, column);
    } else {
        series.reading(code, *date, *which, *value / 10.0, row.number, column);
    }
}

}  // namespace

bool is_fixed_width_archive(std::string_view text)
{
    const auto line = first_line(text);
    return line.find(',') == std::string_view::npos && has_fixed_head(line);
}

void read_fixed_width_archive(std::string_view text, WeatherSeries& series)
{
    for_lines(text, [&](std::string_view line, std::size_t number) {
        read_fixed_line(line, number, series);
    });
}

bool is_element_archive(std::string_view text)
{
    const auto cells = cells_of(first_line(text));
    return is_element_head(cells) ||
           (cells.size() >= 4 && is_code(trimmed(cells[0])) && is_digits(trimmed(cells[1])) &&
            trimmed(cells[1]).size() == 8 && is_element(trimmed(cells[2])));
}

void read_element_archive(std::string_view text, const std::string& file, WeatherSeries& series)
{
    auto grid = value_or_throw(parse_text_grid(text, file, Header::No));
    for (auto& row : grid.refused) {
        series.refuse(std::move(row));
    }
    for (const auto& row : grid.rows) {
        if (!is_element_head(row.cells)) {
            read_element_row(row, series);
        }
    }
}

void read_station_list(std::string_view text, const std::vector<std::string>& codes,
                       WeatherSeries& series)
{
    for_lines(text, [&](std::string_view line, std::size_t) {
        const auto field = [&](std::size_t first, std::size_t last) {
            return first > line.size() ? std::string_view{}
                                       : trimmed(line.substr(first - 1, last - first + 1));
        };
        const std::string code{field(1, 11)};
        if (!std::binary_search(codes.begin(), codes.end(), code)) {
            return;
        }
        const auto lat = number(field(13, 20));
        const auto lon = number(field(22, 30));
        const auto height = number(field(32, 37));
        constexpr double kNoHeight = -999.9;
        if (lat && lon && is_on_earth({Longitude{*lon}, Latitude{*lat}})) {
            series.station(
                code, std::string{field(42, 71)}, LonLat{Longitude{*lon}, Latitude{*lat}},
                height && *height > kNoHeight ? std::optional{Metres{*height}} : std::nullopt);
        }
    });
}

}  // namespace nestround::intake
