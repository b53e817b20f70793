// nestround brood plan
#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>

#include "geocore/base/error.hpp"
#include "geocore/intake/time_zone.hpp"
#include "planner/app/clockwork.hpp"
#include "planner/app/plan_brood.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"
#include "planner/sheets/brood_sheet.hpp"
#include "planner/sheets/chart.hpp"
#include "planner/sheets/write_file.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string book;
    std::string on = "today";
    std::string json;
    std::string picture;
    std::string calendar;
    std::string at = "18:00";
    std::string taxa;
    app::BroodWishes wishes;
};

void plan(Words words)
{
    const auto format =
        words.picture.empty() ? sheets::MapFormat::Png : sheets::picture_format(words.picture);
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto preferences = preferences_with(book, words.taxa);
    words.wishes.on = day_option(words.on, preferences.time_zone);
    const auto planned = app::plan_brood(book, preferences, words.wishes);
    const sheets::BroodSheet sheet{planned.input, planned.plan, planned.notes};
    if (!words.json.empty() && words.json != "-") {
        sheets::write_file(words.json, sheets::brood_json(sheet));
    }
    if (!words.picture.empty()) {
        sheets::write_file(words.picture, sheets::brood_picture(sheet, format));
    }
    if (!words.calendar.empty()) {
        const auto clock = parse_clock(words.at);
        if (!clock) {
            throw Failure{ErrorCode::BadUsage, "--at wants 18:00, not '" + words.at + "'"};
        }
        sheets::write_file(
            words.calendar, sheets::brood_calendar(sheet, app::present(), [&](Day day) {
                return value_or_throw(intake::to_utc(day, *clock, preferences.time_zone));
            }));
    }
    std::cout << (words.json == "-" ? sheets::brood_json(sheet)
                                    : sheets::brood_text(sheet, text_options(preferences)));
}

}  // namespace

void add_brood(CLI::App& app)
{
    auto* group = app.add_subcommand("brood", "What comb at home will give, and when to collect");
    group->require_subcommand(1);
    auto* command = group->add_subcommand("plan", "Emergence by day, and the rounds");
    const auto words = std::make_shared<Words>();
    command->add_option("book", words->book, "The book")->required();
    command->add_option("--on", words->on, "Day: 2026-08-04, today, tomorrow")
        ->capture_default_str();
    command->add_option("--days", words->wishes.days, "How far to look")->capture_default_str();
    command->add_option("--off", words->wishes.off, "Nobody goes round: sunday, or dates")
        ->delimiter(',');
    command
        ->add_option("--driving", words->wishes.driving,
                     "A crew drives anyway and passes by: monday, or dates")
        ->delimiter(',');
    command->add_flag("--ripening", words->wishes.ripening,
                      "Count venom that ripens with age; no figure was published");
    command->add_option("--taxa", words->taxa, "Folder of your own figures of wasps");
    command->add_option("--json", words->json, "The plan as JSON; - for standard output");
    command->add_option("--calendar", words->calendar, "Reminders of the rounds: .ics");
    command->add_option("--at", words->at, "When rounds begin, for the reminders")
        ->capture_default_str();
    command->add_option("--picture", words->picture, "A picture: .png, .svg or .pdf");
    command->callback([words] { plan(*words); });
}

}  // namespace nestround::commands
