#include "geocore/intake/weather_hours.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <utility>

#include "geocore/intake/time_zone.hpp"

namespace nestround::intake {

namespace {

constexpr double kMile = 1609.344;
constexpr double kSeaMile = 1852;
constexpr std::array<std::pair<const char*, double>, 4> kSpeeds{
    {{"_m_s", 1}, {"_km_h", 1000.0 / 3600}, {"_mph", kMile / 3600}, {"_kn", kSeaMile / 3600}}};

const Vocabulary& hour_vocabulary()
{
    static const Vocabulary words{
        {"station", "name", "lon", "lat", "time", "temperature_c", "temperature_f",
         "humidity_percent", "wind_m_s", "wind_km_h", "wind_mph", "wind_kn", "gust_m_s",
         "gust_km_h", "gust_mph", "gust_kn", "thunder"},
        {"height"},
        {},
        {{"longitude", "lon"}, {"latitude", "lat"}, {"elevation", "height_m"}}};
    return words;
}

class HourReader {
public:
    HourReader(const Grid& grid, const WeatherOptions& options, WeatherBatch& batch)
        : columns_{grid, hour_vocabulary()}, options_{options}, batch_{batch}
    {
        columns_.require({"time"});
        if (options.station.empty()) {
            columns_.require({"station"});
        }
        one_of("temperature", {"_c", "_f"});
        one_of("wind", {"_m_s", "_km_h", "_mph", "_kn"});
        one_of("gust", {"_m_s", "_km_h", "_mph", "_kn"});
    }

    void read(const GridRow& grid_row)
    {
        RowReader row{columns_, grid_row};
        WeatherHour hour;
        const auto code = station(row);
        const auto at = moment(row);
        if (at) {
            hour.at = *at;
        }
        read_values(row, hour);
        if (!row.fault() && !hour.temperature && !hour.humidity && !hour.wind && !hour.gust &&
            !hour.thunder) {
            return;  // nothing was measured
        }
        if (!row.fault()) {
            keep(row, code, hour);
        }
        if (row.fault()) {
            batch_.refused.push_back(*row.fault());
        }
    }

    void finish()
    {
        for (auto& [code, held] : stations_) {
            for (auto& [at, hour] : held.second) {
                held.first.hours.push_back(hour);
            }
            batch_.stations.push_back(std::move(held.first));
        }
        for (const auto* name : {"humidity_percent", "thunder"}) {
            if (!columns_.has(name)) {
                batch_.notes.push_back(
                    fmt::format("the file has no column '{}': it stays unknown", name));
            }
        }
        for (const auto* stem : {"wind", "gust"}) {
            if (std::none_of(kSpeeds.begin(), kSpeeds.end(), [&](const auto& unit) {
                    return columns_.has(std::string{stem} + unit.first);
                })) {
                batch_.notes.push_back(
                    fmt::format("the file has no column '{}': it stays unknown", stem));
            }
        }
    }

private:
    /// Two columns for one thing would be two answers.
    void one_of(const std::string& stem, std::initializer_list<const char*> tails) const
    {
        std::vector<std::string> found;
        for (const auto* tail : tails) {
            if (columns_.has(stem + tail)) {
                found.push_back(columns_.shown_name(stem + tail));
            }
        }
        if (found.size() > 1) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("both '{}' and '{}' are there; keep one", found[0], found[1]),
                          columns_.grid().file};
        }
    }

    std::string station(RowReader& row)
    {
        std::string code = row.text("station");
        if (code.empty()) {
            code = options_.station;
        }
        if (code.empty()) {
            row.refuse("station", "is empty", "name the station, or give its code as an option");
            return code;
        }
        const auto lon = row.number("lon", -180, 180, "degrees");
        const auto lat = row.number("lat", -90, 90, "degrees");
        const auto height = row.measure("height", -500, 9000, "m");
        auto& series = stations_[code].first;
        series.station.code = code;
        if (series.station.name.empty()) {
            series.station.name = row.text("name");
        }
        if (lon && lat && !series.place_known) {
            series.station.place = {Longitude{*lon}, Latitude{*lat}};
            series.place_known = true;
        }
        if (height && !series.station.height) {
            series.station.height = Metres{*height};
        }
        return code;
    }

