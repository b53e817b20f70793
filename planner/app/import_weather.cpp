#include "planner/app/import_weather.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geocore/base/error.hpp"

namespace nestround::app {

namespace {

void add(book::WeatherTally& sum, const book::WeatherTally& tally)
{
    sum.added += tally.added;
    sum.changed += tally.changed;
    sum.same += tally.same;
}

}  // namespace

WeatherImport import_weather(book::Book& book, const intake::WeatherBatch& batch, Instant now,
                             KeyMaker& keys)
{
    WeatherImport result;
    const auto known = book.stations();
    book::Change change{book, now};
    for (const auto& series : batch.stations) {
        const auto at = std::find_if(known.begin(), known.end(), [&](const WeatherStation& s) {
            return s.code == series.station.code;
        });
        StationId id;
        if (at != known.end()) {
            id = at->id;
        } else {
            if (!series.place_known) {
                throw Failure{ErrorCode::InvalidInput,
                              fmt::format("station '{}' has no place; give it with --place LAT,LON",
                                          series.station.code),
                              batch.file};
            }
            WeatherStation station = series.station;
            station.id = id = keys.make<StationId>(now);
            change.insert(station);
            ++result.new_stations;
        }
        auto hours = series.hours;
        for (auto& hour : hours) {
            hour.station = id;
        }
        add(result.hours, change.put(hours));
        auto days = series.days;
        for (auto& day : days) {
            day.station = id;
        }
        add(result.days, change.put(days));
    }
    change.commit();
    return result;
}

}  // namespace nestround::app
