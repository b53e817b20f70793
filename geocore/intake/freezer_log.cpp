#include "geocore/intake/freezer_log.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geocore/intake/fields.hpp"
#include "geocore/intake/grid.hpp"
#include "geocore/intake/time_zone.hpp"

namespace nestround::intake {

namespace {

/// With an offset, or as a clock on the wall showed it.
std::optional<Instant> moment_of(const std::string& text, const std::string& zone)
{
    if (text.size() > 10) {
        if (const auto at = parse_instant(text)) {
            return *at;
        }
        const auto day = parse_day(std::string_view{text}.substr(0, 10));
        const auto clock = parse_clock(std::string_view{text}.substr(11, 5));
        if (day && clock) {
            if (const auto at = to_utc(*day, *clock, zone)) {
                const bool has_seconds = text.size() >= 19 && text[16] == ':';
                const auto more =
                    has_seconds ? number(std::string_view{text}.substr(17, 2)).value_or(0) : 0;
                return *at + seconds{static_cast<int>(more)};
            }
        }
    }
    return std::nullopt;
}

}  // namespace

FreezerLog read_freezer_log(const std::filesystem::path& file, const std::string& zone)
{
    const Grid grid = read_text_grid(file);
    const Columns columns{grid,
                          {{"time", "temperature_c", "temperature_f"},
                           {},
                           {},
                           {{"timestamp", "time"},
                            {"datetime", "time"},
                            {"date_time", "time"},
                            {"temp_c", "temperature_c"},
                            {"celsius", "temperature_c"},
                            {"temp_f", "temperature_f"},
                            {"fahrenheit", "temperature_f"}}}};
    columns.require({"time"});
    const bool is_us = !columns.has("temperature_c");
    columns.require({is_us ? "temperature_f" : "temperature_c"});
    const std::string column = is_us ? "temperature_f" : "temperature_c";
    FreezerLog out;
    out.notes = grid.notes;
    out.refused = grid.refused;
    for (const auto& grid_row : grid.rows) {
        RowReader row{columns, grid_row};
        const std::string time = row.text("time");
        const auto at = moment_of(time, zone);
        if (!at) {
            row.refuse("time", fmt::format("'{}' is no moment", shown(time)),
                       "write 2026-08-04T06:30:00Z, or 2026-08-04 06:30");
        }
        const auto degrees = row.number(column, is_us ? -328 : -200, is_us ? 140 : 60, "degrees");
        if (row.fault()) {
            out.refused.push_back(*row.fault());
        } else if (degrees) {
            out.readings.push_back(
                {*at, is_us ? celsius_from_fahrenheit(*degrees) : Celsius{*degrees}});
        }
    }
    std::stable_sort(out.readings.begin(), out.readings.end(),
                     [](const auto& a, const auto& b) { return a.at < b.at; });
    return out;
}

}  // namespace nestround::intake
