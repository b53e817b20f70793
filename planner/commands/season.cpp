// nestround season
#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>
#include <string>

#include "planner/app/plan_season.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"
#include "planner/sheets/chart.hpp"
#include "planner/sheets/season_sheet.hpp"
#include "planner/sheets/write_file.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string book;
    std::string from = "today";
    std::string to;
    std::string roads;
    std::string json;
    std::string taxa;
    std::string picture;
    bool all = false;
    bool rehearse = false;
    std::uint64_t seed = 0;
    app::SeasonWishes wishes;
};

void season(Words words, const CLI::App& command)
{
    const auto format =
        words.picture.empty() ? sheets::MapFormat::Png : sheets::picture_format(words.picture);
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto preferences = preferences_with(book, words.taxa);
    words.wishes.from = day_option(words.from, preferences.time_zone);
    words.wishes.to = words.to.empty() ? words.wishes.from + std::chrono::days{27}
                                       : day_option(words.to, preferences.time_zone);
    if (command.count("--seed") != 0) {
        words.wishes.seed = words.seed;
    }
    const auto network = open_roads(book, preferences, words.roads);
    const auto text = text_options(preferences);
    if (words.rehearse) {
        const auto rules = app::rehearse_season(book, network, preferences, words.wishes);
        if (!words.picture.empty()) {
            sheets::write_file(words.picture,
                               sheets::rehearsal_picture(rules, words.wishes.from, format));
        }
        std::cout << sheets::rehearsal_text(rules, words.wishes.from, words.wishes.to, text);
        return;
    }
    const auto planned = app::plan_season(book, network, preferences, words.wishes);
    const sheets::SeasonSheet sheet{planned.input, planned.plan, planned.calls_a_day,
                                    planned.notes};
    if (!words.json.empty() && words.json != "-") {
        sheets::write_file(words.json, sheets::season_json(sheet));
    }
    if (!words.picture.empty()) {
        sheets::write_file(words.picture, sheets::season_picture(sheet, format));
    }
    std::cout << (words.json == "-" ? sheets::season_json(sheet)
                                    : sheets::season_text(sheet, text, words.all ? 0 : 15));
}

}  // namespace

void add_season(CLI::App& app)
{
    auto* command = app.add_subcommand("season", "Which day for which call, over the coming weeks");
    const auto words = std::make_shared<Words>();
    command->add_option("book", words->book, "The book")->required();
    command->add_option("--from", words->from, "First day: 2026-08-04, today, tomorrow")
        ->capture_default_str();
    command->add_option("--to", words->to, "Last day; four weeks when left out");
    command->add_option("--roads", words->roads, "Road file; else the setting roads.file");
    command->add_option("--crews", words->wishes.crews, "Only these crews, by name")
        ->delimiter(',');
    command->add_option("--off", words->wishes.days_off, "Days off: sunday, or dates")
        ->delimiter(',');
    command->add_option("--more-crews", words->wishes.more_crews,
                        "What if so many crews more worked, each like the first");
    command->add_option("--calls-a-day", words->wishes.calls_a_day,
                        "New calls to expect; else from the book");
    command
        ->add_option("--order", words->wishes.orders,
                     "What a laboratory wants, beside the book's orders: TAXON=GRAMS")
        ->delimiter(',');
    command->add_option("--standing", words->wishes.standing,
                        "The season plan that stands, written by --json: changes cost points");
    command->add_option("--taxa", words->taxa, "Folder of your own figures of wasps");
    command->add_option("--json", words->json, "The plan as JSON; - for standard output");
    command->add_option("--picture", words->picture, "A picture: .png, .svg or .pdf");
    command->add_flag("--all", words->all, "Every call, not the first fifteen of a kind");
    command->add_flag("--rehearse", words->rehearse,
                      "Live through these days with the book's calls, by this planner and by three "
                      "simple rules");
    command
        ->add_option("--draws", words->wishes.draws,
                     "Of chance, with --rehearse: the means of so many")
        ->capture_default_str();
    command->add_option("--seed", words->seed, "Of search and chance");
    command->add_option("--iterations", words->wishes.iterations, "How long to search")
        ->capture_default_str();
    command->callback([words, command] { season(*words, *command); });
}

}  // namespace nestround::commands
