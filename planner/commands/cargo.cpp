// nestround cargo
#include "planner/commands/cargo.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>

#include "geocore/book/book.hpp"
#include "planner/access/figures.hpp"
#include "planner/app/carry_comb.hpp"
#include "planner/app/day_conditions.hpp"
#include "planner/app/stops.hpp"
#include "planner/commands/console.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string book;
    std::string on = "today";
    std::string air;
    std::string leaves;
    std::string home;
    double comb = 0;
    double adults = 0;
    double loss = 0;
    double cab_adds = -1;
    int sealed = 0;
    double pupal_days = 0;
    bool parked = false;
};

seconds clock_option(const std::string& option, const std::string& text)
{
    const auto clock = parse_clock(text);
    if (!clock) {
        throw Failure{ErrorCode::BadUsage,
                      fmt::format("{} wants a clock time, as 14:30, not '{}'", option, text)};
    }
    return clock->since_midnight();
}

day::DayConditions conditions_of(const Words& words, app::CargoSettings& settings)
{
    if (words.book.empty() == words.air.empty()) {
        throw Failure{ErrorCode::BadUsage,
                      "give a book with the weather of the day, or one temperature by --air"};
    }
    if (!words.air.empty()) {
        return app::steady_air(celsius_option("air", words.air));
    }
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto preferences = app::preferences(book.settings());
    settings = app::cargo_settings(book.settings());
    const Day on = day_option(words.on, preferences.time_zone);
    auto conditions = app::day_conditions(book, on, app::chosen_crews(book, {}).front().depot,
                                          preferences.time_zone, preferences.limits.light);
    if (app::cab_by_hour(conditions, settings.cab_adds).empty()) {
        throw Failure{ErrorCode::NotFound,
                      fmt::format("the book knows no temperature of {}; import it, or give one by "
                                  "--air",
                                  format_day(on)),
                      words.book};
    }
    return conditions;
}

std::string degrees(Celsius t)
{
    return fmt::format("{:.1f} C ({:.0f} F)", t.value(), fahrenheit(t));
}

void show(const access::CargoBox& box, const access::CargoRide& ride, seconds leaves, int sealed)
{
    constexpr seconds kShown{900};
    for (const auto& moment : ride.moments) {
        if (moment.at % kShown != seconds{0} && &moment != &ride.moments.front() &&
            &moment != &ride.moments.back()) {
            continue;
        }
        std::cout << fmt::format("  {}  box {}\n", format_clock(ClockTime{moment.at}),
                                 degrees(moment.box));
    }
    std::cout << fmt::format("  hottest: {}\n", degrees(ride.hottest));
    const double deadly = access::figure("cargo", "deadly").middle();
    if (ride.warm_after) {
        std::cout << fmt::format(
            "TOO WARM: past {} after {} min, at {}; {:.1f} C is the upper limit of such wasps\n",
            degrees(box.warm), ride.warm_after->count() / 60,
            format_clock(ClockTime{leaves + *ride.warm_after}), deadly);
    } else {
        std::cout << fmt::format("stays under {} on this ride by the reckoning\n",
                                 degrees(box.warm));
    }
    if (ride.unknown_from) {
        std::cout << fmt::format("UNKNOWN from {}: no temperature of the air\n",
                                 format_clock(ClockTime{*ride.unknown_from}));
    }
    if (sealed > 0) {
        std::cout << fmt::format(
            "of {} sealed cells about {:.1f} adults emerge on the way: they sting, keep the box "
            "shut\n",
            sealed, ride.emerged);
    }
}

void run(const Words& words)
{
    app::CargoSettings settings = app::cargo_settings({});
    const auto conditions = conditions_of(words, settings);
    access::CargoBox box = settings.box;
    box.comb = words.comb > 0 ? Grams{words.comb} : box.comb;
    box.adults = Grams{words.adults};
    box.watts_per_kelvin = words.loss > 0 ? words.loss : box.watts_per_kelvin;
    const CelsiusDelta adds =
        words.cab_adds >= 0 ? CelsiusDelta{words.cab_adds} : settings.cab_adds;
    const seconds leaves = clock_option("--leave", words.leaves);
    const seconds home = clock_option("--home", words.home);
    const auto air =
        words.parked ? app::parked_cab(conditions, leaves) : app::cab_by_hour(conditions, adds);
    const auto ride = value_or_throw(
        access::cargo_ride(box, air, leaves, home, words.sealed,
                           words.pupal_days > 0 ? std::optional{words.pupal_days} : std::nullopt));
    std::cout << fmt::format(
        "{:.0f} g of comb, {:.0f} g of adults with it, {:.2f} W of their heat; a box that gives "
        "off "
        "{:g} W a degree\n{}: {}\n",
        box.comb.value(), box.adults.value(), access::cargo_watts(box), box.watts_per_kelvin,
        words.parked ? std::string{"in a closed cab standing in the sun"}
                     : fmt::format("in a cab {:g} K over the air outside", adds.value()),
        conditions.source);
    show(box, ride, leaves, words.sealed);
    const auto longest = value_or_throw(access::longest_ride(box, air, leaves, leaves));
    std::cout << (longest ? fmt::format("longest ride from {}: {} min\n",
                                        format_clock(ClockTime{leaves}), longest->count() / 60)
                          : std::string{"longest ride: the air that is known does not end it\n"});
    std::cout << "Most figures are assumptions (planner/access/access.csv, rows cargo): a "
                 "thermometer in the box comes first.\nNothing here is called safe.\n";
}

}  // namespace

void add_cargo(CLI::App& app)
{
    auto* command = app.add_subcommand(
        "cargo", "Live comb on the ride: how warm it gets, how long it may ride, what emerges");
    const auto words = std::make_shared<Words>();
    command->add_option("book", words->book, "The book, for the weather of the day");
    command->add_option("--on", words->on, "Day: 2026-08-04, today, tomorrow")
        ->capture_default_str();
    command->add_option("--air", words->air, "Outside, without a book: 30C or 86F");
    command->add_option("--leave", words->leaves, "From the nest, HH:MM")->required();
    command->add_option("--home", words->home, "HH:MM")->required();
    command->add_option("--comb", words->comb, "Grams of comb with brood")
        ->check(CLI::PositiveNumber);
    command->add_option("--adults", words->adults, "Grams of adults that ride along")
        ->check(CLI::NonNegativeNumber);
    command->add_option("--sealed", words->sealed, "Sealed cells")->check(CLI::NonNegativeNumber);
    command->add_option("--pupal-days", words->pupal_days, "From a sealed cell to the adult")
        ->check(CLI::PositiveNumber);
    command->add_option("--box-loss", words->loss, "Watts that the box gives off a degree: measure")
        ->check(CLI::PositiveNumber);
    command->add_option("--cab-adds", words->cab_adds, "Degrees of the cab over the air outside")
        ->check(CLI::NonNegativeNumber);
    command->add_flag("--parked", words->parked,
                      "The cab stands closed in the sun from leaving on");
    command->callback([words] { run(*words); });
}

}  // namespace nestround::commands
