/// \file import_weather.hpp
/// \brief Use case: daily and hourly readings from a file into the book.
///
/// Purpose:  stations are found by their code and made when new; readings are added or updated.
/// Units:    as the records.
/// Range:    a station without a place is refused: nothing could be near it.
/// Accuracy: not applicable.
/// Errors:   Failure; the book is then as it was.
/// Source:   own.
#pragma once

#include <cstddef>

#include "geocore/book/book.hpp"
#include "geocore/intake/weather.hpp"
#include "planner/app/clockwork.hpp"

namespace nestround::app {

struct WeatherImport {
    std::size_t new_stations = 0;
    book::WeatherTally days;
    book::WeatherTally hours;
};

[[nodiscard]] WeatherImport import_weather(book::Book& book, const intake::WeatherBatch& batch,
                                           Instant now, KeyMaker& keys);

}  // namespace nestround::app
