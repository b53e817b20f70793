// nestround habitat add | list | import-log
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>

#include "geocore/base/error.hpp"
#include "geocore/intake/habitat_log.hpp"
#include "geocore/intake/time_zone.hpp"
#include "planner/app/keep_comb.hpp"
#include "planner/app/plan_brood.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"

namespace nestround::commands {

namespace {

struct AddWords {
    std::string book;
    std::string set_point;
    Habitat habitat;
    double passing = 0;
    int combs = 0;
    int cells = 0;
};

void add(AddWords words, const CLI::App& command)
{
    auto book = book::Book::open(words.book);
    if (!words.set_point.empty()) {
        words.habitat.set_point = celsius_option("--set-point", words.set_point);
    }
    if (command.count("--passing-min") != 0) {
        words.habitat.passing_min = words.passing;
    }
    if (command.count("--combs") != 0) {
        words.habitat.combs = words.combs;
    }
    if (command.count("--cells") != 0) {
        words.habitat.cells = words.cells;
    }
    app::KeyMaker keys;
    app::add_habitat(book, words.habitat, app::present(), keys);
    std::cout << fmt::format("habitat '{}' added\n", words.habitat.name);
}

void list(const std::string& path)
{
    const auto book = book::Book::open(path, book::Mode::ReadOnly);
    const auto habitats = book.habitats(true);
    if (habitats.empty()) {
        std::cout << "no habitat; add one with: nestround habitat add BOOK --name NAME\n";
    }
    for (const auto& habitat : habitats) {
        std::cout << fmt::format(
            "{}: at {}; {}; room for {} combs, {} cells{}\n", habitat.name, habitat.place,
            habitat.set_point ? fmt::format("{:.1f} C", habitat.set_point->value())
                              : std::string{"no set point"},
            habitat.combs ? std::to_string(*habitat.combs) : std::string{"?"},
            habitat.cells ? std::to_string(*habitat.cells) : std::string{"?"},
            habitat.active ? "" : "; not in use");
    }
}

struct LogWords {
    std::string book;
    std::string file;
    std::string habitat;
    std::string zone;
    std::string dates;
    bool fahrenheit = false;
};

void import_log(const LogWords& words)
{
    auto book = book::Book::open(words.book);
    const auto habitat = app::find_habitat(book, words.habitat);
    intake::LogOptions options;
    options.zone = words.zone.empty() ? app::preferences(book.settings()).time_zone : words.zone;
    if (!intake::is_time_zone(options.zone)) {
        throw Failure{
            ErrorCode::BadUsage,
            fmt::format("--zone wants a time zone, as Europe/Zurich, not '{}'", options.zone)};
    }
    if (!words.dates.empty()) {
        options.order = words.dates == "day-first" ? intake::DateOrder::DayFirst
                                                   : intake::DateOrder::MonthFirst;
    }
    options.fahrenheit = words.fahrenheit;
    auto batch = intake::read_habitat_log(words.file, options);
    for (auto& reading : batch.readings) {
        reading.habitat = habitat.id;
    }
    show_notes(batch.notes);
    show_refused(words.file, batch.refused);
    if (batch.readings.empty()) {
        throw Failure{ErrorCode::InvalidInput, "no reading could be taken", words.file};
    }
    book::Change change{book, app::present()};
    const auto tally = change.put(batch.readings);
    change.commit();
    double low = batch.readings.front().temperature.value();
    double high = low;
    for (const auto& reading : batch.readings) {
        low = std::min(low, reading.temperature.value());
        high = std::max(high, reading.temperature.value());
    }
    std::cout << fmt::format(
        "{} readings added, {} changed, {} the same, {} refused; {} to {}, {:.1f} to {:.1f} C\n",
        tally.added, tally.changed, tally.same, batch.refused.size(),
        format_instant(batch.readings.front().at), format_instant(batch.readings.back().at), low,
        high);
    for (const auto& gap : batch.gaps) {
        std::cout << fmt::format("gap: {} to {} ({:.1f} h)\n", format_instant(gap.from),
                                 format_instant(gap.to),
                                 static_cast<double>((gap.to - gap.from).count()) / 3600);
    }
}

}  // namespace

void add_habitat(CLI::App& app)
{
    auto* group = app.add_subcommand("habitat", "Where comb stands warm");
    group->require_subcommand(1);

    auto* one = group->add_subcommand("add", "Enter a habitat");
    const auto words = std::make_shared<AddWords>();
    one->add_option("book", words->book, "The book")->required();
    one->add_option("--name", words->habitat.name, "Its name")->required();
    one->add_option("--place", words->habitat.place,
                    "Where it stands; habitats of one place are served in one round")
        ->capture_default_str();
    one->add_option("--combs", words->combs, "Room for so many combs");
    one->add_option("--cells", words->cells, "Room for so many cells");
    one->add_option("--set-point", words->set_point, "Held at: 30C, 86F");
    one->add_option("--trip-min", words->habitat.trip_min,
                    "Minutes there and back for its own sake")
        ->check(CLI::Range(0.0, 1440.0));
    one->add_option("--passing-min", words->passing, "Minutes on a day when a crew drives anyway")
        ->check(CLI::Range(0.0, 1440.0));
    one->add_option("--note", words->habitat.note, "Anything else");
    one->callback([words, one] { add(*words, *one); });

    auto* all = group->add_subcommand("list", "The habitats of a book");
    const auto book = std::make_shared<std::string>();
    all->add_option("book", *book, "The book")->required();
    all->callback([book] { list(*book); });

    auto* log = group->add_subcommand("import-log", "Take the table of a temperature logger");
    const auto log_words = std::make_shared<LogWords>();
    log->add_option("book", log_words->book, "The book")->required();
    log->add_option("file", log_words->file, "The logger's table (CSV)")->required();
    log->add_option("--habitat", log_words->habitat, "Its name")->required();
    log->add_option("--zone", log_words->zone,
                    "Time zone of the logger's clock; else that of the book");
    log->add_option("--dates", log_words->dates, "Order of day and month")
        ->check(CLI::IsMember({"day-first", "month-first"}));
    log->add_flag("--fahrenheit", log_words->fahrenheit, "Where the heading does not say");
    log->callback([log_words] { import_log(*log_words); });
}

}  // namespace nestround::commands
