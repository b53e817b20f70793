// nestround rank
#include <CLI/CLI.hpp>
#include <cstddef>
#include <iostream>
#include <memory>

#include "planner/app/rank_waiting.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"
#include "planner/sheets/morning_json.hpp"
#include "planner/sheets/morning_text.hpp"
#include "planner/sheets/write_file.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string book;
    std::string on = "today";
    std::string json;
    std::string taxa;
    std::size_t limit = 0;
    bool brief = false;
    bool without_weather = false;
};

void rank_calls(const Words& words)
{
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto preferences = preferences_with(book, words.taxa);
    const Day on = day_option(words.on, preferences.time_zone);
    const auto morning = app::rank_waiting(book, preferences, on, words.without_weather);

    sheets::RankTextOptions options;
    options.text = text_options(preferences);
    options.limit = words.limit;
    options.reasons = !words.brief;
    if (words.json == "-") {
        std::cout << sheets::rank_json(morning.calls, on);
        return;
    }
    if (!words.json.empty()) {
        sheets::write_file(words.json, sheets::rank_json(morning.calls, on));
    }
    std::cout << sheets::rank_text(morning.calls, on, options);
    show_notes(morning.notes);
}

}  // namespace

void add_rank(CLI::App& app)
{
    auto* command = app.add_subcommand("rank", "Waiting calls, best first, and why");
    const auto words = std::make_shared<Words>();
    command->add_option("book", words->book, "The book")->required();
    command->add_option("--on", words->on, "Day: 2026-08-04, today, tomorrow")
        ->capture_default_str();
    command->add_option("--limit", words->limit, "Rows to show; all when left out");
    command->add_flag("--brief", words->brief, "Without the lines that say why");
    command->add_option("--json", words->json, "Write JSON to this file; - for standard output");
    command->add_option("--taxa", words->taxa, "Folder of your own figures of wasps");
    command->add_flag("--without-weather", words->without_weather,
                      "Rank a day that the weather in the book does not reach");
    command->callback([words] { rank_calls(*words); });
}

}  // namespace nestround::commands
