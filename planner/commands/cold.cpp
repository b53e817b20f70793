// nestround cold, nestround exposure
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "geocore/intake/places.hpp"
#include "geocore/intake/time_zone.hpp"
#include "geocore/place/sun.hpp"
#include "planner/access/cold.hpp"
#include "planner/access/heat.hpp"
#include "planner/access/noise.hpp"
#include "planner/access/parcel.hpp"
#include "planner/app/day_conditions.hpp"
#include "planner/app/preferences.hpp"
#include "planner/app/stops.hpp"
#include "planner/commands/cargo.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"

namespace nestround::commands {

namespace {

constexpr auto kCaution =
    "This supports a decision and calls nothing safe: local codes, the makers' and suppliers' "
    "instructions,\nlicensed practice and medical advice come first.\n";

struct ColdWords {
    double grams = 0;
    double hours = 8;
    std::optional<double> loss;
    std::optional<double> ice_kg;
    double cab = 0;
    double air_changes = 0;
    std::string parcel;
    int packages = 1;
};

void show_parcel(const ColdWords& words, Grams ice)
{
    const auto by = words.parcel == "air"      ? access::Carriage::Air
                    : words.parcel == "vessel" ? access::Carriage::Vessel
                                               : access::Carriage::Road;
    const auto rules = value_or_throw(access::parcel_rules(ice, words.packages, by));
    std::cout << fmt::format("parcel by {}, {} package{} of {:.2f} kg dry ice; mark:\n    {}\n",
                             words.parcel, words.packages, words.packages == 1 ? "" : "s",
                             ice.value() / 1000, access::parcel_mark(ice));
    for (const auto& rule : rules) {
        std::cout << fmt::format("  - {}\n      ({}: {})\n", rule.words, text(rule.mark),
                                 rule.source);
    }
}

void cold(const ColdWords& words)
{
    const Fraction loss{words.loss ? *words.loss / 100 : access::default_loss_per_hour()};
    const seconds out{static_cast<std::int64_t>(words.hours * 3600)};
    const auto need = value_or_throw(access::ice_needed(Grams{words.grams}, out, loss));
    const auto kg = [](Grams mass) {
        return fmt::format("{:.2f} kg ({:.1f} lb)", mass.value() / 1000, pounds(mass));
    };
    std::cout << fmt::format(
        "dry ice for {:.0f} g caught over {:g} h in a box that loses {:.1f} % an hour{}\n"
        "  to freeze the catch   {}\n  lost by the box       {}\n  reserve               {}\n"
        "  in all                {}\n",
        words.grams, words.hours, loss.value() * 100, words.loss ? "" : " (a figure of one trial)",
        kg(need.for_freezing), kg(need.for_box), kg(need.reserve), kg(need.all()));
    const Grams carried = words.ice_kg ? Grams{*words.ice_kg * 1000} : need.all();
    if (const auto lasts =
            access::ice_lasts(carried, loss, std::max(need.for_freezing, Grams{500}))) {
        std::cout << fmt::format("  {} would be down to what freezing needs after {:.0f} h\n",
                                 kg(carried), static_cast<double>(lasts->count()) / 3600);
    } else {
        std::cout << fmt::format("  {} is NOT ENOUGH\n", kg(carried));
    }
    if (words.cab > 0) {
        const auto air =
            value_or_throw(access::cab_air(carried, loss, words.cab, words.air_changes));
        std::cout << fmt::format(
            "cab of {:g} cubic metres, {:g} air changes an hour: {}\n"
            "  at least {:.0f} cubic metres of outside air an hour keep to half the limit\n",
            words.cab, words.air_changes, air.words, air.least_air);
    }
    if (!words.parcel.empty()) {
        show_parcel(words, carried / words.packages);
    }
    std::cout << "dry ice burns skin and its gas displaces air: gloves, never an airtight box\n"
              << kCaution;
}

struct ExposureWords {
    std::string book;
    std::string at;
    std::string on = "today";
    std::string zone = "UTC";
    std::optional<double> low;
    std::optional<double> high;
    std::optional<double> humidity;
    std::string sun = "full";
    std::optional<double> vacuum;
    std::vector<double> minutes;
    std::string criterion = "niosh";
    std::optional<double> muffs;
};

std::string local(std::optional<Instant> at, const std::string& zone)
{
    return at ? format_clock(value_or_throw(intake::to_local(*at, zone)).clock) : "--:--";
}

void show_sun(LonLat place, Day day, const std::string& zone)
{
    for (const auto& [name, zenith] : {std::pair{"sun up", place::kSunriseZenith},
                                       {"civil twilight", place::kCivilZenith},
                                       {"nautical", place::kNauticalZenith},
                                       {"astronomical", place::kAstronomicalZenith}}) {
        const auto span = place::sun_span(place, day, zenith);
        std::cout << fmt::format("  {:<16}", name);
        if (span.begins && span.ends) {
            std::cout << fmt::format("{} to {}\n", local(span.begins, zone),
                                     local(span.ends, zone));
        } else {
            std::cout << (span.polar == place::Polar::AlwaysAbove ? "all day\n" : "not this day\n");
        }
    }
}

access::Sunshine shine_of(const ExposureWords& words)
{
    return words.sun == "shade"    ? access::Sunshine::Shade
           : words.sun == "partly" ? access::Sunshine::PartlyCloudy
                                   : access::Sunshine::Full;
}

void show_heat(const ExposureWords& words, LonLat place, Day day)
{
    const auto sun = place::sun_span(place, day);
    if (!words.low || !words.high) {
        std::cout << "heat: unknown; give --low and --high of the day\n";
        return;
    }
    if (!(*words.low <= *words.high && *words.low >= -60 && *words.high <= 60)) {
        throw Failure{ErrorCode::InvalidInput,
                      "--low and --high lie between -60 and 60 degrees Celsius, low first"};
    }
    if (!sun.begins || !sun.ends) {
        std::cout << "heat by the hour: no sunrise or sunset to draw the curve by\n";
        return;
    }
    const auto hour_of = [&](Instant at) {
        const auto there = value_or_throw(intake::to_local(at, words.zone));
        return static_cast<double>(there.clock.since_midnight().count()) / 3600;
    };
    std::optional<Fraction> humidity;
    if (words.humidity) {
        humidity = Fraction{*words.humidity / 100};
    }
    const auto shine = shine_of(words);
    std::cout << "heat by the hour: a published curve through two readings, one humidity all day; "
                 "not measured\n";
    for (int hour = 6; hour <= 20; hour += 1) {
        const double rise = hour_of(*sun.begins);
        const double length = static_cast<double>((*sun.ends - *sun.begins).count()) / 3600;
        const Celsius air = access::hourly_temperature(Celsius{*words.low}, Celsius{*words.high},
                                                       rise, rise + length, hour);
        const auto index = access::heat_index(air, humidity);
        const auto advice =
            access::work_rest(air, humidity, shine, access::WorkRate::Moderate, true);
        std::cout << fmt::format(
            "  {:02}:00  {:4.1f} C ({:3.0f} F)  {}\n", hour, air.value(), fahrenheit(air),
            index ? fmt::format("heat index {:4.1f} C ({:3.0f} F, {}); in a suit: {}",
                                index->value(), fahrenheit(*index),
                                access::text(access::heat_class(index)), advice->words)
                  : std::string{"heat index unknown: no humidity given"});
    }
}

/// The book's hours of that day, and which limit of its settings bars what.
void show_hours(const ExposureWords& words, const day::DayConditions& conditions,
                const day::LimitSettings& limits)
{
    std::cout << "weather by the hour: "
              << (conditions.source.empty() ? std::string{"unknown, the book has none of this day"}
                                            : conditions.source)
              << '\n';
    for (const auto& hour : conditions.hours) {
        if (hour.from < std::chrono::hours{5} || hour.from > std::chrono::hours{22}) {
            continue;
        }
        const auto humidity = hour.humidity ? hour.humidity : limits.humidity;
        const auto index = hour.air ? access::heat_index(*hour.air, humidity) : std::nullopt;
        std::cout << fmt::format("  {}  ", format_clock(ClockTime{hour.from}))
                  << (hour.air ? fmt::format("{:4.1f} C", hour.air->value())
                               : std::string{"temperature unknown"});
        if (index) {
            const auto advice = access::work_rest(*hour.air, humidity, shine_of(words),
                                                  access::WorkRate::Moderate, true);
            std::cout << fmt::format(", heat index {:.1f} C ({:.0f} F, {}); in a suit: {}",
                                     index->value(), fahrenheit(*index),
                                     access::text(access::heat_class(index)), advice->words);
        } else {
            std::cout << ", heat index unknown: no humidity";
        }
        const auto wind = hour.gust ? hour.gust : hour.wind;
        std::cout << (wind ? fmt::format("; wind or gusts {}", day::speed_words(*wind))
                           : std::string{"; wind unknown"})
                  << (!hour.thunder   ? "; thunder unknown"
                      : *hour.thunder ? "; THUNDER"
                                      : "")
                  << '\n';
    }
    for (const auto& bar : day::barred_hours(conditions, limits)) {
        if (bar.rule != day::LimitRule::Daylight) {
            std::cout << fmt::format("limit, {}: {}\n", day::text(bar.rule), bar.words);
        }
    }
    for (const auto& missing : day::not_in_plan(conditions, {}, limits)) {
        std::cout << fmt::format("not known or not held to: {}\n", missing);
    }
}

void show_noise(const ExposureWords& words)
{
    std::optional<double> level = words.vacuum;
    if (level && words.muffs) {
        level = access::behind_protector(*level, *words.muffs, access::Derating::MuffNiosh);
    }
    std::vector<access::NoiseSpell> spells;
    for (const double each : words.minutes) {
        spells.push_back({level, seconds{static_cast<std::int64_t>(each * 60)}});
    }
    const auto criterion =
        words.criterion == "osha" ? access::NoiseCriterion::Osha : access::NoiseCriterion::Niosh;
    const auto dose = value_or_throw(access::noise_dose(spells, criterion));
    std::cout << fmt::format("noise, criterion {}: {}\n", words.criterion, dose.words);
    if (level) {
        std::cout << fmt::format(
            "  at {:.0f} dB(A) at the ear a day's dose is full after {:.1f} h\n", *level,
            access::allowed_hours(*level, criterion));
    }
}

/// A day at the first crew's depot by what the book knows.
void exposure_of_book(ExposureWords words)
{
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto preferences = app::preferences(book.settings());
    words.zone = preferences.time_zone;
    const LonLat place = words.at.empty() ? app::chosen_crews(book, {}).front().depot
                                          : value_or_throw(intake::parse_place(words.at));
    const Day day = day_option(words.on, words.zone);
    std::cout << fmt::format("{}, clock of {}\n", format_day_long(day), words.zone);
    show_sun(place, day, words.zone);
    show_hours(words, app::day_conditions(book, day, place, words.zone, preferences.limits.light),
               preferences.limits);
    if (!words.minutes.empty()) {
        show_noise(words);
    }
    std::cout << kCaution;
}

void exposure(const ExposureWords& words)
{
    if (!words.book.empty()) {
        exposure_of_book(words);
        return;
    }
    if (words.at.empty()) {
        throw Failure{ErrorCode::BadUsage, "give a place by --at LAT,LON, or a book"};
    }
    if (!intake::is_time_zone(words.zone)) {
        throw Failure{ErrorCode::BadUsage,
                      fmt::format("--zone: '{}' is no time zone, as Europe/Zurich", words.zone)};
    }
    const LonLat place = value_or_throw(intake::parse_place(words.at));
    const Day day = day_option(words.on, words.zone);
    std::cout << fmt::format("{}, clock of {}\n", format_day_long(day), words.zone);
    show_sun(place, day, words.zone);
    show_heat(words, place, day);
    if (!words.minutes.empty()) {
        show_noise(words);
    }
    std::cout << kCaution;
}

}  // namespace

void add_cold(CLI::App& app)
{
    auto* command = app.add_subcommand("cold", "Dry ice for a day, and its gas in the cab");
    const auto words = std::make_shared<ColdWords>();
    command->add_option("--grams", words->grams, "Expected catch")->required();
    command->add_option("--hours", words->hours, "Out and home")->capture_default_str();
    command->add_option("--loss", words->loss, "Of the box, per cent an hour: measure yours");
    command->add_option("--ice-kg", words->ice_kg, "Dry ice carried; else what is needed");
    command->add_option("--cab", words->cab, "Cubic metres of a cab that holds the box");
    command->add_option("--air-changes", words->air_changes, "An hour; 0 is a closed cab");
    command
        ->add_option("--parcel", words->parcel,
                     "Marks and limits of a parcel to a laboratory, by air, vessel or road")
        ->check(CLI::IsMember({"air", "vessel", "road"}));
    command->add_option("--packages", words->packages, "Parcels that share the dry ice")
        ->check(CLI::Range(1, 1000));
    command->callback([words] { cold(*words); });
    add_cargo(app);
}

void add_exposure(CLI::App& app)
{
    auto* command =
        app.add_subcommand("exposure", "Daylight, heat and noise of a day at the nests");
    const auto words = std::make_shared<ExposureWords>();
    command->add_option("book", words->book, "The book: its weather, crew and limits");
    command->add_option("--at", words->at,
                        "Place: \"41.2,-77.1\"; with a book else the first depot");
    command->add_option("--on", words->on, "Day")->capture_default_str();
    command->add_option("--zone", words->zone, "Time zone of the clock")->capture_default_str();
    command->add_option("--low", words->low, "Lowest air temperature, Celsius");
    command->add_option("--high", words->high, "Highest air temperature, Celsius");
    command->add_option("--humidity", words->humidity, "Relative, per cent")
        ->check(CLI::Range(0.0, 100.0));
    command->add_option("--sky", words->sun, "Over the work: full sun, partly cloudy, shade")
        ->check(CLI::IsMember({"full", "partly", "shade"}));
    command->add_option("--vacuum", words->vacuum, "Its level at the ear as measured, dB(A)");
    command->add_option("--minutes", words->minutes, "Minutes that it runs at each stop")
        ->delimiter(',');
    command
        ->add_option("--criterion", words->criterion, "niosh (85 dB, 3 dB) or osha (90 dB, 5 dB)")
        ->check(CLI::IsMember({"niosh", "osha"}));
    command->add_option("--muffs", words->muffs, "Noise reduction rating of ear muffs worn");
    command->callback([words] { exposure(*words); });
}

}  // namespace nestround::commands
