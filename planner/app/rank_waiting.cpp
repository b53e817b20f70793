#include "planner/app/rank_waiting.hpp"

#include <fmt/format.h>

#include "geocore/base/error.hpp"
#include "planner/app/orders.hpp"
#include "planner/app/own_catches.hpp"
#include "planner/app/taxa_in_use.hpp"

namespace nestround::app {

namespace {

/// A forecast may look this far past the last reading before it is called a mistake.
constexpr std::chrono::days kPastWeather{14};

std::vector<std::string> weather_notes(const book::Book& book, Day on, bool without_weather)
{
    const auto range = book.weather_range();
    if (without_weather) {
        return {};
    }
    if (!range) {
        return {"No weather in the book: the season is the published calendar alone."};
    }
    if (on < range->first || on > range->second + kPastWeather) {
        throw Failure{
            ErrorCode::InvalidInput,
            fmt::format("{} lies outside the weather in the book ({} to {}); import the "
                        "missing days or add --without-weather",
                        format_day(on), format_day(range->first), format_day(range->second)),
            book.path().filename().string()};
    }
    if (on > range->second) {
        return {fmt::format("Weather is known up to {} only.", format_day(range->second))};
    }
    return {};
}

}  // namespace

RankedMorning rank_waiting(const book::Book& book, const Preferences& preferences, Day on,
                           bool without_weather)
{
    RankedMorning morning;
    morning.notes = weather_notes(book, on, without_weather);
    const auto waiting = book.waiting_calls(on);
    const auto taxa = taxa_in_use(book, preferences);
    yield::Forecaster forecaster{*taxa, learned_settings(book, preferences, *taxa, on)};
    morning.calls =
        rank::rank_calls(waiting, forecaster, on, rank_by_orders(book, preferences, on));
    return morning;
}

}  // namespace nestround::app
