/// \file season_heat.hpp
/// \brief What the weather of a year may do to a season: flight, frost, and, when asked for, an
/// earlier or later start and end.
///
/// Purpose:  flight by the published limits of air temperature; shifts of the season by rules whose
///           sign alone is published, so that they are off unless the user turns them on.
/// Units:    days, positive is later; shares of a day 0 to 1.
/// Range:    seasons by Season's own count of days, so that the south is half a year off.
/// Accuracy: no degree-day threshold of any social wasp was found: the sizes of both shifts are
///           assumptions, and wide.
/// Errors:   none; weather that does not reach is a shift of 0 with words that say so.
/// Source:   rows heat.* and flight.* of the taxa table; docs/science/heat.md.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "geocore/base/spread.hpp"
#include "geocore/nature/season.hpp"
#include "geocore/nature/station_weather.hpp"

namespace nestround::nature {

/// The share of a day whose air lets wasps fly: between the flight limits of the taxon, by the
/// single sine. Night is not taken off.
[[nodiscard]] double flight_share(const TaxaTable& table, std::string_view taxon, DayRange day);

struct HeatSettings {
    bool spring_shift = false;
    bool autumn_shift = false;

    [[nodiscard]] bool any() const { return spring_shift || autumn_shift; }
};

/// How far the season of one year runs from the calendar.
struct SeasonShift {
    Spread<double> start;            ///< days; negative is earlier
    Spread<double> end;              ///< days; positive is later
    std::vector<std::string> words;  ///< what it rests on, or why it is none

    /// Days by which a season that begins at `first` and ends at `last` runs late on `day`: the
    /// start's shift up to `first`, the end's from `last` on, evenly between.
    [[nodiscard]] double on(double day, double first, double last) const;
};

/// `history`: the measured days of the place up to the day of asking, as many years as there are.
[[nodiscard]] SeasonShift season_shift(const TaxaTable& table, const HeatSettings& settings,
                                       std::span<const PlaceDay> history, Latitude latitude,
                                       int season);

}  // namespace nestround::nature
