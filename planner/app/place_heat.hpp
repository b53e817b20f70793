/// \file place_heat.hpp
/// \brief Use case: the heat of a place between two days, from the stations of the book.
///
/// Purpose:  degree-days by month, which stations they rest on, gaps, and a tail from the normals
/// of
///           the book's own past years beyond the last measured day.
/// Units:    Celsius degree-days.
/// Range:    as nature/degree_days.hpp and nature/station_weather.hpp.
/// Accuracy: missing days are in no sum unless filled; their number is told.
/// Errors:   Failure{InvalidInput} for days or thresholds the wrong way round, Failure{NotFound}
///           when the book has no weather near the place before the days asked for.
/// Source:   docs/science/heat.md.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geocore/book/book.hpp"
#include "geocore/nature/season_heat.hpp"
#include "planner/app/preferences.hpp"

namespace nestround::app {

struct HeatWishes {
    LonLat place{};
    std::optional<Metres> elevation;
    Day from{};
    Day to{};
    std::optional<Day> known_to;  ///< readings after this day are not looked at
    nature::DegreeDayRule rule;
    bool fill = false;
    std::string taxon;  ///< whose flight limits count; may be empty
};

struct HeatMonth {
    int year = 0;
    unsigned month = 0;
    DegreeDays sum{};
    int measured = 0;
    int filled = 0;
    int missing = 0;
    int frosts = 0;          ///< days whose lowest is 0 C or less
    double flight_days = 0;  ///< shares of days fit for flight, added up
};

struct PlaceHeat {
    std::vector<nature::StationShare> stations;
    std::vector<HeatMonth> months;  ///< up to the last measured day
    DegreeDays sum{};               ///< of the days that are there
    std::optional<Day> last_measured;
    std::vector<nature::DayGap> gaps;  ///< before filling, within the days asked for
    int filled = 0;
    int missing = 0;  ///< days in no sum, up to the last measured
    std::optional<nature::Tail> tail;
    std::optional<Spread<double>>
        total;  ///< with the tail, when it could be made or none is needed
    std::vector<std::string> notes;
};

[[nodiscard]] PlaceHeat place_heat(const book::Book& book, const nature::TaxaTable& table,
                                   const HeatWishes& wishes);

/// The measured days of a place, all years up to `known_to`.
[[nodiscard]] nature::PlaceWeather place_weather(const book::Book& book,
                                                 const nature::TaxaTable& table, LonLat place,
                                                 std::optional<Metres> elevation,
                                                 std::optional<Day> known_to);

}  // namespace nestround::app
