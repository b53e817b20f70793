#include "planner/app/place_heat.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geocore/base/error.hpp"
#include "geocore/place/geodesic.hpp"

namespace nestround::app {

namespace {

constexpr std::chrono::days kOneDay{1};

HeatMonth& month_of(std::vector<HeatMonth>& months, Day day)
{
    const std::chrono::year_month_day date{day};
    const int year = int{date.year()};
    const unsigned month = unsigned{date.month()};
    if (months.empty() || months.back().year != year || months.back().month != month) {
        months.push_back({year, month, {}, 0, 0, 0, 0, 0});
    }
    return months.back();
}

nature::PlaceWeather part(const nature::PlaceWeather& all, Day from, Day to)
{
    nature::PlaceWeather out = all;
    std::erase_if(out.days, [&](const auto& day) { return day.day < from || day.day > to; });
    out.gaps.clear();
    Day next = from;
    for (const auto& day : out.days) {
        if (day.day > next) {
            out.gaps.push_back({next, day.day - kOneDay});
        }
        next = day.day + kOneDay;
    }
    return out;
}

/// Degree-days day by day; a day's next minimum is that of the following date only.
std::vector<nature::DatedValue> heat_of(const nature::DegreeDayRule& rule,
                                        const std::vector<nature::PlaceDay>& days)
{
    std::vector<nature::DatedValue> out;
    for (std::size_t i = 0; i < days.size(); ++i) {
        const bool followed = i + 1 < days.size() && days[i + 1].day - days[i].day == kOneDay;
        const auto next = followed ? std::optional{days[i + 1].range.minimum} : std::nullopt;
        out.push_back({days[i].day, degree_days(rule, days[i].range, next).value()});
    }
    return out;
}

double figure(const nature::TaxaTable& table, std::string_view parameter, double otherwise)
{
    const auto* row = table.figure("all", parameter);
    return row == nullptr ? otherwise : row->middle();
}

void add_tail(const nature::TaxaTable& table, const HeatWishes& wishes,
              const std::vector<nature::PlaceDay>& known, PlaceHeat& result)
{
    const Day after = result.last_measured ? *result.last_measured + kOneDay : wishes.from;
    const Day from = std::max(after, wishes.from);
    if (from > wishes.to) {
        result.total = Spread<double>{result.sum.value(), result.sum.value(), result.sum.value()};
        return;
    }
    const auto window = static_cast<int>(figure(table, "weather.normals_window", 7));
    const auto normals = nature::DayNormals::make(heat_of(wishes.rule, known), window);
    result.tail =
        nature::tail_of(normals, from, wishes.to, figure(table, "weather.season_departure", 0.9));
    const auto days = (wishes.to - from).count() + 1;
    if (!result.tail) {
        result.notes.push_back(
            fmt::format("no past year of the book reaches the {} days after {}: they are in no sum",
                        days, format_day(from - kOneDay)));
        return;
    }
    const auto& tail = result.tail->sum;
    const double sum = result.sum.value();
    result.total = Spread<double>{sum + tail.low, sum + tail.middle, sum + tail.high};
    result.notes.push_back(fmt::format(
        "the weather ends on {}, {} days before the end: the rest is what {} year{} of the book "
        "were like{}",
        format_day(from - kOneDay), days, result.tail->years, result.tail->years == 1 ? "" : "s",
        days > 60 ? ", a long stretch and no more than a guess" : ""));
}

}  // namespace

nature::PlaceWeather place_weather(const book::Book& book, const nature::TaxaTable& table,
                                   LonLat place, std::optional<Metres> elevation,
                                   std::optional<Day> known_to)
{
    const auto range = book.weather_range();
    if (!range) {
        return {};
    }
    const auto rules = nature::station_rules(table);
    const Day last = known_to ? std::min(*known_to, range->second) : range->second;
    std::vector<nature::StationSeries> stations;
    for (const auto& station : book.stations()) {
        const Metres away = place::geodesic_distance(place, station.place);
        if (away > rules.reach) {
            continue;
        }
        nature::StationSeries series{
            station.name.empty() ? station.code : station.name, away, station.height, {}};
        for (const auto& day : book.weather(station.id, range->first, last)) {
            series.days.push_back({day.day, {day.minimum, day.maximum}});
        }
        stations.push_back(std::move(series));
    }
    return weather_at(elevation, stations, range->first, last, rules);
}

PlaceHeat place_heat(const book::Book& book, const nature::TaxaTable& table,
                     const HeatWishes& wishes)
{
    if (wishes.from > wishes.to) {
        throw Failure{ErrorCode::InvalidInput,
                      fmt::format("--from {} is after --to {}; swap them", format_day(wishes.from),
                                  format_day(wishes.to))};
    }
    static_cast<void>(value_or_throw(checked(wishes.rule)));
    const auto name = book.path().filename().string();
    if (!book.weather_range()) {
        throw Failure{ErrorCode::NotFound,
                      "no weather in the book; add some with: nestround weather import", name};
    }
    const auto all = place_weather(book, table, wishes.place, wishes.elevation, wishes.known_to);
    if (all.days.empty()) {
        throw Failure{ErrorCode::NotFound,
                      all.stations.empty()
                          ? "no station of the book is near enough; import weather of that place"
                          : "no reading of the stations near the place up to the day known",
                      name};
    }
    PlaceHeat result;
    result.notes = all.notes;
    auto weather = part(all, wishes.from, wishes.to);
    result.gaps = weather.gaps;
    result.stations = weather.stations;
    if (!weather.days.empty()) {
        result.last_measured = weather.days.back().day;
    } else if (all.days.back().day < wishes.to) {
        result.last_measured = all.days.back().day;
    }
    if (wishes.fill) {
        const auto window = static_cast<int>(figure(table, "weather.normals_window", 7));
        // With the days around, so that a gap at the first day is filled too.
        auto whole =
            filled(all, nature::range_normals(all.days, window), nature::station_rules(table));
        weather = part(whole, wishes.from, wishes.to);
    }
    const double frost = figure(table, "heat.frost", 0);
    auto heat = heat_of(wishes.rule, weather.days);
    std::size_t at = 0;
    const Day end = result.last_measured ? std::min(*result.last_measured, wishes.to) : wishes.from;
    for (Day day = wishes.from; day <= end; day += kOneDay) {
        auto& month = month_of(result.months, day);
        if (at == weather.days.size() || weather.days[at].day != day) {
            ++month.missing;
            ++result.missing;
            continue;
        }
        const auto& one = weather.days[at];
        const bool measured = one.origin == nature::Origin::Measured;
        ++(measured ? month.measured : month.filled);
        result.filled += measured ? 0 : 1;
        month.sum += DegreeDays{heat[at].value};
        result.sum += DegreeDays{heat[at].value};
        month.frosts += one.range.minimum.value() <= frost ? 1 : 0;
        month.flight_days += flight_share(table, wishes.taxon, one.range);
        ++at;
    }
    if (result.missing > 0) {
        result.notes.push_back(
            fmt::format("{} day{} without a reading: {} in no sum{}", result.missing,
                        result.missing == 1 ? "" : "s", result.missing == 1 ? "it is" : "they are",
                        wishes.fill ? "" : "; --fill fills and marks what can be filled"));
    }
    add_tail(table, wishes, all.days, result);
    return result;
}

}  // namespace nestround::app
