/// \file weather_series.hpp
/// \brief Gathers single readings into series by station, whatever file they came from.
///
/// Purpose:  the rules on temperatures stand here once; the readers of formats only find values.
/// Units:    degrees Celsius in.
/// Range:    as weather.hpp.
/// Accuracy: as given.
/// Errors:   readings that break a rule are refused with their line.
/// Source:   own.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "geocore/intake/weather.hpp"

namespace nestround::intake {

class WeatherSeries {
public:
    enum class Which { Minimum, Maximum };

    /// What is known of a station; later knowledge fills what is missing and does not replace.
    void station(const std::string& code, const std::string& name, std::optional<LonLat> place,
                 std::optional<Metres> height);
    /// One temperature; `line` and `column` say where it stands.
    void reading(const std::string& code, Day day, Which which, double celsius, std::size_t line,
                 const std::string& column);
    /// A value that the archive itself doubts.
    void doubted(const std::string& code, Day day, Which which, const std::string& flag,
                 std::size_t line, const std::string& column);
    void refuse(RefusedRow row) { refused_.push_back(std::move(row)); }

    /// Of all stations so far, ascending.
    [[nodiscard]] std::vector<std::string> codes() const;

    /// Series, gaps and what was refused, into a batch that has its name and format.
    void finish(WeatherBatch& batch) &&;

private:
    struct Reading {
        std::optional<double> value;
        std::size_t line = 0;
        std::string column;
    };
    struct DayReadings {
        Reading minimum;
        Reading maximum;
    };
    struct Station {
        WeatherStation station;
        bool place_known = false;
        std::map<Day, DayReadings> days;
    };

    StationSeries series_of(const Station& station);

    std::map<std::string, Station> stations_;
    std::vector<RefusedRow> refused_;
    std::size_t repeated_ = 0;
    std::size_t one_sided_ = 0;
};

/// "temperature of station X on 2026-08-04".
[[nodiscard]] std::string reading_name(const std::string& code, Day day,
                                       WeatherSeries::Which which);

}  // namespace nestround::intake
