// nestround weather import
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>

#include "geocore/base/error.hpp"
#include "geocore/intake/places.hpp"
#include "geocore/intake/weather.hpp"
#include "planner/app/import_weather.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string book;
    std::string file;
    std::string unit;
    std::string station;
    std::string place;
    std::string height;
    std::string stations;
    std::string zone;
};

void import_file(const Words& words)
{
    intake::WeatherOptions options;
    if (!words.unit.empty()) {
        options.unit = intake::temperature_unit(words.unit);
    }
    options.station = words.station;
    if (!words.place.empty()) {
        options.place = value_or_throw(intake::parse_place(words.place));
    }
    if (!words.height.empty()) {
        options.height = length_option("height", words.height);
    }
    if (!words.stations.empty()) {
        options.station_list = words.stations;
    }
    auto book = book::Book::open(words.book);
    options.zone = words.zone.empty() ? app::preferences(book.settings()).time_zone : words.zone;
    const auto batch = intake::read_weather(words.file, options);
    show_notes(batch.notes);
    show_refused(words.file, batch.refused);
    std::size_t readings = 0;
    for (const auto& series : batch.stations) {
        readings += series.days.size() + series.hours.size();
    }
    if (readings == 0) {
        throw Failure{ErrorCode::InvalidInput, "no reading could be taken; the reasons are above",
                      words.file};
    }
    app::KeyMaker keys;
    const auto done = app::import_weather(book, batch, app::present(), keys);
    for (const auto& gap : batch.gaps) {
        std::cerr << fmt::format("gap: {} has no reading from {} to {}; it stays empty\n",
                                 gap.station, format_day(gap.from), format_day(gap.to));
    }
    if (done.hours.added + done.hours.changed + done.hours.same > 0) {
        std::cout << fmt::format(
            "{}: {} stations ({} new), {} hours added, {} changed, {} as before, {} refused\n",
            batch.format, batch.stations.size(), done.new_stations, done.hours.added,
            done.hours.changed, done.hours.same, batch.refused.size());
        return;
    }
    std::cout << fmt::format(
        "{}: {} stations ({} new), {} days added, {} changed, {} as before, {} refused, {} gaps\n",
        batch.format, batch.stations.size(), done.new_stations, done.days.added, done.days.changed,
        done.days.same, batch.refused.size(), batch.gaps.size());
}

}  // namespace

void add_weather(CLI::App& app)
{
    auto* weather = app.add_subcommand("weather", "Daily temperatures and hourly weather");
    weather->require_subcommand(1);
    auto* command = weather->add_subcommand(
        "import", "Take readings from a plain table or a national archive's daily station file");
    const auto words = std::make_shared<Words>();
    command->add_option("book", words->book, "The book")->required();
    command->add_option("file", words->file, "The readings; may be packed as .gz")->required();
    command->add_option("--unit", words->unit, "Where the columns do not name it")
        ->check(CLI::IsMember({"c", "tenths_c", "f"}));
    command->add_option("--station", words->station, "Code, where the file names none");
    command->add_option("--place", words->place, "Of the station, where the file does not say");
    command->add_option("--height", words->height, "Of the station above the sea");
    command->add_option("--stations", words->stations, "The archive's list of stations");
    command->add_option("--zone", words->zone,
                        "Of clock times in a table of hours; else the book's time zone");
    command->callback([words] { import_file(*words); });
}

}  // namespace nestround::commands
