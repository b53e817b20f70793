#include "geocore/intake/habitat_log.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <optional>

#include "geocore/intake/fields.hpp"
#include "geocore/intake/file_text.hpp"
#include "geocore/intake/grid.hpp"
#include "geocore/intake/time_zone.hpp"

namespace nestround::intake {

namespace {

constexpr auto kGap = std::chrono::hours{3};

bool has(const std::string& text, std::string_view part)
{
    return text.find(part) != std::string::npos;
}

/// Letters and digits of a heading in lower case, words apart by one blank.
std::string plain(std::string_view text)
{
    std::string out;
    for (const char c : text) {
        if (std::isalnum(static_cast<unsigned char>(c)) != 0) {
            out += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
        } else if (!out.empty() && out.back() != ' ') {
            out += ' ';
        }
    }
    while (!out.empty() && out.back() == ' ') {
        out.pop_back();
    }
    return out;
}

bool is_temperature(const std::string& heading)
{
    return (has(heading, "temp") || has(heading, "celsius") || has(heading, "fahrenheit")) &&
           !has(heading, "dew");
}
bool is_time(const std::string& heading) { return has(heading, "time") || has(heading, "date"); }

/// The text from the line that heads the table; loggers write their names above it. `above` gets
/// the number of lines passed over.
std::string from_heading(const std::string& text, std::size_t& above)
{
    constexpr std::size_t kMostAbove = 40;
    std::size_t at = 0;
    for (above = 0; above < kMostAbove && at < text.size(); ++above) {
        const std::size_t end = std::min(text.find('\n', at), text.size());
        const std::string heading = plain(std::string_view{text}.substr(at, end - at));
        if (is_time(heading) && is_temperature(heading)) {
            return text.substr(at);
        }
        at = end + 1;
    }
    above = 0;
    return text;
}

struct Places {
    std::optional<std::size_t> date;  ///< or date and time together
    std::optional<std::size_t> time;  ///< when it stands apart
    std::optional<std::size_t> temperature;
    std::optional<std::size_t> humidity;
    bool fahrenheit = false;
};

Places places_of(const Grid& grid, const LogOptions& options)
{
    Places out;
    out.fahrenheit = options.fahrenheit;
    for (std::size_t i = 0; i < grid.header.size(); ++i) {
        const std::string heading = plain(grid.header[i]);
        if (is_temperature(heading)) {
            if (!out.temperature) {
                out.temperature = i;
                if (has(heading, "fahrenheit") || heading.ends_with(" f")) {
                    out.fahrenheit = true;
                } else if (has(heading, "celsius") || heading.ends_with(" c")) {
                    out.fahrenheit = false;
                }
            }
        } else if (has(heading, "humid") || heading == "rh" || heading.starts_with("rh ")) {
            out.humidity = out.humidity ? out.humidity : i;
        } else if (has(heading, "date")) {
            out.date = out.date ? out.date : i;
        } else if (has(heading, "time")) {
            out.time = out.time ? out.time : i;
        }
    }
    if (!out.date) {
        out.date = std::exchange(out.time, std::nullopt);
    }
    if (!out.date || !out.temperature) {
        throw Failure{ErrorCode::InvalidInput,
                      "no heading has both a time and a temperature; name the columns so, as: "
                      "time,temperature_c",
                      grid.file};
    }
    return out;
}

/// "4/8/2026 2:05 PM" in its parts, before it is known which is the day.
struct Moment {
    std::array<int, 3> date{};  ///< as they stand; year first when it is ISO
    bool iso = false;
    bool dots = false;
    int second_of_day = 0;
    std::optional<Instant> instant;  ///< with an offset: the whole answer
};

std::optional<Moment> moment_of(std::string_view text)
{
    Moment out;
    const std::string whole{trimmed(text)};
    if (const auto at = parse_instant(whole); at && has(whole, ":")) {
        out.instant = *at;
        return out;
    }
    std::vector<int> numbers;
    std::string_view rest{whole};
    char separator = 0;
    while (!rest.empty()) {
        if (std::isdigit(static_cast<unsigned char>(rest.front())) == 0) {
            if (numbers.size() == 1 && separator == 0) {
                separator = rest.front();
            }
            if (std::isalpha(static_cast<unsigned char>(rest.front())) != 0 &&
                rest.front() != 'T') {
                break;
            }
            if (numbers.size() == 6) {
                break;  // a fraction of a second
            }
            rest.remove_prefix(1);
            continue;
        }
        int value = 0;
        const auto [end, code] = std::from_chars(rest.data(), rest.data() + rest.size(), value);
        if (code != std::errc{}) {
            return std::nullopt;
        }
        numbers.push_back(value);
        rest.remove_prefix(static_cast<std::size_t>(end - rest.data()));
    }
    if (numbers.size() < 5 || numbers.size() > 6) {
        return std::nullopt;
    }
    out.date = {numbers[0], numbers[1], numbers[2]};
    out.iso = numbers[0] > 31;
    out.dots = separator == '.';
    int hour = numbers[3];
    const std::string half = plain(rest);
    if (half.starts_with("p") && hour < 12) {
        hour += 12;
    } else if (half.starts_with("a") && hour == 12) {
        hour = 0;
    }
    const int second = numbers.size() == 6 ? numbers[5] : 0;
    if (hour > 23 || numbers[4] > 59 || second > 59) {
        return std::nullopt;
    }
    out.second_of_day = hour * 3600 + numbers[4] * 60 + second;
    return out;
}

std::optional<Day> day_of(const Moment& moment, bool day_first)
{
    const auto [a, b, c] = moment.date;
    const int year = moment.iso ? a : (c < 100 ? 2000 + c : c);
    const int month = moment.iso ? b : (day_first ? b : a);
    const int day = moment.iso ? c : (day_first ? a : b);
    const std::chrono::year_month_day date{std::chrono::year{year},
                                           std::chrono::month{static_cast<unsigned>(month)},
                                           std::chrono::day{static_cast<unsigned>(day)}};
    return date.ok() ? std::optional{Day{date}} : std::nullopt;
}

/// Whether the day stands before the month; a file tells it by a day above 12.
bool is_day_first(const std::vector<std::optional<Moment>>& moments, const LogOptions& options,
                  const std::string& file)
{
    if (options.order != DateOrder::ByFile) {
        return options.order == DateOrder::DayFirst;
    }
    bool open = false;
    for (const auto& moment : moments) {
        if (!moment || moment->iso || moment->instant) {
            continue;
        }
        if (moment->dots || moment->date[0] > 12) {
            return true;
        }
        if (moment->date[1] > 12) {
            return false;
        }
        open = open || moment->date[0] != moment->date[1];
    }
    if (open) {
        throw Failure{ErrorCode::InvalidInput,
                      "the dates do not tell the day from the month; say --dates day-first or "
                      "--dates month-first",
                      file};
    }
    return true;
}

}  // namespace

LogBatch read_habitat_log(const std::filesystem::path& file, const LogOptions& options)
{
    require_file(file);
    const auto text = read_text(file);
    std::size_t above = 0;
    auto read = parse_text_grid(from_heading(text.text, above), file.string());
    if (!read) {
        throw Failure{read.error()};
    }
    for (auto& row : read->rows) {
        row.number += above;
    }
    for (auto& row : read->refused) {
        row.row += above;
    }
    const Grid& grid = *read;
    const Places places = places_of(grid, options);
    LogBatch out;
    out.file = file.filename().string();
    out.refused = grid.refused;
    out.notes = grid.notes;
    const auto cell = [](const GridRow& row, std::optional<std::size_t> place) {
        return place && *place < row.cells.size() ? trimmed(row.cells[*place]) : std::string_view{};
    };
    std::vector<std::optional<Moment>> moments;
    for (const auto& row : grid.rows) {
        std::string words{cell(row, places.date)};
        if (places.time) {
            words += ' ';
            words += cell(row, places.time);
        }
        moments.push_back(moment_of(words));
    }
    const bool day_first = is_day_first(moments, options, grid.file);
    for (std::size_t i = 0; i < grid.rows.size(); ++i) {
        const auto& row = grid.rows[i];
        const auto refuse = [&](std::string column, std::string reason, std::string way_out) {
            out.refused.push_back(
                {row.number, std::move(column), std::move(reason), std::move(way_out)});
        };
        const auto celsius_text = cell(row, places.temperature);
        if (celsius_text.empty()) {
            continue;  // the logger wrote something else down
        }
        std::optional<Instant> at;
        if (moments[i] && moments[i]->instant) {
            at = moments[i]->instant;
        } else if (moments[i]) {
            if (const auto day = day_of(*moments[i], day_first)) {
                const auto utc =
                    to_utc(*day, ClockTime{seconds{moments[i]->second_of_day}}, options.zone);
                at = utc ? std::optional{*utc} : std::nullopt;
            }
        }
        if (!at) {
            refuse(grid.header[*places.date],
                   fmt::format("'{}' is no day and time", shown(cell(row, places.date))),
                   "write 2026-08-04 14:00");
            continue;
        }
        const auto value = number(celsius_text, grid.decimal_comma);
        if (!value) {
            refuse(grid.header[*places.temperature],
                   fmt::format("'{}' is no temperature", shown(celsius_text)),
                   "write a number, or leave it empty");
            continue;
        }
        HabitatReading reading;
        reading.at = *at;
        reading.temperature = places.fahrenheit ? celsius_from_fahrenheit(*value) : Celsius{*value};
        if (!(reading.temperature.value() >= -60 && reading.temperature.value() <= 60)) {
            refuse(grid.header[*places.temperature],
                   fmt::format("{} C is no temperature of a room", shown(celsius_text)),
                   "if these are degrees Fahrenheit, say --fahrenheit");
            continue;
        }
        if (const auto percent = number(cell(row, places.humidity), grid.decimal_comma);
            percent && *percent >= 0 && *percent <= 100) {
            reading.humidity = Fraction{*percent / 100};
        }
        out.readings.push_back(reading);
    }
    std::stable_sort(out.readings.begin(), out.readings.end(),
                     [](const auto& a, const auto& b) { return a.at < b.at; });
    const auto twice = std::unique(out.readings.begin(), out.readings.end(),
                                   [](const auto& a, const auto& b) { return a.at == b.at; });
    if (twice != out.readings.end()) {
        out.notes.push_back(
            fmt::format("{} readings have a time that another has: the first of "
                        "each was kept",
                        out.readings.end() - twice));
        out.readings.erase(twice, out.readings.end());
    }
    for (std::size_t i = 1; i < out.readings.size(); ++i) {
        if (out.readings[i].at - out.readings[i - 1].at > kGap) {
            out.gaps.push_back({out.readings[i - 1].at, out.readings[i].at});
        }
    }
    const bool all_hot = !out.readings.empty() && !places.fahrenheit &&
                         std::all_of(out.readings.begin(), out.readings.end(),
                                     [](const auto& one) { return one.temperature.value() > 45; });
    if (all_hot) {
        throw Failure{ErrorCode::InvalidInput,
                      "every reading is above 45 C; if these are degrees Fahrenheit, say "
                      "--fahrenheit",
                      grid.file};
    }
    return out;
}

}  // namespace nestround::intake
