/// \file station_weather.hpp
/// \brief The weather of a place from the stations around it.
///
/// Purpose:  stations near a place, weighed by distance, each brought to the place's height; days
///           that no station has stay missing unless filling is asked for, and are marked then.
/// Units:    Celsius, metres; lapse rates in Celsius a kilometre.
/// Range:    stations within the reach of the rules; no height is corrected where the place's or
///           the station's is unknown, which is said in a note.
/// Accuracy: a carried reading is a guess of one or two degrees where hills lie between; nights in
///           hollows are colder than any rate tells.
/// Errors:   none; no station near is an empty result with a note.
/// Source:   rows weather.* of the taxa table; D. Shepard, "A two-dimensional interpolation
/// function
///           for irregularly-spaced data", ACM National Conference (1968), for the weights.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/nature/climate_normals.hpp"
#include "geocore/nature/degree_days.hpp"
#include "geocore/nature/taxa_table.hpp"
#include "geocore/units/units.hpp"

namespace nestround::nature {

struct DatedRange {
    Day day{};
    DayRange range;
};

struct StationSeries {
    std::string name;
    Metres away{};                 ///< from the place
    std::optional<Metres> height;  ///< above the sea
    std::vector<DatedRange> days;  ///< in order; missing days are absent
};

struct StationRules {
    Metres reach{};
    double power = 2;
    Metres nearest{};
    std::size_t most = 0;
    double lapse_minimum = 0;  ///< C/km
    double lapse_maximum = 0;  ///< C/km
    int fill_longest = 0;      ///< days
};
[[nodiscard]] StationRules station_rules(const TaxaTable& table);

/// Where a day's two figures come from.
enum class Origin {
    Measured,       ///< carried from stations that measured on that day
    FilledBetween,  ///< from the days on both sides of a short gap
    FilledNormal,   ///< from the normals of that time of year
};
[[nodiscard]] std::string_view text(Origin origin);

struct PlaceDay {
    Day day{};
    DayRange range;
    Origin origin = Origin::Measured;
};

struct StationShare {
    std::string name;
    Metres away{};
    std::optional<Metres> climb;  ///< from the station up to the place
    double weight = 0;            ///< among those used; adds up to 1
    std::size_t days = 0;         ///< that it gave
};

struct DayGap {
    Day from{};
    Day to{};  ///< included
    friend bool operator==(const DayGap&, const DayGap&) = default;
};

struct PlaceWeather {
    std::vector<StationShare> stations;  ///< nearest first
    std::vector<PlaceDay> days;          ///< in order; missing days are absent
    std::vector<DayGap> gaps;            ///< between the first and the last day that is there
    std::vector<std::string> notes;
};

/// Days from `from` to `to`, both included. On a day that some stations lack the others share their
/// weight.
[[nodiscard]] PlaceWeather weather_at(std::optional<Metres> elevation,
                                      std::span<const StationSeries> stations, Day from, Day to,
                                      const StationRules& rules);

/// Normals of the two extremes.
struct RangeNormals {
    DayNormals minimum;
    DayNormals maximum;
};
[[nodiscard]] RangeNormals range_normals(std::span<const PlaceDay> days, int window);

/// Fills the gaps and marks what it filled: short ones from both sides, as a departure from the
/// normals that changes evenly; long ones by the normals; where there are none the gap stays.
[[nodiscard]] PlaceWeather filled(PlaceWeather weather, const RangeNormals& normals,
                                  const StationRules& rules);

}  // namespace nestround::nature