    std::optional<Instant> moment(RowReader& row) const
    {
        std::string text = row.text("time");
        std::replace(text.begin(), text.end(), ' ', 'T');
        const auto split = text.find('T');
        if (split == std::string::npos) {
            row.refuse("time", fmt::format("'{}' is no day and time", shown(text)),
                       "write 2026-08-04T14:00Z, or 2026-08-04 14:00 with the zone as an option");
            return std::nullopt;
        }
        if (text.find_first_of("Z+-", split) != std::string::npos) {
            if (const auto at = parse_instant(text)) {
                return *at;
            }
        } else if (const auto day = parse_day(text.substr(0, split))) {
            const auto clock = parse_clock(text.substr(split + 1, 5));
            if (options_.zone.empty()) {
                row.refuse("time", fmt::format("'{}' has neither Z nor an offset", shown(text)),
                           "give the zone as an option, as Europe/Zurich");
                return std::nullopt;
            }
            if (clock && text.size() <= split + 9) {
                const auto at = to_utc(*day, *clock, options_.zone);
                return at ? std::optional{*at} : std::nullopt;
            }
        }
        row.refuse("time", fmt::format("'{}' is no day and time", shown(text)),
                   "write 2026-08-04T14:00Z, or 2026-08-04 14:00 with the zone as an option");
        return std::nullopt;
    }

    static std::optional<MetresPerSecond> speed(RowReader& row, const std::string& stem)
    {
        constexpr double kFastest = 120;  // m/s; the strongest gust accepted was 113 (memory)
        for (const auto& [tail, factor] : kSpeeds) {
            if (const auto value = row.number(stem + tail, 0, kFastest / factor, tail + 1)) {
                return MetresPerSecond{*value * factor};
            }
        }
        return std::nullopt;
    }

    static void read_values(RowReader& row, WeatherHour& hour)
    {
        if (const auto value = row.number("temperature_c", -90, 60, "C")) {
            hour.temperature = Celsius{*value};
        }
        if (const auto value = row.number("temperature_f", -130, 140, "F")) {
            hour.temperature = celsius_from_fahrenheit(*value);
        }
        if (const auto value = row.number("humidity_percent", 0, 100, "%")) {
            hour.humidity = Fraction{*value / 100};
        }
        hour.wind = speed(row, "wind");
        hour.gust = speed(row, "gust");
        if (hour.wind && hour.gust && *hour.gust < *hour.wind) {
            row.refuse("gust", "is below the mean wind of its hour",
                       "are the columns swapped, or in different units?");
        }
        if (const auto text = row.text("thunder"); !text.empty()) {
            hour.thunder = yes_no(text);
            if (!hour.thunder) {
                row.refuse("thunder", fmt::format("'{}' is neither yes nor no", shown(text)),
                           "write yes or no, or leave it empty");
            }
        }
    }

    void keep(RowReader& row, const std::string& code, const WeatherHour& hour)
    {
        const auto [at, is_new] = stations_[code].second.emplace(hour.at, hour);
        if (!is_new && !(at->second == hour)) {
            row.refuse("time",
                       fmt::format("station {} has other readings for {} on an earlier line, which "
                                   "was kept",
                                   code, format_instant(hour.at)),
                       "remove the wrong one");
        }
    }

    Columns columns_;
    const WeatherOptions& options_;
    WeatherBatch& batch_;
    std::map<std::string, std::pair<StationSeries, std::map<Instant, WeatherHour>>> stations_;
};

}  // namespace

bool is_hour_table(const Grid& grid) { return Columns{grid, hour_vocabulary()}.has("time"); }

void read_hour_table(const Grid& grid, const WeatherOptions& options, WeatherBatch& batch)
{
    HourReader reader{grid, options, batch};
    batch.refused = grid.refused;
    for (const auto& row : grid.rows) {
        reader.read(row);
    }
    reader.finish();
}

}  // namespace nestround::intake
