#include "geocore/intake/weather.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "geocore/intake/fields.hpp"
#include "geocore/intake/file_text.hpp"
#include "geocore/intake/weather_archive.hpp"
#include "geocore/intake/weather_hours.hpp"
#include "geocore/intake/weather_series.hpp"

namespace nestround::intake {

namespace {

using Which = WeatherSeries::Which;

constexpr std::array kUnits{std::pair{"c", TemperatureUnit::Celsius},
                            std::pair{"tenths_c", TemperatureUnit::TenthsOfCelsius},
                            std::pair{"f", TemperatureUnit::Fahrenheit}};

const Vocabulary& weather_vocabulary()
{
    static const Vocabulary words{
        {"station", "name", "lon", "lat", "date", "tmin", "tmax", "tmin_c", "tmax_c", "tmin_f",
         "tmax_f", "tmin_tenths_c", "tmax_tenths_c", "tmin_attributes", "tmax_attributes"},
        {"height"},
        {},
        {{"longitude", "lon"}, {"latitude", "lat"}, {"elevation", "height_m"}}};
    return words;
}

double celsius(double value, TemperatureUnit unit)
{
    switch (unit) {
        case TemperatureUnit::TenthsOfCelsius:
            return value / 10;
        case TemperatureUnit::Fahrenheit:
            return celsius_from_fahrenheit(value).value();
        case TemperatureUnit::Celsius:
            break;
    }
    return value;
}

struct TemperatureColumn {
    std::string name;
    std::string attributes;
    TemperatureUnit unit = TemperatureUnit::Celsius;
    Which which = Which::Minimum;
};

/// The column of "tmin" or "tmax" and its unit, by its suffix or by the option.
TemperatureColumn temperature_column(const Columns& columns, const std::string& stem, Which which,
                                     const WeatherOptions& options)
{
    std::vector<TemperatureColumn> found;
    const std::string attributes = stem + "_attributes";
    for (const auto& [suffix, unit] : kUnits) {
        const std::string name = stem + "_" + suffix;
        if (!columns.has(name)) {
            continue;
        }
        if (options.unit && *options.unit != unit) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("column '{}' names another unit than the option; leave the "
                                      "option out",
                                      columns.shown_name(name)),
                          columns.grid().file};
        }
        found.push_back({name, attributes, unit, which});
    }
    if (columns.has(stem)) {
        if (!options.unit) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("column '{}' names no unit; rename it {}_c or {}_f, or give "
                                      "the unit as c, f or tenths_c",
                                      columns.shown_name(stem), stem, stem),
                          columns.grid().file};
        }
        found.push_back({stem, attributes, *options.unit, which});
    }
    if (found.empty()) {
        columns.require({stem + "_c"});
    }
    if (found.size() > 1) {
        throw Failure{
            ErrorCode::InvalidInput,
            fmt::format("both '{}' and '{}' are there; keep one", columns.shown_name(found[0].name),
                        columns.shown_name(found[1].name)),
            columns.grid().file};
    }
    return found.front();
}

/// The archive's second flag of "measurement,quality,source,time".
std::string quality_flag(const std::string& attributes)
{
    const auto first = attributes.find(',');
    if (first == std::string::npos) {
        return {};
    }
    const auto second = std::min(attributes.find(',', first + 1), attributes.size());
    return std::string{trimmed(std::string_view{attributes}.substr(first + 1, second - first - 1))};
}

struct DayRow {
    std::string code;
    Day day{};
};

void read_temperature(RowReader& row, const DayRow& of, const TemperatureColumn& column,
                      const Columns& columns, WeatherSeries& series)
{
    constexpr double kMissing = -9999;
    const auto value = row.number(column.name);
    if (!value || *value == kMissing) {
        return;
    }
    const auto line = row.row().number;
    const auto name = columns.shown_name(column.name);
    if (const auto flag = quality_flag(row.text(column.attributes)); !flag.empty()) {
        series.doubted(of.code, of.day, column.which, flag, line, name);
    } else {
        series.reading(of.code, of.day, column.which, celsius(*value, column.unit), line, name);
    }
}

/// What a row says of its station.
void read_station(RowReader& row, const std::string& code, WeatherSeries& series)
{
    constexpr double kNoHeight = -999;  // the archive's mark for unknown, and below any station
    const auto lon = row.number("lon", -180, 180, "degrees");
    const auto lat = row.number("lat", -90, 90, "degrees");
    auto height = row.measure("height", -10000, 10000, "m");
    if (height && *height <= kNoHeight) {
        height.reset();
    }
    series.station(
        code, row.text("name"),
        lon && lat ? std::optional{LonLat{Longitude{*lon}, Latitude{*lat}}} : std::nullopt,
        height ? std::optional{Metres{*height}} : std::nullopt);
}

void read_table(std::string_view text, const std::string& file, const WeatherOptions& options,
                WeatherSeries& series)
{
    Grid grid = value_or_throw(parse_text_grid(text, file));
    const Columns columns{grid, weather_vocabulary()};
    columns.require({"date"});
    if (options.station.empty()) {
        columns.require({"station"});
    }
    const auto low = temperature_column(columns, "tmin", Which::Minimum, options);
    const auto high = temperature_column(columns, "tmax", Which::Maximum, options);
    for (auto& row : grid.refused) {
        series.refuse(std::move(row));
    }
    for (const auto& grid_row : grid.rows) {
        RowReader row{columns, grid_row};
        DayRow of{row.text("station"), {}};
        if (of.code.empty()) {
            of.code = options.station;
        }
        const auto day = row.day("date");
        if (!day) {
            row.refuse("date", "is empty", "write year-month-day, as 2026-08-04");
        } else if (of.code.empty()) {
            row.refuse("station", "is empty", "name the station, or give its code as an option");
        } else {
            of.day = *day;
            read_station(row, of.code, series);
            read_temperature(row, of, low, columns, series);
            read_temperature(row, of, high, columns, series);
        }
        if (row.fault()) {
            series.refuse(*row.fault());
        }
    }
}

std::string read_format(const FileText& read, const std::string& file,
                        const WeatherOptions& options, WeatherSeries& series)
{
    const bool fixed = is_fixed_width_archive(read.text);
    const bool element = !fixed && is_element_archive(read.text);
    if ((fixed || element) && options.unit && *options.unit != TemperatureUnit::TenthsOfCelsius) {
        throw Failure{ErrorCode::InvalidInput,
                      "is a daily file of the archive, always in tenths of a degree Celsius; leave "
                      "the unit option out",
                      file};
    }
    if (fixed) {
        read_fixed_width_archive(read.text, series);
        return "daily station file of fixed width, tenths of a degree Celsius";
    }
    if (element) {
        read_element_archive(read.text, file, series);
        return "daily station file, an element a line, tenths of a degree Celsius";
    }
    read_table(read.text, file, options, series);
    return "table, a day a line";
}

/// Places from the options and from the list of stations, where the file gave none.
void place_stations(const WeatherOptions& options, WeatherBatch& batch)
{
    if (options.place || options.height) {
        if (batch.stations.size() > 1) {
            throw Failure{ErrorCode::BadUsage,
                          fmt::format("holds {} stations; a place given as an option fits one only",
                                      batch.stations.size()),
                          batch.file};
        }
        for (auto& series : batch.stations) {
            if (options.place && !series.place_known) {
                series.station.place = *options.place;
                series.place_known = true;
            }
            if (options.height && !series.station.height) {
                series.station.height = options.height;
            }
        }
    }
    for (const auto& series : batch.stations) {
        if (!series.place_known) {
            batch.notes.push_back(
                fmt::format("the file does not say where station {} is; give its "
                            "place, or the archive's list of stations",
                            series.station.code));
        }
    }
}

}  // namespace

std::optional<TemperatureUnit> temperature_unit(std::string_view text)
{
    const auto word = folded(text);
    for (const auto& [name, unit] : kUnits) {
        if (word == name) {
            return unit;
        }
    }
    return std::nullopt;
}

WeatherBatch read_weather(const std::filesystem::path& file, const WeatherOptions& options)
{
    const FileText read = read_text(file);
    WeatherSeries series;
    WeatherBatch batch;
    batch.file = file.filename().string();
    if (!is_fixed_width_archive(read.text) && !is_element_archive(read.text)) {
        if (const auto grid = parse_text_grid(read.text, file.string());
            grid && is_hour_table(*grid)) {
            batch.format = "table, an hour a line";
            read_hour_table(*grid, options, batch);
            place_stations(options, batch);
            return batch;
        }
    }
    batch.format = read_format(read, file.string(), options, series);
    if (options.station_list) {
        const FileText list = read_text(*options.station_list);
        read_station_list(list.text, series.codes(), series);
    }
    std::move(series).finish(batch);
    place_stations(options, batch);
    if (batch.stations.empty() && batch.refused.empty()) {
        batch.notes.emplace_back("the file holds no temperatures");
    }
    return batch;
}

}  // namespace nestround::intake
